// axe-core looks at every view as a laptop shows it, and none is wider than the window.

import {testEveryView} from "./support/axe.mjs";
import {kWide} from "./support/browser.mjs";

testEveryView(kWide);
