// The punch list: what the newest walk found, and what to look at next, cheapest first.

import {el, replace} from "./dom.js";
import {get} from "./api.js";
import {live} from "./live.js";
import {site} from "./model.js";
import {recall, remember} from "./prefs.js";
import {button, heading, linkButton} from "./ui.js";
import {count, place, when} from "./flow.js";
import {mark} from "./flow_parts.js";
import {notes} from "./walk_parts.js";

export async function show() {
  const [walk, whole] = await Promise.all([get("/api/walk"), site()]);
  return new Punch(walk, whole);
}

class Punch {
  constructor(walk, whole) {
    this.whole = whole;
    this.walk = walk;
    this.element = el("div", {class: "flow flow-punch"});
    this.logbook = live.state ? live.state.logbook : null;
    this.render();
  }

  leave() { this.gone = true; }

  live(state) {
    if (!live.connected || state.logbook === this.logbook) return;
    this.logbook = state.logbook;
    get("/api/walk").then((walk) => {
      if (this.gone || JSON.stringify(walk) === JSON.stringify(this.walk)) return;
      this.walk = walk;
      this.render();
    }).catch(() => { this.logbook = null; });
  }

  // What is ticked stays on this device; it is a working list, not a record.
  get ticked() {
    try {
      const kept = JSON.parse(recall("punch"));
      return kept && kept.walk === this.walk.walk ? kept.ticked : [];
    } catch (broken) { return []; }
  }
  tick(key, on) {
    const ticked = this.ticked.filter((one) => one !== key);
    remember("punch", JSON.stringify({walk: this.walk.walk, ticked: on ? [...ticked, key] : ticked}));
  }

  render() {
    const {state} = this.walk;
    replace(this.element, state === "not begun" ? this.drawNone() : this.drawList());
  }

  drawNone() {
    return [
      heading("Punch list", this.whole.site, {href: "#/walk", text: "Yard walk"}),
      el("p", {class: "flow-lead"}, "Nobody has walked the yard yet, so there is nothing to mend on this list."),
      el("div", {class: "flow-row"}, linkButton("To the yard walk", "#/walk", "main")),
    ];
  }

  drawList() {
    const {stops, punch_list: list, state, begun_at: begunAt, next} = this.walk;
    const good = stops.filter((stop) => stop.seen === "as drawn");
    const left = stops.filter((stop) => !stop.seen);
    const clean = good.length === stops.length;
    const {ticked} = this;
    const under = `${this.whole.site}: ${good.length} of ${stops.length} as drawn. Walk begun ${when(begunAt)}.`;
    return [
      heading(clean ? "Everything as drawn" : "Punch list", under, {href: "#/walk", text: "Yard walk"}),
      notes(this.walk),
      clean ? el("p", {class: "flow-proud"}, mark("yes"),
        el("span", null, `All ${count(stops.length, "prop")} lit as drawn. Nothing to mend.`)) : null,
      state === "open" ? el("div", {class: "flow-notice flow-open"},
        el("p", null, `The walk is not finished: ${count(left.length, "stop")} not seen yet (${left.map((stop) => stop.prop).join(", ")}).`),
        el("div", {class: "flow-row flow-screen"}, linkButton(`Go on at ${next}`, "#/walk"))) : null,
      !clean && !list.length ? el("p", {class: "flow-lead"}, "Nothing was found wrong so far.") : null,
      list.map((entry, i) => this.drawEntry(entry, i, stops.find((stop) => stop.prop === entry.prop), ticked)),
      good.length ? el("section", {class: "flow-good"},
        el("h2", {class: "flow-sub"}, clean ? "What was seen" : "As drawn"),
        el("ul", {class: "flow-good-list"}, good.map((stop) => el("li", null, mark("yes"),
          el("a", {href: place("prop", stop.prop)}, stop.prop), el("span", {class: "quiet"}, when(stop.at)))))) : null,
      el("div", {class: "flow-row flow-screen flow-after"},
        button("Print this list", () => window.print()),
        linkButton(state === "open" ? "To the walk" : "Walk again", "#/walk")),
      list.length ? el("p", {class: "quiet flow-screen"},
        "What you tick stays on this device. To take something off the list, go to its stop in the walk and answer again.") : null,
    ];
  }

  drawEntry(entry, i, stop, ticked) {
    const said = stop && stop.note && !entry.what.includes(stop.note) ? stop.note : "";
    return el("section", {class: "flow-fault sheet", aria: {label: entry.prop}},
      el("div", {class: "flow-fault-head"},
        el("h2", null, entry.prop),
        el("div", {class: "flow-fault-ways flow-screen"},
          linkButton("Find the fault", place("find", entry.prop, "walk"), "small", {aria: {label: `Find the fault: ${entry.prop}`}}),
          linkButton("Bench", place("prop", entry.prop), "small", {aria: {label: `Bench: ${entry.prop}`}}))),
      stop && stop.about ? el("p", {class: "quiet"}, stop.about) : null,
      el("p", {class: "flow-what"}, entry.what),
      said ? el("p", {class: "flow-said"}, `Noted: ${said}`) : null,
      stop ? el("p", {class: "quiet"}, `Seen ${when(stop.at)}. Controller ${stop.controller}, universe ${stop.universe}.`) : null,
      entry.check.length ? [
        el("h3", null, "Look at this next, cheapest first"),
        el("ol", {class: "flow-ticks"}, entry.check.map((text, n) => {
          const key = `${entry.prop} ${text}`;
          const id = `tick-${i}-${n}`;
          return el("li", null,
            el("input", {type: "checkbox", id, checked: ticked.includes(key), onchange: (event) => this.tick(key, event.target.checked)}),
            el("label", {for: id}, text));
        })),
      ] : null);
  }
}
