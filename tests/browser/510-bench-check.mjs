// A whole bench check, by touch and by keys, with the daemon killed in the middle: no answer is lost,
// and the page goes on where it was.

import assert from "node:assert/strict";
import {after, before, beforeEach, test} from "node:test";
import {Daemon, eventually, litPixels} from "./support/daemon.mjs";
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

const kBench = "/api/bench/slip-window";
const kSteps = ["first-pixel", "colour-order", "ruler", "runs", "jump-ends", "corners", "centre-cross", "panes", "slope",
  "load-quarter", "load-half", "load-three-quarters", "load-full"];
const kPatterns = ["find-me", "colour-roll", "ruler", "run-colours", "jump-ends", "corner-check", "centre-cross", "per-pane",
  "slope", "load-step", "load-step", "load-step", "load-step"];
// Ten minutes: what a site has where its file says nothing of "unwatched".
const kLost = "No connection to Panewalk. Trying again … The lights go dark by themselves in 10 minutes if it stays away.";

const stepOf = async (name, path = kBench) => (await daemon.get(path)).steps.find((step) => step.step === name);

/** The page asks this step, and its picture is lit on this prop alone. */
async function asks(page, number, prop = "slip-window") {
  const name = kSteps[number - 1];
  const step = await stepOf(name, `/api/bench/${prop}`);
  await page.says(".flow-count", `Step ${number} of 13`);
  await page.title(step.title);
  if (step.cautions.length) {
    assert.deepEqual(await page.texts(".flow-cautions li"), step.cautions);
    await page.says(".flow-question", "Before this is lit");
    const {light} = await daemon.lightWhere(prop, () => true, "now");
    const now = light.props.find((one) => one.lit);
    assert.ok(light.mode !== "lit" || light.pattern !== step.pattern || now.beat !== step.beat, "nothing is lit before the cautions are read");
    await page.tap("I have read this: light it");
  }
  await reads(page, step.question);
  await page.says(".flow-look", step.look_for);
  const {light} = await daemon.lightWhere(prop, (now, lit) => now.mode === "lit" && lit.lit && now.pattern === kPatterns[number - 1] &&
    (step.beat === null || lit.beat === step.beat) && lit.sent === lit.shown, `${name} is lit`);
  assert.deepEqual(light.props.filter((one) => one.lit).map((one) => one.prop), [prop]);
  return step;
}

/** The page makes the question its heading and puts what follows it in a paragraph. */
async function reads(page, question) {
  const end = question.indexOf("?") + 1;
  await page.says("#flow-question", question.slice(0, end));
  if (end < question.length) await page.says(".flow-question-more", question.slice(end).trim());
}

async function answered(name, answer, note = "", path = kBench) {
  await eventually(async () => (await stepOf(name, path)).answer === answer, `${name} is kept`);
  assert.equal((await stepOf(name, path)).note, note);
}

