// The fault finder by touch and by keys, against a practice yard with faults: a builder who knows nothing
// but what the yard shows is led to the fault, with the daemon killed in the middle.

import assert from "node:assert/strict";
import {readFileSync} from "node:fs";
import {after, before, test} from "node:test";
import {Builder} from "./support/builder.mjs";
import {Daemon, eventually, makeSite} from "./support/daemon.mjs";
import {device, kPhone, kWide, launch} from "./support/browser.mjs";

let browser;
const daemons = [];
before(async () => { browser = await launch(); });
after(async () => {
  await browser?.close();
  for (const daemon of daemons) if (daemon.runs) await daemon.kill();
});

async function yard(state, faults, site) {
  const daemon = await Daemon.start(site, state, faults);
  daemons.push(daemon);
  return daemon;
}

const kLabels = {
  same: {yes: "Yes", no: "No"}, hold: {held: "Old light", dark: "Dark"},
  where: {none: "None lit"}, "last-lit": {none: "None", all: "All of it"},
  other: {none: "No other prop"},
};
const button = (page, text) => page.page.locator(".flow-answer", {hasText: text});

/** The page asks what the API has open, in the same words. */
async function asks(page, daemon, prop) {
  const {question, find} = await daemon.get(`/api/find/${prop}`);
  await page.says(".flow-count", `Question ${question.number}`);
  const text = await page.texts(".find-lead, .find-asked, .find-more");
  assert.equal(text.join(" "), question.text);
  return {question, find};
}

/** One question: looks at the yard and taps. */
async function answers(page, daemon, builder) {
  const {question, find} = await asks(page, daemon, builder.prop);
  if (question.ask === "colours" && question.pictures > 1) {
    const seen = [];
    for (let picture = 1; picture <= question.pictures; ++picture) {
      await page.says(".find-shots p", `Picture ${picture} of ${question.pictures}`);
      const colour = await builder.colourIn(find, question, picture);
      seen.push(colour);
      await page.tap(page.page.locator(`.find-colour[data-colour="${colour}"]`));
    }
    await page.tap(button(page, "That is what I saw"));
    return {question, said: seen};
  }
  const said = await builder.answer(find, question);
  if (question.ask === "where" && said !== "none") {
    for (const station of said) await page.tapPixel(builder.index(station));
    await page.tap(button(page, `Send ${said.length}`));
  } else if (question.ask === "last-lit" && !kLabels["last-lit"][said]) {
    await page.tapPixel(builder.index(said));
    await page.tap(button(page, "This one"));
  } else if (question.ask === "colours") {
    await page.tap(page.page.locator(`.find-colour[data-colour="${said[0]}"]`));
  } else if (question.ask === "other") {
    await page.tap(page.page.locator(".flow-prop", {hasText: kLabels.other[said] ?? said}));
  } else {
    await page.tap(button(page, kLabels[question.ask][said]));
  }
  return {question, said};
}

/** From an open question to the finding; `between(number)` may do something before a question. */
async function search(page, daemon, prop, between) {
  const builder = await Builder.of(daemon, prop);
  const path = `/api/find/${prop}`;
  // The finding of the search before is there until the new one has begun.
  await eventually(async () => (await daemon.get(path)).question, "a question is open");
  for (let now = await daemon.get(path); now.question; now = await daemon.get(path)) {
    const {number} = now.question;
    assert.ok(number <= 15, "it never ends");
    if (between) await between(number);
    await answers(page, daemon, builder);
    await eventually(async () => (await daemon.get(path)).answers.length === number, `answer ${number} is kept`);
  }
  return daemon.get(path);
}

