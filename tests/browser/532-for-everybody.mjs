// What axe-core can't see: the order of the keys, less motion, large text, remembered units, small files.

import assert from "node:assert/strict";
import {after, before, test} from "node:test";
import {Daemon} from "./support/daemon.mjs";
import {device, kPhone, kWide, launch} from "./support/browser.mjs";
import {kViews} from "./support/views.mjs";

// Bytes of the first load. All views but the network's come at the start, so that the yard needs no more of them.
const kMostOfPage = 240_000;
const kMostOfData = 130_000;  // the site and a drawing of each of the demo's 5 props, 471 pixels

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

test("the keyboard reaches DARK from every view, and everything that has the focus can be seen", async () => {
  const page = await device(browser, daemon, kWide);
  await page.open();
  for (const [name, to] of kViews) {
    await to(page, daemon);
    await page.page.evaluate(() => { document.activeElement.blur(); window.getSelection().removeAllRanges(); });
    const passed = [];
    let reached = false;
    for (let count = 0; count < 120 && !reached; ++count) {
      await page.page.keyboard.press("Tab");
      const now = await page.page.evaluate(() => {
        const at = document.activeElement;
        const box = at.getBoundingClientRect();
        const bar = document.getElementById("bar").getBoundingClientRect();
        const style = getComputedStyle(at);
        return {dark: at.classList.contains("dark"), name: (at.getAttribute("aria-label") || at.textContent || at.id || at.tagName).trim().slice(0, 40),
          body: at === document.body, inBar: Boolean(at.closest("#bar")),
          ring: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
          seen: box.width > 0 && box.bottom > 0 && box.top < (at.closest("#bar") ? window.innerHeight : bar.top)};
      });
      if (now.body) continue;  // round the window's own controls
      passed.push(now.name);
      assert.ok(now.seen, `${name}: "${now.name}" has the focus and is hidden`);
      assert.ok(now.ring, `${name}: "${now.name}" has the focus and no ring`);
      reached = now.dark;
    }
    assert.ok(reached, `${name}: Tab passes ${passed.join(" | ")}`);
  }
  page.calm();
  await page.close();
});

test("with less motion asked for the drawing changes twice a second at most, and nothing slides", async () => {
  await daemon.post("/api/light", {prop: "slip-window", pattern: "chase"});  // 5 pictures a second
  /** Changes of the drawing in 3 s: moments at which some pixel was painted. */
  const changes = async (page) => {
    await page.open("#/prop/slip-window");
    await page.lights(/lit: chase/);
    return page.page.evaluate(() => new Promise((done) => {
      let count = 0;
      const watch = new MutationObserver(() => { count += 1; });
      watch.observe(document.querySelector("svg.taps .pixels"), {subtree: true, attributes: true});
      setTimeout(() => { watch.disconnect(); done(count); }, 3000);
    }));
  };
  const calm = await device(browser, daemon, kPhone, {reducedMotion: "reduce"});
  const few = await changes(calm);
  assert.ok(few >= 2 && few <= 7, `${few} changes in 3 s`);
  assert.equal(await calm.page.locator("button.button").first().evaluate((node) => getComputedStyle(node).transitionDuration), "0s");
  const usual = await device(browser, daemon, kPhone);
  const many = await changes(usual);
  assert.ok(many > few, `${many} changes in 3 s`);
  calm.calm();
  usual.calm();
  await calm.close();
  await usual.close();
  await daemon.post("/api/dark");
});

test("text at 200 % loses nothing: no words cut off, none beside the window, DARK in reach", async () => {
  for (const kind of [kPhone, kWide]) {
    const page = await device(browser, daemon, kind);
    // The text size that a person sets in the browser: 32 px instead of 16.
    const settings = await page.page.context().newCDPSession(page.page);
    await settings.send("Page.enable");
    await settings.send("Page.setFontSizes", {fontSizes: {standard: 32, fixed: 26}});
    await page.open();
    assert.equal(await page.page.evaluate(() => getComputedStyle(document.documentElement).fontSize), "32px");
    const lost = [];
    for (const [name, to] of kViews) {
      await to(page, daemon);
      await page.page.evaluate(() => new Promise((done) => { requestAnimationFrame(() => requestAnimationFrame(done)); }));
      const found = await page.page.evaluate((width) => {
        const said = [];
        // A phone's browser zooms out where the page is too wide, so the window's own width says nothing.
        const over = document.documentElement.scrollWidth - width;
        if (over > 0) {
          const widest = [...document.querySelectorAll("main *, #head *, #bar *, #foot *")]
            .filter((node) => node.getBoundingClientRect().right > width + 1 && !node.closest(".scroller, .unseen"));
          said.push(`${over} px wider than the window: ${widest.slice(0, 4).map((node) => node.tagName + "." + node.className).join(", ")}`);
        }
        for (const node of document.querySelectorAll("main *, #head *, #bar *, #foot *")) {
          if (!node.checkVisibility() || node.closest("svg, .unseen, .scroller")) continue;
          if (!/hidden|clip/.test(getComputedStyle(node).overflow) || !node.textContent.trim()) continue;
          if (node.scrollWidth > node.clientWidth + 1 || node.scrollHeight > node.clientHeight + 3) {
            said.push(`cut off: ${node.tagName}.${node.className} "${node.textContent.trim().slice(0, 60)}"`);
          }
        }
        const dark = document.querySelector("button.dark").getBoundingClientRect();
        if (dark.top < 0 || dark.bottom > window.innerHeight || dark.height < 40) said.push("DARK is out of the window");
        const kept = document.getElementById("bar").getBoundingClientRect().top / window.innerHeight;
        if (kept < 0.5) said.push(`the bar takes ${Math.round(100 - 100 * kept)} % of the window`);
        return said;
      }, kind.viewport.width);
      lost.push(...found.map((one) => `${kind.viewport.width}, ${name}: ${one}`));
    }
    assert.deepEqual(lost, []);
    page.calm();
    await page.close();
  }
});

