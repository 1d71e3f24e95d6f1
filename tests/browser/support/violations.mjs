// What axe-core finds: its rules of WCAG 2.2 A and AA, and its best practices.

import {readFileSync} from "node:fs";
import {createRequire} from "node:module";

const kAxe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const kRules = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

/** A line for each violation on the view that the page shows, and one where it is wider than the window. */
export async function violations(page, kind) {
  const found = await page.page.evaluate(`${kAxe}; axe.run(document, {runOnly: ${JSON.stringify(kRules)}, resultTypes: ["violations"]}).then((all) =>
    all.violations.map((one) => one.id + ": " + one.nodes.map((node) => node.target.join(" ") + " (" +
      (node.any.concat(node.all, node.none)[0] || {message: ""}).message + ")").join("; ")))`);
  const over = (await page.page.evaluate(() => document.documentElement.scrollWidth)) - kind.viewport.width;
  return over > 0 ? [...found, `${over} px wider than the window`] : found;
}
