// The bench view by touch on a phone, and by keyboard alone on a laptop: what is asked for is in the
// packets (the practice yard decodes them), on the drawing and in words.

import assert from "node:assert/strict";
import {after, before, test} from "node:test";
import {Daemon, colours, eventually, litPixels, makeSite} from "./support/daemon.mjs";
import {device, kPhone, kWide, launch} from "./support/browser.mjs";

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

// patterns/chase.json and patterns/run-colours.json, as the builder reads them.
const kChase = "One white pixel walks along the wire in the order of the drawing, a short dim tail behind it. " +
  "It never skips a place, and it jumps only where the drawing does.";
const kRuns = "From its first pixel to its last run 1 is blue, 2 yellow, 3 red, 4 cyan, 5 magenta, 6 green, then blue again, " +
  "dark and bright in turn. The colour changes exactly where the drawing starts the next run.";

const name = "slip-window";
/** When the practice yard's receivers show what was sent, and it is what is wanted. */
const shown = (wanted, what) => daemon.lightWhere(name, (light, prop) => prop.shown === prop.sent && wanted(light, prop), what);
const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

/** A held chase: its beat is the brightest pixel (beat n of 63 is pixel n), as sent, shown and drawn. */
async function chaseStands(page) {
  const brightest = (sent) => {
    const bright = colours(sent).map((colour) => Math.max(...colour));
    return bright.indexOf(Math.max(...bright)) + 1;
  };
  // A picture fades in over 0.3 s, and the flash limiter may hold it a little longer.
  const {prop} = await shown((light, now) => light.by_hand && brightest(now.sent) === now.beat,
    "the chase is held, and its beat is the brightest pixel");
  await page.says(".step-caption", `${prop.beat} of 63: pixel ${prop.beat}. Held: goes on with Next or On.`);
  await eventually(async () => same(await page.drawnLit(), litPixels(prop.sent)), "the drawing shows it");
  return prop.beat;
}

const after_ = (beat) => (beat % 63) + 1;
const before_ = (beat) => (beat === 1 ? 63 : beat - 1);

async function isDark(page) {
  await page.lights("Dark: black is sent, so they stay dark");
  await shown((light, prop) => light.mode === "dark" && /^0+$/.test(prop.sent), "all black in the packets");
  await eventually(async () => (await page.drawnLit()).length === 0, "the drawing is dark");
}

/** Runs 1 to 4 end at pixels 44, 55, 59 and 63 (their colours: kRuns), 30 % of 255 being 77 (0x4d). */
async function runsAreLit(page) {
  await page.lights("slip-window is lit: run-colours. Each run in its colour.");
  await page.says(".lookfor", kRuns);
  const runs = "00004d".repeat(44) + "4d4d00".repeat(11) + "4d0000".repeat(4) + "004d4d".repeat(4);
  await shown((light, prop) => light.pattern === "run-colours" && prop.sent === runs, "the runs are lit in full");
}

test("a first-time user has a lit pattern in three touches", async () => {
  const page = await device(browser, daemon, kPhone);
  const began = Date.now();
  await page.open();
  await page.tap(page.link("Bench: slip-window"));
  await page.title(name);
  await page.tap("Light chase");
  const {light} = await shown((now) => now.mode === "lit" && now.pattern === "chase", "the chase is lit");
  const seconds = (Date.now() - began) / 1000;
  console.log(`from home to a lit pattern: ${page.acts} touches, ${seconds.toFixed(1)} s`);
  assert.deepEqual(light.props.filter((prop) => prop.lit).map((prop) => prop.prop), [name]);
  assert.ok(page.acts <= 3, `${page.acts} touches`);
  assert.ok(seconds < 60, `${seconds} s`);
  page.calm();
  await page.close();
});

