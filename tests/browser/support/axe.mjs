// axe-core finds no violation on any view, by day and at night: its rules of WCAG 2.2 A and AA, and its
// best practices. Two files use this, so that each has time enough where the machine is busy.

import assert from "node:assert/strict";
import {readFileSync} from "node:fs";
import {createRequire} from "node:module";
import {after, before, test} from "node:test";
import {Daemon} from "./daemon.mjs";
import {device, launch} from "./browser.mjs";
import {kViews} from "./views.mjs";

const kAxe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const kRules = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

let browser;
let daemon;
before(async () => {
  daemon = await Daemon.start();
  browser = await launch();
});
after(async () => {
  await browser?.close();
  await daemon?.kill();
});

async function violations(page) {
  return page.page.evaluate(`${kAxe}; axe.run(document, {runOnly: ${JSON.stringify(kRules)}, resultTypes: ["violations"]}).then((all) =>
    all.violations.map((one) => one.id + ": " + one.nodes.map((node) => node.target.join(" ") + " (" +
      (node.any.concat(node.all, node.none)[0] || {message: ""}).message + ")").join("; ")))`);
}

/** The tests for one kind of device. */
export function testEveryView(kind) {
  for (const [look, colorScheme] of [["day", "light"], ["night", "dark"]]) {
    test(`no violation on any view by ${look}`, async () => {
      const page = await device(browser, daemon, kind, {colorScheme, reducedMotion: "reduce"});
      await page.open();
      assert.equal(await page.page.evaluate(() => document.documentElement.dataset.look), look);
      const found = [];
      for (const [name, to] of kViews) {
        await to(page, daemon);
        for (const one of await violations(page)) found.push(`${name}: ${one}`);
        const over = (await page.page.evaluate(() => document.documentElement.scrollWidth)) - kind.viewport.width;
        if (over > 0) found.push(`${name}: ${over} px wider than the window`);
      }
      assert.deepEqual(found, []);
      page.calm();
      await page.close();
    });
  }
}