test("a whole check by touch, killed with -9 twice in the middle, loses no answer", async () => {
  const page = await device(browser, daemon, kPhone);
  await page.open("#/check/slip-window");
  await page.title("Bench check");
  await page.says(".flow-facts strong", "13 steps, about 7 minutes.");
  await page.tap("Begin the check");
  assert.deepEqual((await daemon.get(kBench)).steps.map((step) => step.step), kSteps);

  await asks(page, 1);
  const {prop} = await daemon.lightWhere("slip-window", (light, one) => litPixels(one.sent).length > 0, "a pixel glows");
  assert.deepEqual(litPixels(prop.sent), [1]);
  await page.tap("Yes");
  await answered("first-pixel", "yes");

  await asks(page, 2);
  await page.tap("Yes");
  await asks(page, 3);
  await page.tap("No");
  await page.says(".flow-note-panel h2", "What differs?");
  await page.page.locator("#flow-note").fill("white at 31, not at 30");
  await page.tap("Save and go on");
  await answered("ruler", "no", "white at 31, not at 30");

  await asks(page, 4);
  await page.tap("Not sure");
  await page.says(".flow-note-panel h2", "What is not clear?");
  await page.tap("Save and go on");
  await answered("runs", "unsure");

  await asks(page, 5);
  await page.tap("Skip");
  await asks(page, 6);
  await page.tap("Yes");
  await asks(page, 7);
  const kept = await daemon.get(kBench);
  assert.deepEqual(kept.steps.map((step) => step.answer).slice(0, 7), ["yes", "yes", "no", "unsure", "skipped", "yes", null]);

  // Killed while it waits for an answer: the page says so, and is back by itself at the same step.
  await page.without(async () => {
    await daemon.kill();
    await page.says("#banner", kLost);
    await page.says(".flow-lamp-words", "No connection: this picture stands still.");
    await page.says(".flow-count", "Step 7 of 13");
    await daemon.again();
  });
  assert.deepEqual(await daemon.get(kBench), kept);
  await page.says(".flow-count", "Step 7 of 13");
  await page.says(".flow-lamp-words", "Not lit: the lights are dark.");
  await page.tap("Light it");
  await asks(page, 7);

  // Killed before the answer: it is kept on the phone and saved when the daemon is back.
  await page.without(async () => {
    await daemon.kill();
    await page.tap("Yes");
    await page.says(".flow-unsaved-title", "Not saved yet: “Yes”");
    await daemon.again();
  });
  await answered("centre-cross", "yes");
  const now = await daemon.get(kBench);
  assert.deepEqual(now.steps.filter((step) => step.step !== "centre-cross"), kept.steps.filter((step) => step.step !== "centre-cross"));

  // Another device finds the same place, and follows.
  const other = await device(browser, daemon, kWide);
  await other.open("#/check/slip-window");
  await other.tap(`Go on with step 8: ${(await stepOf("panes")).title}`);
  await asks(other, 8);
  await asks(page, 8);
  await page.tap("Yes");
  await asks(page, 9);
  await other.says(".flow-notice", `${(await stepOf("panes")).title}: answered on another device, Yes.`);
  await asks(other, 9);
  await page.tap("Yes");

  for (const number of [10, 11, 12, 13]) {
    await asks(page, number);
    await page.tap("Yes");
    await answered(kSteps[number - 1], "yes");
  }
  await page.title("What differs");
  await page.says(".under", "slip-window: 10 as drawn, 1 not, 1 not sure, 1 skipped.");
  const done = await daemon.get(kBench);
  assert.equal(done.state, "done");
  assert.equal(done.differs.length, 2);
  assert.match(done.differs[0], /white at 31, not at 30/);
  assert.deepEqual(await page.texts(".flow-differs li"), done.differs);
  await other.title("What differs");

  const sheets = await page.printed(async () => {
    await page.says(".flow-paper h1", "Bench check: slip-window");
    assert.equal((await page.texts(".flow-paper tbody tr")).length, 13);
    assert.match((await page.texts(".flow-paper tbody tr"))[2], /No white at 31, not at 30/);
    for (const hidden of ["#bar", "#head", "#foot", ".button"]) await page.gone(hidden);
  });
  assert.ok(sheets === 1 || sheets === 2, `${sheets} sheets`);

  await page.tap("Go dark");
  await page.lights("Dark: black is sent, so they stay dark");
  page.calm();
  other.calm();
  await page.close();
  await other.close();
});

test("begun again on another device: nothing is answered in the wrong check", async () => {
  await daemon.post("/api/bench/loft-windows/begin");
  const page = await device(browser, daemon, kPhone);
  const other = await device(browser, daemon, kPhone);
  await page.open("#/check/loft-windows");
  await page.tap(page.page.getByRole("button", {name: /^Go on with step 1: /}));
  await page.says(".flow-count", "Step 1 of 13");
  await other.open("#/check/loft-windows");
  await other.tap("Begin again …");
  await other.tap("Begin again");
  await other.says(".flow-count", "Step 1 of 13");
  await page.says(".flow-notice", "This check was begun again on another device. This is the new one.");
  assert.deepEqual((await daemon.get("/api/bench/loft-windows")).steps.map((step) => step.answer), Array(13).fill(null));
  for (const one of [page, other]) {
    one.calm();
    await one.close();
  }
});

test("by keys alone: 1 to 4 answer, and a note is saved with Ctrl and Enter", async () => {
  const path = "/api/bench/door-ring";
  const page = await device(browser, daemon, kWide);
  await page.open("#/check/door-ring");
  await page.enter("Begin the check");
  const steps = (await daemon.get(path)).steps.filter((step) => step.fits);
  // A ring has one run, no cut, no bar through its middle and no panes.
  for (const name of ["jump-ends", "panes"]) assert.ok(!steps.some((step) => step.step === name), name);
  for (const [i, step] of steps.entries()) {
    await page.says(".flow-count", `Step ${i + 1} of ${steps.length}`);
    await page.title(step.title);
    if (step.cautions.length) {
      await page.key("1");  // no answer before the cautions are read
      await page.says(".flow-question", "Before this is lit");
      await page.enter("I have read this: light it");
    }
    await reads(page, step.question);
    // A builder looks before they answer: the page has then stepped on to the load it asks about.
    if (step.beat) await daemon.lightWhere("door-ring", (light, prop) => prop.beat === step.beat, "its load is lit");
    if (i === 0) {
      await page.key("2");
      await page.says(".flow-note-panel h2", "What differs?");
      await page.page.keyboard.press("Tab");
      await page.page.keyboard.type("1 of the first 2 stays dark");
      await page.key("Control+Enter");
      await answered(step.step, "no", "1 of the first 2 stays dark", path);
    } else {
      await page.key(i === 1 ? "4" : "1");
      await answered(step.step, i === 1 ? "skipped" : "yes", "", path);
    }
  }
  await page.title("What differs");
  await page.key("Escape");
  await page.lights("Dark: black is sent, so they stay dark");
  page.calm();
  await page.close();
});