test("from a No of the bench check to the broken wire, killed with -9 in the middle", async () => {
  const daemon = await yard("state-wire", ["slip-window:data-open=17"]);
  const page = await device(browser, daemon, kPhone);
  await page.open("#/check/slip-window");
  await page.tap("Begin the check");
  await page.tap("Yes");
  await page.says(".flow-count", "Step 2 of 13");
  await page.tap("No");
  await page.tap("Save and go on");
  await page.says(".flow-notice", /: No\. Find the fault$/);
  await page.tap(page.link("Find the fault").first());
  await page.title("Fault finder");
  assert.deepEqual(await page.texts(".flow-cautions li"), (await daemon.get("/api/find/slip-window")).opening);
  assert.notEqual((await daemon.get("/api/light")).pattern, "finder");
  await page.tap("I have read this: begin");

  const done = await search(page, daemon, "slip-window", async (number) => {
    if (number !== 2) return;
    const kept = await daemon.get("/api/find/slip-window");
    await page.without(async () => {
      await daemon.kill();
      await page.says("#banner", /^No connection to Panewalk/);
      await daemon.again();
    });
    assert.deepEqual(await daemon.get("/api/find/slip-window"), kept);
    await page.says(".flow-lamp-words", /^(Not lit: the lights are dark\.|It could not be lit\.)/);
    await page.tap("Light it");
    await page.lights("slip-window is lit: fault finder, question 2");
  });
  assert.equal(done.from, "bench colour-order");
  assert.deepEqual([done.finding.fault, done.finding.value, done.finding.index], ["data-open", "17", 17]);
  await page.title("What is wrong");
  await page.says(".find-verdict", done.finding.text);
  assert.match(done.finding.text, /^The data stops after pixel 17 /);
  await page.says(".find-sure", done.finding.how_sure);
  assert.deepEqual(await page.texts(".find-steps li"), done.finding.do);
  assert.deepEqual([await page.page.locator(".suspect-ring").count(), await page.page.locator(".suspect").count()], [2, 1]);
  await page.tap("Go dark");
  await page.lights("Dark: black is sent, so they stay dark");

  // Another start, another device: the same finding.
  await page.without(async () => {
    await daemon.kill();
    await daemon.again();
  });
  const other = await device(browser, daemon, kWide);
  await other.open("#/find/slip-window");
  await other.tap("See what was found");
  await other.says(".find-verdict", done.finding.text);

  await page.tap(button(page, "It is mended"));
  await page.says(".flow-note-panel h2", "It is mended");
  await page.page.locator("#flow-note").fill("new splice");
  await page.tap("Save and go on");
  await eventually(async () => (await daemon.get("/api/find/slip-window")).repair?.repair === "mended", "the repair is kept");
  assert.equal((await daemon.get("/api/find/slip-window")).repair.note, "new splice");
  await page.says(".flow-said", "Noted: new splice");
  await other.says(".flow-said", "Noted: new splice");
  for (const one of [page, other]) {
    one.calm();
    await one.close();
  }
});

test("a wrong colour order: the description is made to say what was built, and then nothing is wrong", async () => {
  const site = makeSite(() => {});
  const daemon = await yard("state-order", ["slip-window:colour-order=RGB"], site);
  const page = await device(browser, daemon, kPhone);
  await page.open("#/prop/slip-window");
  await page.tap(page.link("Something is wrong: find the fault"));
  await page.tap("I have read this: begin");
  const done = await search(page, daemon, "slip-window");
  assert.deepEqual([done.finding.fault, done.finding.value], ["colour-order", "RGB"]);
  const {correction} = done.finding;
  await page.says(".find-difference", correction.difference.replace(/\s+/g, " ").trim());
  const before = readFileSync(correction.file, "utf8");
  await page.tap("Write it into the file …");
  await page.tap("Write it");
  await page.says(".flow-notice", `${correction.file} says now what was built, and the site was read again.`);
  const now = readFileSync(correction.file, "utf8");
  assert.notEqual(now, before);
  assert.match(now, /"order": "RGB"/);
  await page.says(".find-verdict", "Found before the site was changed: colour-order=RGB.");
  await page.lights("Dark: black is sent, so they stay dark");

  await page.tap("Search again");
  await page.tap("I have read this: begin a new search");
  const clean = await search(page, daemon, "slip-window");
  assert.equal(clean.finding.fault, "none");
  await page.title("Nothing is wrong");
  page.calm();
  await page.close();
});