test("inches are remembered, and so is the look", async () => {
  const page = await device(browser, daemon, kPhone, {colorScheme: "light"});
  await page.open("#/prop/slip-window");
  await page.tapPixel(9);
  // 330 mm = 12.99 in, to the nearest sixteenth 13 in (25.4 mm an inch, from the international inch of 1959).
  await page.says(".pixel-panel dd:last-of-type", "0 mm right and 330 mm down from the origin, seen from the FRONT");
  await page.tap("inches");
  await page.says(".pixel-panel dd:last-of-type", "0 in right and 13 in down from the origin, seen from the FRONT");
  await page.tap("Night");
  const paper = () => page.page.evaluate(() => getComputedStyle(document.body).backgroundColor);
  assert.equal(await paper(), "rgb(11, 8, 6)");
  await page.reload();
  assert.equal(await page.pressed("inches"), "true");
  assert.equal(await page.pressed("Night"), "true");
  assert.equal(await paper(), "rgb(11, 8, 6)");
  await page.tapPixel(9);
  await page.says(".pixel-panel dd:last-of-type", "0 in right and 13 in down from the origin, seen from the FRONT");
  page.calm();
  await page.close();
});

test("what can be touched is large enough for a glove", async () => {
  // 44 CSS px: WCAG 2.2 SC 2.5.5 (AAA). Links within a sentence are excepted there.
  const page = await device(browser, daemon, kPhone);
  await page.open();
  const small = [];
  for (const [name, to] of kViews) {
    await to(page, daemon);
    const found = await page.page.evaluate(() => [...document.querySelectorAll("a, button, input, textarea, summary")]
      .filter((node) => node.checkVisibility() && !node.classList.contains("skip") && !(node.tagName === "A" && node.closest("p")))
      .map((node) => ({node, box: (node.labels?.[0] && node.type === "checkbox" ? node.closest("li") : node).getBoundingClientRect()}))
      .filter(({box}) => box.height < 43.5 || box.width < 43.5)
      .map(({node, box}) => `${node.textContent.trim().slice(0, 30) || node.id} ${Math.round(box.width)}×${Math.round(box.height)}`));
    small.push(...found.map((one) => `${name}: ${one}`));
  }
  assert.deepEqual(small, []);
  page.calm();
  await page.close();
});

test("the first load is small", async () => {
  const page = await device(browser, daemon, kPhone);
  const network = await page.page.context().newCDPSession(page.page);
  await network.send("Network.enable");
  const files = new Map();
  const sizes = new Map();
  network.on("Network.responseReceived", (event) => files.set(event.requestId, event.response.url));
  network.on("Network.loadingFinished", (event) => sizes.set(files.get(event.requestId), event.encodedDataLength));
  await page.open();
  await page.page.waitForSelector(".thumb-frame svg");
  await page.page.waitForLoadState("networkidle");
  const outside = [...files.values()].filter((url) => !url.startsWith(daemon.url));
  assert.deepEqual(outside, []);
  const sum = (wanted) => [...sizes].reduce((all, [url, size]) => all + (url.includes("/api/") === wanted ? size : 0), 0);
  const [page_, calls] = [sum(false), sum(true)];
  console.log(`first load: ${sizes.size} files and calls, ${page_ + calls} bytes as transferred: the page ${page_}, the site's data ${calls}`);
  assert.ok(page_ > 20_000 && page_ <= kMostOfPage, `${page_} bytes`);
  assert.ok(calls > 2_000 && calls <= kMostOfData, `${calls} bytes`);
  page.calm();
  await page.close();
});
