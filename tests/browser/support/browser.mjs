// Chromium in a closed network, and one page of it as a person uses it: what it says, what can be
// touched, what keys do. Errors of the page are kept, and `calm` fails with them.

import assert from "node:assert/strict";
import {execFileSync} from "node:child_process";
import {resolve} from "node:path";
import {chromium} from "playwright-core";
import {eventually} from "./daemon.mjs";

export const kPhone = {viewport: {width: 390, height: 844}, hasTouch: true, isMobile: true};
export const kWide = {viewport: {width: 1280, height: 800}};
const kPatience = 30000;  // ms

// Nothing is looked up, fetched or reported by the browser itself; text is drawn the same everywhere.
const kFlags = [
  "--disable-background-networking", "--disable-component-update", "--disable-default-apps", "--disable-domain-reliability",
  "--disable-sync", "--metrics-recording-only", "--no-first-run", "--no-pings", "--disable-extensions",
  "--disable-gpu", "--disable-dev-shm-usage", "--disable-lcd-text", "--font-render-hinting=none", "--force-color-profile=srgb",
  "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
];

function flags() {
  // Chromium's sandbox refuses root, and in a namespace of ours everybody is root.
  return process.getuid() === 0 ? [...kFlags, "--no-sandbox"] : kFlags;
}

function chromiumPath() {
  for (const name of ["chromium", "chromium-browser"]) {
    try { return execFileSync("sh", ["-c", `command -v ${name}`], {encoding: "utf8"}).trim(); } catch (absent) { /* the next */ }
  }
  throw new Error("no chromium on the PATH");
}

function options() { return {executablePath: chromiumPath(), args: flags(), timeout: 60000}; }

/** A browser with a fresh profile in the test's folder. */
export async function launch() {
  // Chromium keeps some files beside the profile, in the home folder.
  process.env.XDG_CONFIG_HOME = resolve("chromium/config");
  process.env.XDG_CACHE_HOME = resolve("chromium/cache");
  return chromium.launch(options());
}

/** The same as a process of its own, that can be stopped: {browser, pid, close()}. */
export async function launchApart() {
  const server = await chromium.launchServer(options());
  const browser = await chromium.connect(server.wsEndpoint());
  return {browser, pid: server.process().pid, close: () => server.close()};
}

/** A device: a context with its own storage, and one page in it. */
export async function device(browser, daemon, kind, more = {}) {
  const context = await browser.newContext({...kind, locale: "en-GB", timezoneId: "UTC", ...more});
  context.setDefaultTimeout(kPatience);
  return new Page(await context.newPage(), daemon, Boolean(kind.hasTouch));
}

export class Page {
  constructor(page, daemon, touch) {
    Object.assign(this, {page, daemon, touch});
    this.acts = 0;       // taps, clicks and keys so far
    this.troubles = [];
    this.lost = false;   // the daemon is away on purpose
    page.on("console", (message) => {
      if (message.type() === "error" || message.type() === "warning") this.note(`console: ${message.text()} ${message.location().url}`);
    });
    page.on("pageerror", (error) => this.note(`page: ${error.stack}`));
    page.on("requestfailed", (request) => {
      const why = request.failure()?.errorText ?? "";
      if (why !== "net::ERR_ABORTED") this.note(`request: ${request.url()} ${why}`);  // aborted by leaving
    });
  }

  note(trouble) {
    if (this.lost && /net::ERR_|WebSocket|No connection/.test(trouble)) return;
    this.troubles.push(trouble);
  }

  /** No error of the page so far. */
  calm() { assert.deepEqual(this.troubles, []); }

  /** While `away()` runs and until the page has noticed that the daemon is back, lost calls are no errors. */
  async without(away) {
    this.lost = true;
    await away();
    await this.gone("#banner p");
    await eventually(() => this.page.evaluate(() => document.body.dataset.mode !== "lost"), "connected again");
    this.lost = false;
  }

  async open(hash = "#/") {
    await this.page.goto(`${this.daemon.url}/${hash}`);
    await this.settled();
  }

  /** Follows a link that was typed or scanned while the page is there. */
  async visit(hash) {
    await this.page.evaluate((to) => {
      if (location.hash === to) return;
      document.querySelector("main").firstElementChild.dataset.before = "";
      location.hash = to;
    }, hash);
    await this.page.waitForSelector("main:not(:has(> [data-before]))");
    await this.settled();
  }

  async reload() {
    await this.page.reload();
    await this.settled();
  }

