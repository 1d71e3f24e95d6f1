// Two phones see the same state; one that is frozen or out of reach comes back to the newest; the
// stream goes on meanwhile.

import assert from "node:assert/strict";
import {readFileSync, readdirSync} from "node:fs";
import {after, before, test} from "node:test";
import {Daemon, eventually} from "./support/daemon.mjs";
import {device, kPhone, launch, launchApart} from "./support/browser.mjs";

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

const kCaptions = {
  "run-colours": "slip-window is lit: run-colours. Each run in its colour.",
  "corner-check": /^slip-window is lit: corner-check/,
  "centre-cross": /^slip-window is lit: centre-cross/,
};

/** Frames a second that the stream made while `during()` ran; the site asks for 40. */
async function rate(during) {
  const before_ = await daemon.get("/api/light");
  const began = performance.now();
  await during();
  const now = await daemon.get("/api/light");
  return (now.frames - before_.frames) / ((performance.now() - began) / 1000);
}

/** A process and all that it started, from /proc. */
function family(pid) {
  const parents = readdirSync("/proc").filter((name) => /^\d+$/.test(name)).flatMap((name) => {
    try {
      const fields = readFileSync(`/proc/${name}/stat`, "latin1").split(") ").pop().split(" ");
      return [[Number(name), Number(fields[1])]];
    } catch (gone) { return []; }
  });
  const all = [pid];
  for (const one of all) all.push(...parents.filter(([, parent]) => parent === one).map(([child]) => child));
  return all;
}

test("two phones see the same state within a second", async () => {
  const one = await device(browser, daemon, kPhone);
  const two = await device(browser, daemon, kPhone);
  await one.open("#/prop/slip-window");
  await two.open();
  // Asked on one, and then until the other says it: the tap itself may take its time on a busy machine.
  const late = [];
  for (const [pattern, says] of Object.entries(kCaptions)) {
    await one.tap(one.page.locator(`button[data-pattern="${pattern}"]`));
    await one.lights(says);
    const began = performance.now();
    await two.lights(says);
    late.push(Math.round(performance.now() - began));
  }
  await two.tap("DARK");
  await two.lights("Dark: black is sent, so they stay dark");
  const began = performance.now();
  await one.lights("Dark: black is sent, so they stay dark");
  late.push(Math.round(performance.now() - began));
  console.log(`the other phone follows after ${late.join(", ")} ms`);
  assert.ok(late.every((ms) => ms < 1000), `${late}`);
  for (const page of [one, two]) {
    page.calm();
    await page.close();
  }
});

test("a phone out of reach says so, keeps its place, and comes back to the newest state", async () => {
  const one = await device(browser, daemon, kPhone);
  const two = await device(browser, daemon, kPhone);
  await one.open("#/prop/slip-window");
  await two.open("#/prop/door-ring");
  await one.tap(one.page.locator('button[data-pattern="run-colours"]'));
  await two.lights(kCaptions["run-colours"]);
  const frames = await rate(() => two.without(async () => {
    await two.page.context().setOffline(true);
    await two.says("#banner", /^No connection to Panewalk\. Trying again …/);
    for (const pattern of ["corner-check", "centre-cross"]) {
      await one.tap(one.page.locator(`button[data-pattern="${pattern}"]`));
      await one.lights(kCaptions[pattern]);
    }
    await two.title("door-ring");
    await two.page.context().setOffline(false);
  }));
  await two.lights(kCaptions["centre-cross"]);
  await two.title("door-ring");
  console.log(`the stream meanwhile: ${frames.toFixed(1)} frames a second`);
  assert.ok(frames > 30, `${frames} frames a second`);
  for (const page of [one, two]) {
    page.calm();
    await page.close();
  }
});

test("a phone that is frozen does not slow the stream, and shows the newest state when it wakes", async () => {
  const frozen = await launchApart();
  const one = await device(browser, daemon, kPhone);
  const two = await device(frozen.browser, daemon, kPhone);
  await one.open("#/prop/slip-window");
  await two.open();
  await one.tap(one.page.locator('button[data-pattern="chase"]'));
  await two.lights(/lit: chase/);
  const all = family(frozen.pid);
  const signal = (name) => all.forEach((pid) => { try { process.kill(pid, name); } catch (gone) { /* ended since */ } });
  let frames;
  const began = performance.now();
  try {
    signal("SIGSTOP");
    frames = await rate(async () => {
      // The chase tells 5 pictures a second to the sockets; 5 s of them pile up or are left out.
      await eventually(() => performance.now() - began > 5000, "5 s have passed");
      await one.tap(one.page.locator('button[data-pattern="run-colours"]'));
      await one.lights(kCaptions["run-colours"]);
    });
  } finally {
    signal("SIGCONT");
  }
  await two.lights(kCaptions["run-colours"]);
  console.log(`the stream meanwhile: ${frames.toFixed(1)} frames a second`);
  assert.ok(frames > 30, `${frames} frames a second`);
  for (const page of [one, two]) {
    page.calm();
    await page.close();
  }
  await frozen.close();
});
