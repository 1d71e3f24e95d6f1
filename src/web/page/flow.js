// What the bench check and the yard walk share: keeping answers, asking for light, keys, times.

import {post} from "./api.js";
import {live} from "./live.js";
import {litProps, problemLines, sentence} from "./words.js";

const kLightPatience = 3000;  // ms until light that was asked for should show in the live state

function stored(key) {
  try { return sessionStorage.getItem("panewalk." + key); } catch (refused) { return null; }
}
function store(key, text) {
  try {
    if (text) sessionStorage.setItem("panewalk." + key, text);
    else sessionStorage.removeItem("panewalk." + key);
  } catch (refused) { /* it is on the screen still */ }
}

/** What is being typed, kept over a reload. */
export const draft = {
  get(name) { return stored("draft." + name) || ""; },
  set(name, text) { store("draft." + name, text); },
};

export function words(error) { return problemLines(error).join(" "); }

/** One answer on its way to the logbook. It lies in sessionStorage until the daemon has kept it. */
export class Keeper {
  constructor(name, onchange) {
    this.key = "unsent." + name;
    this.onchange = onchange;
    this.state = "idle";  // idle, saving, failed
    this.problem = "";
    this.lost = false;    // no answer came: worth sending again by itself
    try { this.unsent = JSON.parse(stored(this.key)); } catch (broken) { this.unsent = null; }
    if (this.unsent) {
      this.state = "failed";
      this.lost = true;
      this.problem = "It could not be sent before this page was loaded again.";
    }
  }

  /** {body} once kept; {conflict: words} where a newer check or walk has begun; null where not kept. */
  send(path, body) {
    this.unsent = {path, body};
    store(this.key, JSON.stringify(this.unsent));
    return this.again();
  }

  async again() {
    if (!this.unsent || this.state === "saving") return null;
    const {path, body} = this.unsent;
    this.state = "saving";
    this.problem = "";
    this.onchange();
    try {
      const answer = await post(path, body);
      this.drop();
      return {body: answer};
    } catch (error) {
      if (error.status === 409) {
        this.drop();
        return {conflict: words(error)};
      }
      this.state = "failed";
      this.lost = error.status === 0;
      this.problem = words(error);
      this.onchange();
      return null;
    }
  }

  drop() {
    this.unsent = null;
    this.state = "idle";
    this.problem = "";
    this.lost = false;
    store(this.key, null);
  }
}

/** Asks for one picture on one prop, and tells whether it is what is lit.
    wanted: {prop, pattern, region?, level?, beat?} */
export class Lamp {
  constructor(onchange) {
    this.onchange = onchange;
    this.wanted = null;
    this.state = "idle";  // idle, asking, asked, failed
    this.problem = "";
    this.since = 0;
    this.turn = 0;
    this.queue = Promise.resolve();
  }

  /** Whether exactly what is wanted is lit, whoever asked for it. */
  matches(wanted = this.wanted) {
    const state = live.state;
    if (!state || !wanted || state.mode !== "lit" || state.pattern !== wanted.pattern) return false;
    if ((state.region || "all") !== (wanted.region || "all")) return false;
    if (typeof wanted.level === "number" && Math.abs(state.level - wanted.level) > 0.005) return false;
    const lit = litProps(state);
    return lit.length === 1 && lit[0].prop === wanted.prop && (!wanted.beat || lit[0].beat === wanted.beat);
  }

  /** Takes a new wish without lighting it. */
  want(wanted) {
    this.wanted = wanted;
    this.state = "idle";
    this.turn += 1;
  }

  /** Lights it after what was asked before has been answered; a newer wish takes its place. */
  light(wanted = this.wanted) {
    this.want(wanted);
    const turn = this.turn;
    this.state = "asking";
    this.onchange();
    this.queue = this.queue.then(() => this.ask(turn, wanted));
    return this.queue;
  }

  async ask(turn, wanted) {
    const stale = () => turn !== this.turn;
    if (stale()) return;
    try {
      await this.send(wanted, stale);
      if (stale()) return;
      this.asked();
    } catch (error) {
      if (stale()) return;
      this.state = "failed";
      this.problem = words(error);
    }
    this.onchange();
  }

  /** Asks the daemon for it; may stop half-way once it is stale. */
  async send(wanted, stale) {
    const body = {prop: wanted.prop, pattern: wanted.pattern};
    if (wanted.region) body.region = wanted.region;
    if (typeof wanted.level === "number") body.level = wanted.level;
    await post("/api/light", body);
    for (let beat = 1; beat < (wanted.beat || 1); beat += 1) {
      if (stale()) return;
      await post("/api/step", {go: "next"});
    }
  }

  /** It was asked for, and should show soon. */
  asked() {
    const {turn} = this;
    this.state = "asked";
    this.since = Date.now();
    setTimeout(() => { if (turn === this.turn) this.onchange(); }, kLightPatience + 50);
  }

  /** {kind, text, again}: what to say about the light; `again` where a button should light it. */
  report() {
    const state = live.state;
    if (!live.connected) return {kind: "lost", text: "No connection: this picture stands still.", again: false};
    if (this.state === "asking") return {kind: "wait", text: "Lighting …", again: false};
    if (this.state === "failed") return {kind: "bad", text: "It could not be lit. " + this.problem, again: true};
    if (this.matches()) {
      if (this.state === "asked") this.state = "idle";
      const troubles = this.troubles();
      return {kind: troubles.length ? "held" : "lit", text: ["Lit now.", ...troubles].join(" "), again: false};
    }
    if (this.state === "asked" && Date.now() - this.since < kLightPatience) {
      return {kind: "wait", text: "Lighting …", again: false};
    }
    if (!state || state.mode !== "lit") return {kind: "off", text: "Not lit: the lights are dark.", again: true};
    const lit = litProps(state).map((prop) => prop.prop);
    const where = lit.length === 1 ? lit[0] : `${lit.length} props`;
    const on = state.region && state.region !== "all" ? ` (${state.region})` : "";
    const what = state.pattern === "finder" ? "the fault finder" : state.pattern + on;
    return {kind: "off", text: `Something else is lit: ${what} on ${where}.`, again: true};
  }

  /** What holds this light back or goes wrong on its way. */
  troubles() {
    const {supplies, controllers, held} = live.state;
    const texts = supplies.map((supply) => supply.text)
      .concat(controllers.map((controller) => controller.text), held ? held.text : null);
    return texts.filter(Boolean).map(sentence);
  }
}

/** Calls act(key) for plain keys while nobody types; it says whether it took the key. Returns the end. */
export function listenKeys(act) {
  const heard = (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.repeat || event.isComposing) return;
    if (event.target.closest && event.target.closest("input, textarea, select")) return;
    if (act(event.key)) event.preventDefault();
  };
  document.addEventListener("keydown", heard);
  return () => document.removeEventListener("keydown", heard);
}

const kMonths = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const two = (n) => String(n).padStart(2, "0");

/** "25 Nov 2026, 17:08" on this device's clock; the time alone where it is today and `short`. */
export function when(iso, short) {
  const date = new Date(iso || "");
  if (Number.isNaN(date.getTime())) return "";
  const time = `${two(date.getHours())}:${two(date.getMinutes())}`;
  if (short && date.toDateString() === new Date().toDateString()) return time;
  return `${date.getDate()} ${kMonths[date.getMonth()]} ${date.getFullYear()}, ${time}`;
}

export function count(n, one, many) { return `${n} ${n === 1 ? one : many || one + "s"}`; }

export function place(...parts) { return "#/" + parts.map(encodeURIComponent).join("/"); }