test("by touch: what is asked for is in the packets, on the drawing and in words", async () => {
  const page = await device(browser, daemon, kPhone);
  await page.open("#/prop/slip-window");

  await page.tap(page.page.locator('button[data-pattern="run-colours"]'));
  await runsAreLit(page);

  await page.tap(page.page.locator('button[data-pattern="chase"]'));
  await page.says(".lookfor", kChase);
  const first = (await shown((light) => light.pattern === "chase", "the chase")).prop.beat;
  await shown((light, prop) => prop.beat !== first, "the packets change by themselves");
  await page.tap("Hold");
  const held = await chaseStands(page);
  await page.tap("Next");
  await shown((light, prop) => prop.beat === after_(held), "one on");
  await chaseStands(page);
  await page.tap("Back");
  await shown((light, prop) => prop.beat === held, "one back");
  await chaseStands(page);
  await page.tap("On by time");
  await shown((light, prop) => !light.by_hand && prop.beat !== held, "goes on by itself");

  await page.tap("DARK");
  await isDark(page);
  page.calm();
  await page.close();
});

test("by touch: FRONT and BACK, a pixel and its place, and it alone when it is looked for", async () => {
  const page = await device(browser, daemon, kPhone);
  await page.open("#/prop/slip-window");

  // A1, pixel 13, is top left, C1, pixel 23, top right, C3, pixel 35, bottom right, as the street sees it.
  const corners = () => page.pixels([13, 23, 35]);
  assert.equal(await page.pressed("FRONT"), "true");
  assert.deepEqual(await page.texts(".texts .side"), ["FRONT, as the street sees it"]);
  let [a1, c1, c3] = await corners();
  assert.ok(a1.x < c1.x - 100 && Math.abs(c1.x - c3.x) < 1 && c3.y > c1.y + 100, "A1 is left of C1, C3 below it");
  const front = [a1.x, c1.x];
  await page.tap("BACK");
  assert.deepEqual(await page.texts(".texts .side"), ["BACK, as you wire it"]);
  [a1, c1, c3] = await corners();
  assert.ok(Math.abs(a1.x - front[1]) < 1 && Math.abs(c1.x - front[0]) < 1, "left and right are exchanged");
  assert.ok(c3.y > c1.y + 100, "up stays up");

  // The route comes up the left edge from A3: five stations, A2, then A1-A2/5 (pixel 8) and A1-A2/4, which is
  // the second above A2, where the crossbar meets the edge. 3 channels a pixel: 3 × 8 + 1 = 25.
  await page.tapPixel(9);
  await page.says(".pixel-top h2", "Pixel 9");
  await page.says(".pixel-top .lead", "Right stile, second above the crossbar. Seen from the BACK.");
  await page.tap("FRONT");
  await page.says(".pixel-top .lead", "Left stile, second above the crossbar. Seen from the FRONT.");
  assert.deepEqual(await page.texts(".pixel-panel dd"), [
    "A1-A2/4, run 1 of 4", "along the bar", "universe 1, channel 25",
    "0 mm right and 330 mm down from the origin, seen from the FRONT"]);
  assert.equal((await page.texts(".mark .ring")).length, 1);

  await page.tap("Find it: pixel 9 pulses");
  await page.lights("slip-window is lit: find-me on pixel 9");
  await shown((light, prop) => light.pattern === "find-me" && same(litPixels(prop.sent), [9]), "only pixel 9 is lit");
  // It pulses: the rest stay black at every brightness.
  const seen = new Set();
  await eventually(async () => {
    const {prop} = await shown(() => true, "as sent");
    assert.ok(litPixels(prop.sent).every((index) => index === 9));
    seen.add(prop.sent);
    return seen.size >= 5;
  }, "five brightnesses");
  await page.tap("DARK");
  await isDark(page);
  page.calm();
  await page.close();
});

