// `./run screens`: the README's screenshots, from the real program with the practice yard. Each is taken
// with what it shows held still, so that taking it again gives the same picture.

import {execFileSync} from "node:child_process";
import {mkdirSync, statSync} from "node:fs";
import {join} from "node:path";
import {Builder} from "./support/builder.mjs";
import {Daemon, kSource} from "./support/daemon.mjs";
import {device, kPhone, kWide, launch} from "./support/browser.mjs";

const kMostBytes = 60 * 1024;
const folder = join(kSource, "tests/browser/screens");
mkdirSync(folder, {recursive: true});

const daemon = await Daemon.start();
const browser = await launch();

async function opened(kind, look, hash, of = daemon) {
  const page = await device(browser, of, kind, {colorScheme: look === "night" ? "dark" : "light", reducedMotion: "reduce"});
  await page.open(hash);
  return page;
}

/** from: the element at the upper edge; nothing for the top of the page. With fewer colours than these
    the red and the green of a lit corner become one brown. */
async function take(page, name, from, colours = 128) {
  await page.page.evaluate((selector) => {
    document.activeElement.blur();
    window.scrollTo(0, selector ? document.querySelector(selector).getBoundingClientRect().top + window.scrollY - 12 : 0);
  }, from);
  await page.page.evaluate(() => document.fonts.ready.then(() => new Promise((done) => setTimeout(done, 700))));
  const path = join(folder, `${name}.png`);
  await page.page.screenshot({path, animations: "disabled"});
  execFileSync("pngquant", ["--nofs", "--strip", "--force", "--output", path, String(colours), path]);
  const {size} = statSync(path);
  console.log(`${name}.png ${Math.round(size / 1024)} KiB${size > kMostBytes ? ", too large" : ""}`);
  if (size > kMostBytes) process.exitCode = 1;
  page.calm();
}

async function light(page, pattern, says) {
  await page.tap(page.page.locator(`button[data-pattern="${pattern}"]`));
  await page.lights(says);
}

// Home, with one prop lit, at night.
let page = await opened(kPhone, "night", "#/prop/slip-window");
await light(page, "corner-check", /lit: corner-check/);
await page.visit("#/");
await take(page, "home-phone-night");
await page.close();

page = await opened(kPhone, "day", "#/prop/slip-window");
await light(page, "run-colours", /lit: run-colours/);
await take(page, "bench-phone-day", "main h1");
await page.close();

page = await opened(kWide, "night", "#/prop/loft-windows");
await light(page, "run-colours", /lit: run-colours/);
await page.tapPixel(12);
await take(page, "bench-wide-night", "main h1", 64);
await page.close();

// The bench check at its corners.
await daemon.post("/api/bench/slip-window/begin");
let bench = await daemon.get("/api/bench/slip-window");
while (bench.next !== "corners") {
  bench = await daemon.post("/api/bench/slip-window/answer", {check: bench.check, step: bench.next, answer: "yes"});
}
page = await opened(kPhone, "day", "#/check/slip-window");
await page.tap(page.page.getByRole("button", {name: /^Go on with step 6/}));
await page.lights(/lit: corner-check/);
await take(page, "check-phone-day");
await page.close();

const {walk} = await daemon.post("/api/walk/begin", {by: "order"});
await daemon.post("/api/walk/answer", {walk, prop: "slip-window", seen: "as drawn"});
page = await opened(kPhone, "night", "#/walk");
await page.tap("Go on: door-ring, stop 2 of 5");
await page.lights(/lit: corner-check/);
await take(page, "walk-phone-night");
await page.close();

await daemon.post("/api/walk/answer", {walk, prop: "door-ring", seen: "another prop", other: "gable-line"});
await daemon.post("/api/walk/answer", {walk, prop: "loft-windows", seen: "as drawn"});
await daemon.post("/api/walk/answer", {walk, prop: "gable-line", seen: "another prop", other: "door-ring"});
await daemon.post("/api/walk/answer", {walk, prop: "eaves-line", seen: "nothing"});
page = await opened(kWide, "day", "#/punch");
await take(page, "punch-wide-day");
await page.close();

// A search for a broken wire: a question with its answer marked, and what was found.
const broken = await Daemon.start(undefined, "state-broken", ["slip-window:data-open=17"]);
const path = "/api/find/slip-window";
const builder = await Builder.of(broken, "slip-window");
let search = await broken.post(`${path}/begin`, {place: "bench"});
page = await opened(kPhone, "day", "#/find/slip-window", broken);
await page.tap("Go on with question 1");
await page.lights(/fault finder, question 1/);
for (const station of await builder.answer(search.find, search.question)) await page.tapPixel(builder.index(station));
await take(page, "find-phone-day");
await page.close();

while (search.question) {
  const {find, question} = search;
  const answer = [];
  for (let picture = 1; question.ask === "colours" && picture <= question.pictures; ++picture) {
    await broken.post(`${path}/show`, {find, question: question.number, picture});
    answer.push(await builder.colourIn(find, question, picture));
  }
  if (question.ask !== "colours") await broken.post(`${path}/show`, {find, question: question.number});
  search = await broken.post(`${path}/answer`, {find, question: question.number,
    answer: question.ask === "colours" ? answer : await builder.answer(find, question)});
}
page = await opened(kWide, "day", "#/find/slip-window", broken);
await page.tap("See what was found");
await take(page, "finding-wide-day", "main h1");
await page.close();
await broken.kill();

await browser.close();
await daemon.kill();
process.exit();
