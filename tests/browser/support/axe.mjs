// axe-core finds no violation on any view, by day and at night. Two files use this, so that each has time
// enough where the machine is busy.

import assert from "node:assert/strict";
import {after, before, test} from "node:test";
import {Daemon} from "./daemon.mjs";
import {device, launch} from "./browser.mjs";
import {kViews} from "./views.mjs";
import {violations} from "./violations.mjs";

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
        for (const one of await violations(page, kind)) found.push(`${name}: ${one}`);
      }
      assert.deepEqual(found, []);
      page.calm();
      await page.close();
    });
  }
}