test("by keys, back to an answer, over a reload, and another device follows", async () => {
  const daemon = await yard("state-keys", []);
  const page = await device(browser, daemon, kWide);
  const other = await device(browser, daemon, kPhone);
  await daemon.post("/api/find/slip-window/begin", {place: "bench"});
  await page.open("#/find/slip-window");
  await page.enter("Go on with question 1");
  const {question} = await asks(page, daemon, "slip-window");
  assert.equal(question.ask, "where");
  await page.page.locator("svg.taps").focus();
  for (const key of ["ArrowRight", "Enter", "ArrowRight", "ArrowRight", " "]) await page.key(key);
  assert.deepEqual(await page.texts(".find-chip"), ["A3 ×", `${(await Builder.of(daemon, "slip-window")).drawing.pixels[2].station} ×`]);
  await page.reload();
  await page.tap("Go on with question 1");
  assert.equal((await page.texts(".find-chip")).length, 2, "what was marked is kept over a reload");
  await other.open("#/find/slip-window");
  await other.tap("Go on with question 1");
  await page.tap(button(page, "Unsure"));
  await page.says(".flow-count", "Question 2");
  await other.says(".flow-notice", "Question 1: answered on another device, unsure.");
  await other.says(".flow-count", "Question 2");

  // Back, and another answer in its place.
  await page.tap("← Question before");
  await page.says(".flow-said", /^You said: unsure\./);
  await page.tap(button(page, "None lit"));
  await eventually(async () => {
    const {answers: kept} = await daemon.get("/api/find/slip-window");
    return kept.length === 1 && kept[0].answer.length === 0;
  }, "the other answer is kept");
  await page.says(".flow-count", "Question 2");
  for (const one of [page, other]) {
    one.calm();
    await one.close();
  }
});

test("two leads exchanged: the prop that lights instead is tapped", async () => {
  const daemon = await yard("state-leads", ["door-ring:leads-exchanged=gable-line"]);
  const page = await device(browser, daemon, kPhone);
  await page.open("#/find/door-ring");
  await page.tap("Yard, it worked");
  await page.tap("I have read this: begin");
  const asked = [];
  const done = await search(page, daemon, "door-ring", async () => asked.push((await daemon.get("/api/find/door-ring")).question.ask));
  assert.ok(asked.includes("other"), asked.join());
  assert.deepEqual([done.finding.fault, done.finding.value], ["leads-exchanged", "gable-line"]);
  await page.says(".find-verdict", done.finding.text);
  page.calm();
  await page.close();
});

test("from the walk and from the punch list there is a way to the fault finder", async () => {
  const daemon = await yard("state-walk", ["door-ring:no-response"]);
  const {walk} = await daemon.post("/api/walk/begin", {by: "order"});
  await daemon.post("/api/walk/answer", {walk, prop: "slip-window", seen: "as drawn"});
  const page = await device(browser, daemon, kPhone);
  await page.open("#/walk");
  await page.tap("Go on: door-ring, stop 2 of 5");
  await page.tap("Nothing lit");
  await page.says(".flow-notice", "door-ring: Nothing lit. Find the fault");
  await page.visit("#/punch");
  await page.tap(page.link("Find the fault: door-ring"));
  await page.title("Fault finder");
  assert.equal(await page.pressed("Yard, it worked"), "true");
  await page.tap("I have read this: begin");
  const done = await search(page, daemon, "door-ring");
  assert.deepEqual([done.place, done.from, done.finding.fault], ["yard", "walk", "no-response"]);
  await page.says(".find-verdict", done.finding.text);
  page.calm();
  await page.close();
});
