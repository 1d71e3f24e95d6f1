// The real program in a test: `panewalk serve` with the practice yard, its API, and its death.

import {spawn} from "node:child_process";
import {cpSync, mkdirSync, readFileSync, writeFileSync} from "node:fs";
import {request} from "node:http";
import {join, resolve} from "node:path";

export const kSource = process.env.PANEWALK_SOURCE ?? resolve(import.meta.dirname ?? ".", "../../..");
const kPanewalk = process.env.PANEWALK ?? join(kSource, "build/debug/panewalk");
const kPatience = 30000;  // ms; for what takes a fraction of a second where the machine is idle

const running = new Set();
process.on("exit", () => running.forEach((child) => child.kill("SIGKILL")));
for (const name of ["SIGINT", "SIGTERM"]) process.on(name, () => process.exit(1));

/** The first true value of `condition()`, which may be async. */
export async function eventually(condition, what, ms = kPatience) {
  const end = Date.now() + ms;
  for (;;) {
    const value = await condition();
    if (value) return value;
    if (Date.now() > end) throw new Error(`not within ${ms} ms: ${what}`);
    await new Promise((done) => setTimeout(done, 15));
  }
}

/** A copy of the demo's site in the test's folder; change(site) may alter it. Returns its path. */
export function makeSite(change) {
  const folder = resolve("site");
  mkdirSync(folder, {recursive: true});
  cpSync(join(kSource, "config/props"), join(folder, "props"), {recursive: true});
  const site = JSON.parse(readFileSync(join(kSource, "config/boathouse.json"), "utf8"));
  change(site);
  const path = join(folder, "site.json");
  writeFileSync(path, JSON.stringify(site, null, 2));
  return path;
}

export class Daemon {
  /** A daemon that is ready, on a free port, with a state folder in the test's own. faults: what is wrong
      in its practice yard, such as "slip-window:data-open=17"; null: no practice, it sends to the network. */
  static async start(site = join(kSource, "config/boathouse.json"), state = "state", faults = []) {
    const daemon = new Daemon();
    daemon.site = site;
    daemon.state = resolve(state);
    daemon.practice = faults === null ? [] : ["--practice", ...faults.flatMap((fault) => ["--fault", fault])];
    await daemon.run("127.0.0.1:0");
    return daemon;
  }

  async run(listen) {
    const environment = {...process.env, XDG_STATE_HOME: this.state};
    delete environment.STATE_DIRECTORY;
    this.text = "";
    this.child = spawn(kPanewalk, ["serve", this.site, "--listen", listen, ...this.practice],
      {env: environment, stdio: ["ignore", "pipe", "pipe"]});
    const {child} = this;
    running.add(child);
    this.ended = new Promise((done) => child.on("exit", () => { running.delete(child); done(); }));
    for (const stream of [child.stdout, child.stderr]) stream.on("data", (text) => { this.text += text; });
    await eventually(() => child.exitCode !== null || this.text.includes("No light is sent until"), "serve is ready");
    const found = /at http:\/\/127\.0\.0\.1:(\d+)\//.exec(this.text);
    if (!found || child.exitCode !== null) throw new Error(`serve did not start: ${this.text}`);
    this.port = Number(found[1]);
    this.url = `http://127.0.0.1:${this.port}`;
  }

  get runs() { return running.has(this.child); }

  /** As a power cut or the kernel does it: no chance to write or to say goodbye. */
  async kill() {
    this.child.kill("SIGKILL");
    await this.ended;
  }

  /** At the same address, with what is on the disk. */
  async again() { await this.run(`127.0.0.1:${this.port}`); }

  get(path) { return this.ask("GET", path); }
  post(path, body) { return this.ask("POST", path, body ?? {}); }

  ask(method, path, body) {
    const text = body === undefined ? undefined : JSON.stringify(body);
    return new Promise((done, fail) => {
      const asked = request(this.url + path, {
        method, agent: false, timeout: kPatience, headers: text === undefined ? {} : {"Content-Type": "application/json"},
      }, (answer) => {
        let got = "";
        answer.setEncoding("utf8");
        answer.on("data", (part) => { got += part; });
        answer.on("end", () => answer.statusCode === 200
          ? done(JSON.parse(got)) : fail(new Error(`${method} ${path}: ${answer.statusCode} ${got}`)));
      });
      asked.on("error", fail);
      asked.end(text);
    });
  }

  /** The first GET /api/light for which wanted(light, prop) holds; `name` picks the prop. */
  lightWhere(name, wanted, what) {
    return eventually(async () => {
      const light = await this.get("/api/light");
      const prop = light.props.find((one) => one.prop === name);
      return wanted(light, prop) ? {light, prop} : null;
    }, what);
  }
}

/** "rrggbb…" → [[r, g, b], …]; 8 digits a pixel have a fourth number. */
export function colours(hex, digits = 6) {
  const list = [];
  for (let at = 0; at < hex.length; at += digits) {
    list.push(hex.slice(at, at + digits).match(/../g).map((two) => parseInt(two, 16)));
  }
  return list;
}

/** The indices (from 1) of the pixels that are lit at all. */
export function litPixels(hex, digits = 6) {
  return colours(hex, digits).flatMap((colour, i) => (colour.some((part) => part > 0) ? [i + 1] : []));
}