test("by keyboard alone, from home to dark", async () => {
  const page = await device(browser, daemon, kWide);
  await page.open();
  await page.enter("Bench: slip-window");
  await page.title(name);
  // Straight to the button that lights, past the drawing.
  await page.enter("Light chase");
  await shown((light) => light.mode === "lit" && light.pattern === "chase", "the chase is lit");
  await page.lights(/^slip-window is lit: chase\. Pixel \d+ \(\d+ of 63\)\.$/);

  await page.page.keyboard.press("Control+Home");
  await page.reload();
  await page.enter("Hold");
  const held = await chaseStands(page);
  await page.page.keyboard.press("Shift+Tab");
  assert.equal(await page.focused(), "Back");
  await page.key("Enter");
  await shown((light, prop) => prop.beat === before_(held), "one back");
  await page.enter("Next");
  await shown((light, prop) => prop.beat === held, "one on");
  await chaseStands(page);

  // The drawing is a slider of pixels: End is the last, Page Up ten on.
  await page.reload();
  await page.tabTo("Pixels of slip-window in data order, seen from the FRONT");
  for (const [key, index] of [["End", 63], ["Home", 1], ["PageUp", 11], ["ArrowLeft", 10], ["ArrowDown", 9]]) {
    await page.key(key);
    await page.says(".pixel-top h2", `Pixel ${index}`);
  }
  assert.equal(await page.page.locator("svg.taps").getAttribute("aria-valuetext"), "pixel 9, left stile, second above the crossbar");
  await page.enter("Find it: pixel 9 pulses");
  await shown((light, prop) => light.pattern === "find-me" && same(litPixels(prop.sent), [9]), "only pixel 9 is lit");

  await page.key("Escape");
  await isDark(page);
  await page.enter("Light chase");
  await shown((light) => light.mode === "lit", "lit again");
  // Escape darkens from inside a text field too.
  await page.enter("More");
  await page.page.keyboard.press("Tab");
  await page.page.keyboard.type("pane A1");
  await page.key("Escape");
  await isDark(page);
  page.calm();
  await page.close();
});

test("the level says what keeps it down: the site's cap, and the supply", async (t) => {
  // 63 pixels of 45 mA are 2.8 A at full white, and the idle props of the bench add to it; 1 A allows a quarter.
  const own = await Daemon.start(makeSite((site) => {
    site.controllers[0].supply.amps = 1;
    site.props[1].level = "10 %";
    site.props[0].level = "90 %";
  }), "state-limits");
  t.after(() => own.kill());
  const page = await device(browser, own, kWide);
  await page.open("#/prop/slip-window");
  await page.says(".level-row + .small", "Up to 90 %: the cap that the site file sets for slip-window.");
  await page.page.locator("#level").focus();
  await page.key("End");
  await page.says(".level-row output", "100 %");
  await page.tap(page.page.locator('button[data-pattern="colour-roll"]'));
  // Red, green, blue, white: white asks for most.
  await page.tap("Hold");
  let at = (await own.lightWhere(name, (now, one) => now.by_hand && one.beats === 4, "held")).prop.beat;
  while (at !== 4) {
    await page.tap("Next");
    at = (await own.lightWhere(name, (now, one) => one.beat !== at, "the next colour")).prop.beat;
  }
  const white_ = (now, one) => now.supplies[0].text !== null && one.caption === "all white" && one.sent === one.shown && /^(..)\1\1/.test(one.sent);
  // 2.8 A and some at 90 % is more than twice 1 A, and less than four times. It fades in until then.
  const limited = (now, one) => white_(now, one) && now.supplies[0].factor > 0.25 && now.supplies[0].factor < 0.5;
  const {prop} = await own.lightWhere(name, limited, "the supply limits");
  const kSupply = /^Dimmed to \d\d %: the picture asks for [23]\.\d A, the supply gives 1\.0 A\.$/;
  await eventually(async () => {
    const [cap, supply, ...more] = await page.texts(".held p");
    return cap === "The site file caps slip-window at 90 %, so 100 % gives 90 %." && kSupply.test(supply) && more.length === 0;
  }, "both reasons are shown");
  const white = colours(prop.sent)[0][0];
  assert.ok(white > 255 / 5 && white < 255 / 2, `${white}`);
  page.calm();
  await page.close();
});
