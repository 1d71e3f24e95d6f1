// The yard walk: from prop to prop, each lit on arrival and alone.

import {el, replace} from "./dom.js";
import {get} from "./api.js";
import {live} from "./live.js";
import {drawing, site} from "./model.js";
import {recall, remember} from "./prefs.js";
import {Drawing} from "./drawing.js";
import {button, choice, heading, linkButton} from "./ui.js";
import {count, place, when} from "./flow.js";
import {NotePanel, answerButton, confirmPanel, findOffer, mark, noticeBox, progress, tallest, unsavedPanel} from "./flow_parts.js";
import {Flow} from "./flow_view.js";
import {darkOffer} from "./check_parts.js";
import {Awake} from "./awake.js";
import {sketch} from "./sketch.js";
import {kLights, kSeen, kWrong, kindOf, notes, saidOf, stopList} from "./walk_parts.js";

let active = null;  // on the screen now: when the site is read again, the walk goes on where it was

export async function show(context) {
  const [data, whole] = await Promise.all([get("/api/walk"), site()]);
  const before = active && !active.gone ? active : null;
  active = new Walk(context, {path: "/api/walk", data, whole});
  active.open(before);
  active.fetchFrames();
  return active;
}

class Walk extends Flow {
  constructor(context, given) {
    super(context, {...given, name: "walk"});
    this.whole = given.whole;
    this.news = {kind: "walk", begun: "This walk was begun again on another device. This is the new one."};
    this.element.classList.add("flow-walk");
    this.frames = new Map();    // prop → drawing's JSON
    this.pictures = new Map();  // prop → Drawing
    this.by = "order";
    this.light = kLights.find((light) => light.key === recall("walk.light")) || kLights[0];
    this.awake = new Awake(() => this.screen === "start" && this.render());
  }

  number(data) { return data.walk; }
  items(data) { return data.stops; }
  nameOf(stop) { return stop.prop; }
  titleOf(stop) { return stop.prop; }
  itemOf(body) { return body.prop; }
  answerOf(stop) { return [stop.seen, stop.other, stop.note].join("\n"); }
  said(of) { return saidOf(of); }
  wanted(stop) { return {prop: stop.prop, pattern: this.light.pattern, region: this.light.region}; }
  cautious() { return false; }
  offer({prop, seen, other}) {
    return seen === "as drawn" ? "" : findOffer(`${prop}: ${saidOf({seen, other})}.`, prop, "walk");
  }
  hung(prop) { return (this.whole.props.find((one) => one.prop === prop) || {}).hung || "upright"; }

  leave() {
    super.leave();
    this.awake.stop();
  }

  finish() {
    this.awake.stop();
    super.finish();
  }

  paint(state) {
    const picture = this.pictures.get(this.at);
    const entry = picture && state.props.find((prop) => prop.prop === this.at);
    if (entry) picture.paint(entry.sent);
  }

  arrived() {
    this.awake.start();
    this.fetchFrame(this.at).then(() => {
      if (this.gone || this.screen !== "item" || this.pictures.has(this.at)) return;
      this.render();
    });
  }

  async fetchFrame(prop) {
    try {
      if (!this.frames.has(prop)) this.frames.set(prop, await drawing(prop));
    } catch (error) { /* the words do without it; asked for again at the next visit */ }
  }

  /** The outlines for the sketch. */
  async fetchFrames() {
    if (this.data.stops.length > 24) return;
    await Promise.all(this.data.stops.map((stop) => this.fetchFrame(stop.prop)));
    if (!this.gone && (this.screen === "start" || this.screen === "end")) this.render();
  }

  picture(prop) {
    const frame = this.frames.get(prop);
    if (frame && !this.pictures.has(prop)) {
      const turned = this.hung(prop) === "turned";
      const room = window.innerWidth >= 900 ? 420 : tallest() - 16 - (turned ? 52 : 0);
      const picture = new Drawing(frame, {side: "front", paths: false, labels: false, turned, tallest: Math.min(tallest(), room)});
      this.pictures.set(prop, picture);
      const entry = live.state && live.state.props.find((one) => one.prop === prop);
      if (entry) picture.paint(entry.sent);
    }
    const picture = this.pictures.get(prop);
    return picture ? picture.element : el("p", {class: "quiet"}, "The drawing is on its way.");
  }

  choose(key) {
    this.light = kLights.find((light) => light.key === key);
    remember("walk.light", key);
    this.lamp.light({...this.wanted(this.item()), item: this.at});
  }

  screens() {
    return {start: () => this.drawStart(), item: () => this.drawStop(), other: () => this.drawOther(),
      note: () => this.drawNote(), end: () => this.drawEnd()};
  }

  answer(seen) {
    if (this.keeper.unsent) return;
    if (seen === "another prop") this.open_("other");
    else if (seen === "wrong") this.open_("note");
    else this.say(seen);
  }