  async settled() {
    await this.page.waitForSelector("main h1").catch((late) => {
      throw new Error(`no view: ${this.troubles.join("\n") || late.message}`);
    });
    await eventually(() => this.page.evaluate(() => document.body.dataset.mode !== "lost"), "the page is connected");
  }

  close() { return this.page.context().close(); }

  // --- what is there ---

  role(role, name) { return this.page.getByRole(role, {name, exact: true}); }
  button(name) { return this.role("button", name); }
  link(name) { return this.role("link", name); }

  /** The text of the first that is shown, blanks made one. */
  async text(selector) {
    const text = await this.page.locator(selector).locator("visible=true").first().innerText();
    return text.replace(/\s+/g, " ").trim();
  }

  texts(selector) {
    return this.page.locator(selector).locator("visible=true")
      .evaluateAll((nodes) => nodes.map((node) => node.innerText ?? node.textContent))  // SVG has no innerText
      .then((all) => all.map((text) => text.replace(/\s+/g, " ").trim()));
  }

  /** Waits until the first that is shown says exactly this (or matches a pattern). */
  async says(selector, text) {
    const fits = (now) => (text instanceof RegExp ? now !== null && text.test(now) : now === text);
    let now = null;
    const found = this.page.locator(selector).locator("visible=true");
    try {
      await eventually(async () => {
        now = (await found.count()) ? (await this.text(selector).catch(() => null)) : null;
        return fits(now);
      }, selector);
    } catch (late) {
      assert.fail(`${selector} says ${JSON.stringify(now)}, not ${text instanceof RegExp ? text : JSON.stringify(text)}`);
    }
  }

  gone(selector) { return eventually(async () => !(await this.page.locator(selector).locator("visible=true").count()), `${selector} is gone`); }
  title(text) { return this.says("main h1", text); }
  /** What the bar at the bottom says of the lights. */
  lights(text) { return this.says("#bar .state p", text); }
  pressed(name) { return this.button(name).getAttribute("aria-pressed"); }

  /** The page on paper: how many sheets, after `look` has looked at it as it is printed. */
  async printed(look) {
    await this.page.emulateMedia({media: "print"});
    await look();
    const pdf = (await this.page.pdf({format: "A4"})).toString("latin1");
    await this.page.emulateMedia({media: null});
    return (pdf.match(/\/Type\s*\/Page\b(?!s)/g) ?? []).length;
  }

  // --- by hand ---

  async tap(target) {
    this.acts += 1;
    const locator = typeof target === "string" ? this.button(target) : target;
    const done = this.touch ? locator.tap() : locator.click();
    await done.catch((late) => { throw new Error([late.message, ...this.troubles].join("\n")); });
  }

  // --- by key ---

  async key(name) {
    this.acts += 1;
    await this.page.keyboard.press(name);
  }

  /** What has the focus: role-like tag and name. */
  focused() {
    return this.page.evaluate(() => {
      const {activeElement: at} = document;
      return at.getAttribute("aria-label") || at.textContent.replace(/\s+/g, " ").trim();
    });
  }

  /** Tab until what is called so has the focus; the number of Tabs. */
  async tabTo(name, most = 80) {
    const passed = [];
    for (let count = 1; count <= most; ++count) {
      await this.page.keyboard.press("Tab");
      const now = await this.focused();
      if (now === name) return count;
      passed.push(now.slice(0, 40));
    }
    throw new Error(`${most} Tabs do not reach "${name}": ${passed.join(" | ")}`);
  }

  async enter(name) {
    await this.tabTo(name);
    await this.key("Enter");
  }

  // --- the drawing that can be tapped ---

  /** Where pixels of the drawing are in the window, once it stands in its middle: [{x, y}, …]. */
  pixels(indices, which = "svg.taps") {
    return this.page.evaluate(([selector, wanted]) => {
      const circles = document.querySelectorAll(`${selector} .pixels circle`);
      document.querySelector(selector).scrollIntoView({block: "center"});
      return wanted.map((index) => {
        const box = circles[index - 1].getBoundingClientRect();
        return {x: box.x + box.width / 2, y: box.y + box.height / 2};
      });
    }, [which, indices]);
  }

  async tapPixel(index) {
    this.acts += 1;
    const [{x, y}] = await this.pixels([index]);
    if (this.touch) await this.page.touchscreen.tap(x, y);
    else await this.page.mouse.click(x, y);
  }

  /** The indices (from 1) of the pixels that a drawing shows lit. */
  drawnLit(which = "svg.taps") {
    return this.page.evaluate((selector) => [...document.querySelectorAll(`${selector} .pixels circle`)]
      .flatMap((circle, i) => (circle.getAttribute("class") === "lit" ? [i + 1] : [])), which);
  }
}
