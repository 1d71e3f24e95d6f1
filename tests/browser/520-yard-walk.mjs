// A whole yard walk with every kind of answer, killed with -9 in the middle and gone on with on another
// phone; and the punch list that comes of it, on the screen and on paper.

import assert from "node:assert/strict";
import {after, before, beforeEach, test} from "node:test";
import {Daemon, eventually} from "./support/daemon.mjs";
import {device, kPhone, kWide, launch} from "./support/browser.mjs";

let browser;
let daemon;
before(async () => {
  daemon = await Daemon.start();
  browser = await launch();
});
// Where a test failed while the daemon was away.
beforeEach(async () => { if (!daemon.runs) await daemon.again(); });
after(async () => {
  await browser?.close();
  await daemon?.kill();
});

// The `walk` of config/boathouse.json.
const kWalk = ["slip-window", "door-ring", "loft-windows", "gable-line", "eaves-line"];

/** The page stands at this stop, and its prop is lit alone, corners first. */
async function standsAt(page, number) {
  const prop = kWalk[number - 1];
  await page.says(".flow-count", `Stop ${number} of 5`);
  await page.title(prop);
  const {light} = await daemon.lightWhere(prop, (now, one) => now.mode === "lit" && one.lit && now.pattern === "corner-check" &&
    /[1-9a-f]/.test(one.sent) && one.sent === one.shown, `${prop} is lit`);
  for (const one of light.props) assert.equal(one.lit, one.prop === prop, one.prop);
  await page.says("#flow-question", "What lit?");
}

async function kept(prop, expected) {
  const stop = await eventually(async () => (await daemon.get("/api/walk")).stops.find((one) => one.prop === prop && one.seen), `${prop} is kept`);
  assert.deepEqual({seen: stop.seen, other: stop.other, note: stop.note}, {other: null, note: "", ...expected});
}

test("a whole walk by touch, killed with -9 and gone on with on another phone", async () => {
  const page = await device(browser, daemon, kPhone);
  await page.open();
  await page.tap(page.link("Yard walk"));
  await page.title("Yard walk");
  await page.tap("Begin the walk");

  await standsAt(page, 1);
  await page.tap("It lit as drawn");
  await kept("slip-window", {seen: "as drawn"});

  await standsAt(page, 2);
  await page.tap("Another prop lit");
  await page.says(".flow-focus", "Which prop lit instead?");
  await page.tap(page.page.locator(".flow-prop", {hasText: "gable-line"}));
  await kept("door-ring", {seen: "another prop", other: "gable-line"});

  await standsAt(page, 3);
  const before = await daemon.get("/api/walk");
  await page.without(async () => {
    await daemon.kill();
    await page.tap("Nothing lit");
    await page.says(".flow-unsaved-title", "Not saved yet: “Nothing lit”");
    await daemon.again();
  });
  await kept("loft-windows", {seen: "nothing"});
  const after_ = await daemon.get("/api/walk");
  assert.deepEqual(after_.stops.slice(0, 2), before.stops.slice(0, 2));
  await standsAt(page, 4);

  // That phone's battery is empty.
  page.calm();
  await page.close();
  await daemon.kill();
  await daemon.again();
  const other = await device(browser, daemon, kPhone);
  await other.open("#/walk");
  await other.tap("Go on: gable-line, stop 4 of 5");
  await standsAt(other, 4);
  await other.tap("Something looks wrong");
  await other.says(".flow-focus", "What looks wrong?");
  await other.tap("flickers");
  await other.page.locator("#flow-note").fill("only at the ridge");
  await other.tap("Save and go on");
  await kept("gable-line", {seen: "wrong", note: "flickers, only at the ridge"});

  await standsAt(other, 5);
  await other.tap("It lit as drawn");
  await other.title("The walk is done");
  await other.says(".under", "2 of 5 lit as drawn.");
  const done = await daemon.get("/api/walk");
  assert.equal(done.state, "done");
  assert.deepEqual(done.stops.map((stop) => [stop.prop, stop.seen]), [
    ["slip-window", "as drawn"], ["door-ring", "another prop"], ["loft-windows", "nothing"], ["gable-line", "wrong"], ["eaves-line", "as drawn"]]);

  await other.tap(other.link("Punch list: 3 props"));
  await other.title("Punch list");
  assert.deepEqual(await other.texts(".flow-fault h2"), ["door-ring", "loft-windows", "gable-line"]);
  assert.deepEqual(await other.texts(".flow-what"), done.punch_list.map((entry) => entry.what));
  for (const entry of done.punch_list) assert.ok(entry.check.length >= 2, `${entry.prop}: ${entry.check}`);
  assert.deepEqual(await other.texts(".flow-ticks label"), done.punch_list.flatMap((entry) => entry.check));
  assert.match(done.punch_list[0].what, /gable-line/);
  assert.match(done.punch_list[2].what, /flickers, only at the ridge/);
  // What is ticked is there after a reload.
  await other.tap(other.page.locator(".flow-ticks input").first());
  await other.reload();
  assert.equal(await other.page.locator(".flow-ticks input").first().isChecked(), true);

  const sheets = await other.printed(async () => {
    await other.title("Punch list");
    assert.equal((await other.texts(".flow-fault h2")).length, 3);
    for (const hidden of ["#bar", "#head", "#foot", ".button"]) await other.gone(hidden);
  });
  assert.ok(sheets >= 1 && sheets <= 2, `${sheets} sheets`);

  await other.tap("DARK");
  await other.lights("Dark: black is sent, so they stay dark");
  other.calm();
  await other.close();
});

test("a link of a prop opens it directly", async () => {
  const page = await device(browser, daemon, kPhone);
  await page.open("#/prop/door-ring");
  await page.title("door-ring");
  await page.says(".under", "Ring on the boathouse door, with a white chip in each pixel");
  page.calm();
  await page.close();
});

test("a walk by keys alone, by the nearest next place", async () => {
  const page = await device(browser, daemon, kWide);
  await page.open("#/walk");
  await page.enter("Nearest next");
  await page.enter("Begin the walk");
  await page.says(".flow-count", "Stop 1 of 5");
  const walk = await daemon.get("/api/walk");
  assert.equal(walk.by, "nearest");
  // From slip-window at 0 m, 0 m: eaves-line 2.4 m, gable-line 2.4 m on, loft-windows 1.7 m, door-ring 3.5 m.
  const order = walk.stops.map((stop) => stop.prop);
  assert.deepEqual(order, ["slip-window", "eaves-line", "gable-line", "loft-windows", "door-ring"]);
  await page.key("2");
  await page.says(".flow-focus", "Which prop lit instead?");
  await page.enter("Can't tell which");
  await page.says(".flow-count", "Stop 2 of 5");
  await page.key("3");
  await page.says(".flow-count", "Stop 3 of 5");
  await page.key("4");
  await page.says(".flow-focus", "What looks wrong?");
  await page.page.keyboard.press("Tab");
  await page.key("Enter");
  await page.tabTo("Save and go on");
  await page.key("Enter");
  for (const number of [4, 5]) {
    await page.says(".flow-count", `Stop ${number} of 5`);
    await page.key("1");
  }
  await page.title("The walk is done");
  assert.deepEqual((await daemon.get("/api/walk")).stops.map((stop) => [stop.seen, stop.other, stop.note]), [
    ["another prop", null, ""], ["nothing", null, ""], ["wrong", null, "colours wrong"], ["as drawn", null, ""], ["as drawn", null, ""]]);
  await page.key("Escape");
  await page.lights("Dark: black is sent, so they stay dark");
  page.calm();
  await page.close();
});
