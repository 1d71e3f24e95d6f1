// A list of questions that is gone through with the light on, alone or on several devices at once.

import {el, replace} from "./dom.js";
import {get, post} from "./api.js";
import {live} from "./live.js";
import {complaint} from "./ui.js";
import {Keeper, Lamp, draft, listenKeys} from "./flow.js";
import {LampStrip} from "./flow_parts.js";

/**
 * A view of one check or walk. Who extends it has, with `data` the body of the API:
 *   number(data), items(data), nameOf(item), answerOf(item), said(item or body sent), wanted(item),
 *   cautious(item), key(key), screens() → {name: function that gives nodes}, and `news`: {begun, kind}.
 */
export class Flow {
  constructor(context, {name, path, data}) {
    Object.assign(this, {context, name, path, data});
    this.element = el("div", {class: "flow"});
    this.screen = "start";  // start, item, end, and those of the view
    this.at = null;         // name of the item that is shown
    this.detail = null;     // what a screen of the view is about
    this.read = null;       // the item whose cautions were read
    this.notice = "";
    this.gone = false;
    this.stale = false;
    this.logbook = live.state ? live.state.logbook : null;
    this.connected = false;
    this.trouble = complaint();
    this.keeper = new Keeper(name, () => this.render());
    this.lamp = new Lamp(() => this.showLamp());
    this.strip = new LampStrip(() => this.lamp.light());
    this.ends = [listenKeys((key) => this.screen === "item" && !this.keeper.unsent && this.key(key))];
  }

  item(name = this.at) { return this.items(this.data).find((item) => this.nameOf(item) === name) || null; }
  index(name = this.at) { return this.items(this.data).findIndex((item) => this.nameOf(item) === name); }

  /** before: the same view, where it only was made anew because the site was read again. */
  open(before) {
    const unsent = this.keeper.unsent;
    if (unsent && (unsent.body[this.news.kind] !== this.number(this.data) || !this.item(this.itemOf(unsent.body)))) {
      this.notice = `“${this.said(unsent.body)}” belonged to a ${this.news.kind} that was begun again since. It was not saved.`;
      this.keeper.drop();
    }
    if (this.keeper.unsent) return this.go(this.itemOf(unsent.body), false);
    if (!before || before.screen === "start" || this.number(before.data) !== this.number(this.data)) return this.render();
    if (before.screen === "end") return this.finish();
    if (!this.item(before.at)) return this.onward(false);
    this.read = before.read;
    this.go(before.at, false);
    if (before.screen !== "item") this.open_(before.screen, before.detail);
    return undefined;
  }

  leave() {
    this.gone = true;
    this.ends.forEach((end) => end());
  }

  live(state) {
    this.paint(state);
    this.element.classList.toggle("is-lost", !live.connected);
    this.showLamp();
    this.aboveBar();
    if (live.connected && !this.connected && this.keeper.state === "failed" && this.keeper.lost) this.retry();
    this.connected = live.connected;
    if (live.connected && state.logbook !== this.logbook) {
      this.logbook = state.logbook;
      this.fetch();
    }
  }

  /** The bar grows with what it has to say; the answers must not slip under it. */
  aboveBar() {
    const bar = document.getElementById("bar");
    const height = bar ? bar.offsetHeight : 0;
    if (!height || height === this.barHeight) return;
    this.barHeight = height;
    this.element.style.setProperty("--flow-bar", `${height}px`);
  }

  // --- what other devices did ---

  async fetch() {
    if (this.keeper.state === "saving") { this.stale = true; return; }
    try { this.take(await get(this.path)); } catch (error) { this.logbook = null; }
  }

  take(data) {
    if (this.keeper.state === "saving") { this.stale = true; return; }
    if (this.gone || JSON.stringify(data) === JSON.stringify(this.data)) return;
    const old = this.data;
    const was = this.item();
    this.data = data;
    if (this.number(data) !== this.number(old)) { this.newer(this.news.begun); return; }
    const now = this.item();
    const other = was && now && (was.at !== now.at || this.answerOf(was) !== this.answerOf(now));
    const news = other ? `Answered on another device: ${this.said(now)}.` : "";
    if (other && this.screen === "item" && old.next === this.at && !this.keeper.unsent) {
      this.notice = `${this.titleOf(now)}: answered on another device, ${this.said(now)}.`;
      this.onward(false);
    } else if (this.screen === "start" || this.screen === "item" || this.screen === "end") {
      if (other) this.notice = news;
      this.render();
    } else if (other) this.context.say(news);  // never takes away what is being typed
  }