  say(seen, more) { return this.save({walk: this.data.walk, prop: this.at, seen, ...more}); }

  key(key) {
    const one = kSeen[Number(key) - 1];
    if (!one) return false;
    this.answer(one.seen);
    return true;
  }

  map(here) {
    return sketch({stops: this.data.stops.map((stop) => ({prop: stop.prop, state: kindOf(stop.seen)})),
      props: this.whole.props, frames: this.frames, here, path: this.data.state !== "not begun" || this.by === "order"});
  }

  // --- the screens ---

  drawStart() {
    const {state, stops, next, by} = this.data;
    const seen = stops.filter((stop) => stop.seen).length;
    const placed = this.whole.props.filter((prop) => prop.place_m).length;
    const order = choice("Go round", [["order", "As the site says"], ["nearest", "Nearest next"]], this.by, (value) => {
      this.by = value;
      if (state !== "open") this.render();
    });
    const beginBox = el("div", {class: "flow-begin"},
      placed > 1 ? el("div", null, el("span", {class: "label"}, "Order"), order) : null,
      state === "open" ? null : button("Begin the walk", () => this.begin({by: this.by}), "main"));
    const again = el("div", {class: "flow-again"});
    const ask = button("Begin again …", () => replace(again, beginBox, confirmPanel(
      `This walk has ${count(seen, "answer")} and is not finished. Begin again? The logbook keeps what was said.`,
      "Begin again", () => this.begin({by: this.by}), () => replace(again, ask))));
    if (state === "open") again.append(ask);
    return [
      heading("Yard walk", this.whole.site),
      noticeBox(this.notice),
      el("p", {class: "flow-lead"}, "You go from prop to prop. Each is lit when you get there, and only that one. ",
        "You say what lit, and at the end there is a list of what to mend."),
      state === "open" ? el("div", {class: "flow-row"},
        button(`Go on: ${next}, stop ${this.index(next) + 1} of ${stops.length}`, () => this.visit(next), "main")) : beginBox,
      state === "done" ? el("div", {class: "flow-row"}, linkButton("Punch list of the last walk", "#/punch")) : null,
      this.trouble,
      el("h2", {class: "flow-sub"}, state === "open" ? `${seen} of ${stops.length} seen` : count(stops.length, "stop")),
      state !== "open" && this.by === "nearest"
        ? el("p", {class: "quiet"}, "The order is worked out when the walk begins; the list shows the site's.") : null,
      notes(this.data),
      state === "open" && by === "nearest" ? el("p", {class: "quiet"}, "By the nearest next place.") : null,
      el("div", {class: "flow-plan"}, this.map(null),
        stopList(state === "open" ? stops : stops.map((stop) => ({...stop, seen: null, at: null})), null, next,
          state === "open" ? (prop) => this.visit(prop) : null)),
      state === "open" ? again : null,
      el("ul", {class: "flow-hints"},
        el("li", null, "Each answer is kept at once: stop when you like, and go on here or on another device."),
        el("li", null, this.lightsOut()),
        el("li", null, this.awake.why || "The screen stays on during the walk.")),
      this.data.begun_at ? el("p", {class: "quiet"}, `${state === "open" ? "Begun" : "Last walk begun"} ${when(this.data.begun_at)}.`) : null,
    ];
  }

  lightsOut() {
    const minutes = this.whole.unwatched_minutes;
    return `If the phone goes off or out of reach, the lights go dark by themselves ${minutes
      ? `after ${count(minutes, "minute")}` : "after a while (ten minutes unless the site file says otherwise)"}.`;
  }

  frameOf(stop, inWords, ask, wordsFirst) {
    const {stops} = this.data;
    const i = this.index();
    const turned = this.hung(stop.prop) === "turned";
    const words = el("div", {class: "flow-words"}, inWords);
    const picture = el("div", {class: "flow-picture"},
      turned ? el("p", {class: "flow-turned"}, "Hung upside down, and drawn that way here.") : null,
      this.picture(stop.prop),
      el("p", {class: "flow-side"}, turned ? "FRONT, turned as it hangs" : "FRONT, as the street sees it"));
    return [
      el("div", {class: "flow-top"},
        el("button", {type: "button", class: "flow-back", onclick: () => this.back()}, "← ", i > 0 ? "Stop before" : "Start"),
        el("p", {class: "flow-count"}, `Stop ${i + 1} of ${stops.length}`),
        progress(stops.map((one) => kindOf(one.seen)), i)),
      el("h1", {class: "flow-huge", tabindex: "-1"}, stop.prop),
      stop.about ? el("p", {class: "flow-about"}, stop.about) : null,
      noticeBox(this.notice),
      el("div", {class: "flow-body"}, wordsFirst ? [words, picture] : [picture, ask, words]),
    ];
  }

