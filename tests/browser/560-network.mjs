// The network view: somebody else who sends the site's universe, a controller that can't be reached, names
// that are no names, and that it looks again while it is open and not afterwards.

import assert from "node:assert/strict";
import {createSocket} from "node:dgram";
import {after, before, test} from "node:test";
import {Daemon, eventually, makeSite} from "./support/daemon.mjs";
import {device, kPhone, kWide, launch} from "./support/browser.mjs";
import {Rival} from "./support/rival.mjs";
import {kBusy, kQuiet, source} from "./support/seen.mjs";
import {violations} from "./support/violations.mjs";

let browser;
let daemon;  // in practice
before(async () => {
  daemon = await Daemon.start();
  browser = await launch();
});
after(async () => {
  await browser?.close();
  await daemon?.kill();
});

/** A device for which GET /api/network says `body`; `asked` counts. */
async function told(body, kind, more) {
  const page = await device(browser, daemon, kind, more);
  const count = {asked: 0};
  await page.page.route("**/api/network", (route) => {
    count.asked += 1;
    return route.fulfill({json: body});
  });
  return {page, count};
}

test("a rival of the site's universe is told in words, on the view and on home, until it ends", async (t) => {
  const real = await Daemon.start(undefined, "state-real", null);
  t.after(() => real.kill());
  const page = await device(browser, real, kPhone);
  await page.open("#/network");
  await page.title("All controllers answer");
  await page.says(".under", /^boathouse: heard in the last \d+ s on lo \(127\.0\.0\.1\)\.$/);

  const rival = await Rival.start("desk of the <b>ferry</b>", 1, 150);
  rival.lists = [1, 900];
  await page.title("1 thing to look into");
  await page.says(".net-trouble p:nth-child(1)",
    '"desk of the <b>ferry</b>" at 127.0.0.1 (this machine) sends universe 1 of controller bench too by lo. ' +
    "It wins: its priority is 150, the site's 100.");
  await page.says(".net-trouble p:nth-child(2)",
    "Check next: Stop it, or give the two different universes, or set the priorities so that the right one wins.");
  await page.says(".net-others li",
    "“desk of the <b>ferry</b>” at 127.0.0.1. Universe 1: priority 150. Says that it also sends universe 900.");
  assert.deepEqual(await page.texts(".net-card .net-status"), ["Is this machine, nothing is sent", "Is this machine, nothing is sent"]);
  assert.deepEqual(await page.texts(".net-card:first-child dd"), ["E1.31, 127.0.0.1", "Universes 1 to 3", "lo (127.0.0.1), the system's choice"]);

  await page.visit("#/");
  await page.tap(page.link("Network: 1 thing to look into"));
  await page.title("1 thing to look into");
  await rival.stop();
  await page.title("All controllers answer");
  page.calm();
  await page.close();
});

test("a controller that packets do not get to leads from the bar to the network view", async (t) => {
  // The namespace has loopback alone, so no way leads to 192.0.2.20 (RFC 5737).
  const bench = createSocket({type: "udp4", reuseAddr: true});  // the other controller
  await new Promise((done) => bench.bind(5568, "127.0.0.1", done));
  t.after(() => bench.close());
  const real = await Daemon.start(makeSite((site) => { site.controllers[1].address = "192.0.2.20"; }), "state-away", null);
  t.after(() => real.kill());
  const page = await device(browser, real, kPhone);
  await page.open("#/prop/gable-line");
  await page.tap("Light chase");
  await page.says("#bar .remark a", "192.0.2.20:6454: no network leads there; check this machine's network cable and address.");
  await page.tap(page.page.locator("#bar .remark a"));
  await page.title("1 thing to look into");
  assert.deepEqual(await page.texts(".net-card.is-bad h3"), ["yard"]);
  await page.says(".net-card:not(.is-bad) .net-status", "Is this machine, sending");
  assert.deepEqual(await page.texts(".net-card.is-bad .net-fails"),
    ["192.0.2.20:6454: no network leads there; check this machine's network cable and address."]);
  page.calm();
  await page.close();
});

test("in practice it says that nothing goes to the network and nothing is listened to", async () => {
  const page = await device(browser, daemon, kPhone);
  await page.open("#/");
  await page.tap(page.link("Network"));
  await page.title("Practice: no network");
  await page.says(".under", "Nothing goes to the network, and nothing is listened to.");
  assert.deepEqual(await page.texts(".net-card .net-status"), ["Practice, nothing is sent", "Practice, nothing is sent"]);
  assert.equal(await page.page.locator(".net-others").isVisible(), false);
  page.calm();
  await page.close();
});

test("names off the wire are text and nothing else, and long lists stay short", async () => {
  const many = Array.from({length: 300}, (_, i) => source(`punt ${i}`, {}));
  const {page} = await told({...kBusy, seen: {...kBusy.seen, e131_sources: [...kBusy.seen.e131_sources, ...many]}}, kPhone);
  await page.open("#/network");
  await page.title("3 things to look into");
  assert.deepEqual((await page.texts(".net-others bdi")).slice(0, 3), ["“desk of the ferry”",
    "“<img src=x onerror=alert(1)>\\u202egnp.exe\\u0007\\u200b”", "“" + "boat".repeat(16) + "…”"]);
  assert.equal(await page.page.locator("main img, main script").count(), 0);
  assert.deepEqual(await page.texts(".net-others h3:first-of-type + ul li:last-child"), ["and 264 more"]);
  assert.deepEqual(await page.texts(".net-losses li"), [
    "\u2068“desk of the ferry”\u2069 at 192.0.2.40, universes 1 and 2: 9 of 969 packets lost (0.9 %), 1 late.",
    "Art-Net at 192.0.2.31, Port-Address 10: 1 jump in the numbers."]);
  page.calm();
  await page.close();
});

test("the stream's own numbers are folded away and in words, by keyboard too", async () => {
  const {page} = await told(kQuiet, kWide);
  await page.open("#/network");
  await page.title("All controllers answer");
  assert.deepEqual(await page.texts(".net-numbers dd"), []);
  await page.enter("The stream in numbers");
  await page.says(".net-numbers dd:nth-of-type(1)", "0");
  assert.deepEqual((await page.texts(".net-numbers dd")).slice(1),
    ["95 of 100 frames within 0.1 ms, the latest 60.3 ms", "3 of 10003", "160000", "none", "real time, memory locked"]);
  page.calm();
  await page.close();
});

test("it looks again while it is open, and no more once it is left", async () => {
  const {page, count} = await told(kQuiet, kPhone);
  await page.open("#/network");
  await eventually(() => count.asked >= 3, "it looked three times");
  await page.visit("#/");
  const then = count.asked;
  const began = performance.now();
  await eventually(() => performance.now() - began > 5000, "5 s have passed");
  assert.equal(count.asked, then);
  page.calm();
  await page.close();
});

test("axe finds nothing where there is much to tell, by day and at night", async () => {
  const found = [];
  for (const [kind, size] of [[kPhone, "phone"], [kWide, "laptop"]]) {
    for (const colorScheme of ["light", "dark"]) {
      const {page} = await told(kBusy, kind, {colorScheme, reducedMotion: "reduce"});
      await page.open("#/network");
      await page.tap(page.page.locator("summary"));
      found.push(...(await violations(page, kind)).map((one) => `${size}, ${colorScheme}: ${one}`));
      page.calm();
      await page.close();
    }
  }
  assert.deepEqual(found, []);
});