  newer(notice) {
    this.keeper.drop();
    this.notice = notice;
    this.read = null;
    if (this.screen === "start") this.render();
    else this.onward(false);
  }

  // --- moving ---

  onward(light) {
    if (this.data.next) this.go(this.data.next, light);
    else if (this.number(this.data)) this.finish();
    else this.open_("start");
  }

  go(name, light) {
    const moved = this.at !== name || this.screen !== "item";
    this.at = name;
    this.screen = "item";
    this.detail = null;
    const item = this.item();
    if (this.read !== name) this.read = null;
    if (!this.lamp.wanted || this.lamp.wanted.item !== name) this.lamp.want({...this.wanted(item), item: name});
    if (light && !this.cautious(item) && !this.lamp.matches()) this.lamp.light();
    this.arrived();
    this.render(moved);
  }

  arrived() {}

  open_(screen, detail) {
    this.screen = screen;
    this.detail = detail === undefined ? null : detail;
    this.render(true);
  }

  finish() { this.open_("end"); }

  /** To an item that was chosen by hand. */
  visit(name) {
    this.notice = "";
    this.go(name, true);
  }

  back() {
    const i = this.index();
    if (i > 0) this.visit(this.nameOf(this.items(this.data)[i - 1]));
    else this.open_("start");
  }

  async begin(body) {
    this.trouble.say(null);
    try {
      this.data = await post(this.path + "/begin", body);
      if (this.gone) return;
      this.keeper.drop();
      this.notice = "";
      this.read = null;
      this.onward(true);
    } catch (error) { this.trouble.say(error); }
  }

  // --- answering ---

  save(body) {
    this.screen = "item";
    this.notice = "";
    return this.settle(this.keeper.send(this.path + "/answer", body), body);
  }

  retry() { return this.settle(this.keeper.again(), this.keeper.unsent && this.keeper.unsent.body); }

  async settle(sent, body) {
    const result = await sent;
    const {stale} = this;
    this.stale = false;
    if (result && result.body) draft.set(this.draftOf(this.itemOf(body)), "");
    if (this.gone) return;
    if (result && result.conflict) {
      try { this.data = await get(this.path); } catch (error) { this.logbook = null; }
      this.newer(`“${this.said(body)}” was not saved. ${result.conflict}`);
    } else if (result) {
      this.data = result.body;
      this.notice = this.offer(body);
      this.context.say(`Saved: ${this.said(body)}.`);
      this.onward(true);
    } else if (this.keeper.state === "failed") {
      const again = this.element.querySelector(".flow-unsaved button");
      if (again) {
        window.scrollTo(0, 0);
        again.focus({preventScroll: true});
      }
    }
    if (stale) this.fetch();
  }

  /** What to say on the next screen after this answer: "" or a node. */
  offer() { return ""; }

  draftOf(name) { return `${this.name}.${name}`; }

  // --- the screen ---

  showLamp() {
    if (this.screen === "start" || this.screen === "end" || !this.item()) return;
    const cautious = this.cautious(this.item());
    if (this.screen === "item" && this.shownCautious !== cautious && !this.keeper.unsent) this.render();
    this.strip.show(cautious ? {kind: "wait", text: "Not lit yet."} : this.lamp.report(), "Light it");
  }

  render(moved) {
    if (this.gone) return;
    const had = this.element.contains(document.activeElement);
    this.element.dataset.screen = this.screen;
    const item = this.screen === "item" ? this.item() : null;
    this.shownCautious = item ? this.cautious(item) : false;
    replace(this.element, this.screens()[this.screen]());
    this.showLamp();
    if (!this.element.isConnected) return;
    if (moved) window.scrollTo(0, 0);
    if (moved || (had && !this.element.contains(document.activeElement))) {
      const title = this.element.querySelector(".flow-focus") || this.element.querySelector("h1");
      if (title) title.focus({preventScroll: true});
    }
  }
}