  drawStop() {
    const stop = this.item();
    const {unsent} = this.keeper;
    const saving = this.keeper.state === "saving";
    return [
      unsent && !saving
        ? this.frameOf(stop, unsavedPanel(this.keeper, this.said(unsent.body), () => this.retry(),
          () => { this.keeper.drop(); this.render(); }), null, true)
        : this.frameOf(stop, [
          stop.seen === "wrong" && stop.note ? el("p", {class: "flow-said"}, `Noted: ${stop.note}`) : null,
          stop.seen && stop.seen !== "as drawn" ? linkButton("Find the fault", place("find", stop.prop, "walk"), "small") : null,
          el("div", {class: "flow-pick"}, el("span", {class: "label"}, "Light at each stop"),
            choice("Light at each stop", kLights.map((light) => [light.key, light.label]), this.light.key, (key) => this.choose(key))),
          el("p", {class: "quiet"}, this.wayOn(stop)),
        ], this.drawAnswers(stop, saving)),
      el("details", {class: "flow-more flow-all"}, el("summary", null, "All stops"),
        el("div", {class: "flow-plan"}, this.map(stop.prop),
          stopList(this.data.stops, stop.prop, this.data.next, unsent ? null : (prop) => this.visit(prop)))),
    ];
  }

  wayOn(stop) {
    const after = this.data.stops.slice(this.index() + 1).find((one) => !one.seen);
    return `Controller ${stop.controller}, universe ${stop.universe}.${after ? ` After this: ${after.prop}.` : ""}`;
  }

  drawAnswers(stop, saving) {
    return el("div", {class: "flow-ask"}, this.strip.element,
      el("h2", {class: "flow-question", id: "flow-question"}, "What lit?"),
      el("div", {class: "flow-answers", role: "group", aria: {labelledby: "flow-question", busy: saving ? "true" : null}},
        kSeen.map(({seen, label, kind}, i) => answerButton({
          key: String(i + 1), kind, label, locked: saving, busy: saving && this.keeper.unsent.body.seen === seen,
          kept: stop.seen === seen ? when(stop.at, true) + (stop.other ? `: ${stop.other}` : "") : "",
          act: () => this.answer(seen)}))));
  }

  drawOther() {
    const stop = this.item();
    const others = this.data.stops.filter((one) => one.prop !== stop.prop);
    return this.frameOf(stop, [
      el("h2", {class: "flow-question flow-focus", tabindex: "-1"}, "Which prop lit instead?"),
      el("div", {class: "flow-props"},
        others.map((prop) => el("button", {type: "button", class: "flow-prop", aria: {pressed: stop.other === prop.prop ? "true" : "false"},
          onclick: () => this.say("another prop", {other: prop.prop})},
        el("span", {class: "flow-step-title"}, prop.prop), prop.about ? el("span", {class: "flow-step-more"}, prop.about) : null)),
        el("button", {type: "button", class: "flow-prop", onclick: () => this.say("another prop")},
          el("span", {class: "flow-step-title"}, "Can't tell which"))),
      el("div", {class: "flow-row"}, button("Back to the answers", () => this.go(this.at, false))),
    ], null, true);
  }

  drawNote() {
    const stop = this.item();
    const note = new NotePanel({
      name: this.draftOf(this.at), title: "What looks wrong?", choices: kWrong,
      hint: "In your own words, if you like:", start: stop.note,
      save: (text) => this.say("wrong", text ? {note: text} : {}),
      back: () => this.go(this.at, false),
    });
    return this.frameOf(stop, note.element, null, true);
  }

  drawEnd() {
    const {stops} = this.data;
    const good = stops.filter((stop) => stop.seen === "as drawn").length;
    const open = stops.filter((stop) => !stop.seen).length;
    const clean = good === stops.length;
    return [
      heading(clean ? "Everything as drawn" : "The walk is done", `${good} of ${stops.length} lit as drawn.`),
      noticeBox(this.notice),
      notes(this.data),
      clean ? el("p", {class: "flow-proud"}, mark("yes"),
        el("span", null, `All ${count(stops.length, "prop")} answer to their own channels, in their own place.`)) : null,
      el("div", {class: "flow-row"},
        linkButton(clean ? "The record of this walk" : `Punch list: ${count(stops.length - good - open, "prop")}`,
          "#/punch", clean ? "plain" : "main")),
      darkOffer("The last prop may still be lit."),
      el("h2", {class: "flow-sub"}, "All stops"),
      el("p", {class: "quiet"}, "Tap a stop to light it again and change what was seen."),
      el("div", {class: "flow-plan"}, this.map(null), stopList(stops, null, null, (prop) => this.visit(prop))),
      el("div", {class: "flow-row"}, button("To the start of a new walk", () => this.open_("start"))),
    ];
  }
}
