// axe-core looks at every view as a phone shows it, and none is wider than the window.

import {testEveryView} from "./support/axe.mjs";
import {kPhone} from "./support/browser.mjs";

testEveryView(kPhone);
