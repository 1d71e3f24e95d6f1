// The stops of the yard walk as a list, and the words for what was seen.

import {el} from "./dom.js";
import {when} from "./flow.js";
import {mark} from "./flow_parts.js";

/** What may be lit at a stop. The first is taken until another is chosen. */
export const kLights = [
  {key: "corners", label: "Corners", pattern: "corner-check", region: null},
  {key: "all", label: "All of it, slowly", pattern: "find-me", region: null},
  {key: "runs", label: "Runs", pattern: "run-colours", region: null},
  {key: "first", label: "First pixel", pattern: "find-me", region: "pixel 1"},
];

export const kSeen = [
  {seen: "as drawn", label: "It lit as drawn", kind: "yes"},
  {seen: "another prop", label: "Another prop lit", kind: "other"},
  {seen: "nothing", label: "Nothing lit", kind: "nothing"},
  {seen: "wrong", label: "Something looks wrong", kind: "wrong"},
];

export const kWrong = ["colours wrong", "some pixels dark", "turned or mirrored", "flickers", "too dim"];

export function kindOf(seen) {
  const one = kSeen.find((entry) => entry.seen === seen);
  return one ? one.kind : "open";
}

/** Of a stop or of an answer on its way. */
export function saidOf({seen, other, note}) {
  const one = kSeen.find((entry) => entry.seen === seen);
  const label = seen === "another prop" && other ? `${other} lit instead` : one ? one.label : "";
  return label + (note ? ` (${note})` : "");
}

/** The stops in their order. go(prop) where they can be visited. */
export function stopList(stops, here, next, go) {
  return el("ol", {class: "flow-steps"}, stops.map((stop, i) => {
    const more = [stop.seen ? saidOf(stop) : stop.prop === next ? "Next" : "", stop.at ? when(stop.at, true) : ""]
      .filter(Boolean).join(" · ") || stop.about;
    const inside = [
      el("span", {class: "flow-step-number"}, String(i + 1)),
      el("span", {class: "flow-step-words"}, el("span", {class: "flow-step-title"}, stop.prop),
        more ? el("span", {class: "flow-step-more"}, more) : null),
      stop.seen ? mark(kindOf(stop.seen)) : null,
    ];
    return el("li", {class: `flow-step is-${kindOf(stop.seen)}${stop.prop === here ? " is-here" : ""}`,
      aria: {current: stop.prop === here ? "step" : null}},
    go ? el("button", {type: "button", class: "flow-step-go", onclick: () => go(stop.prop)}, inside)
       : el("div", {class: "flow-step-go"}, inside));
  }));
}

/** What changed on the site since the walk began. */
export function notes(walk) {
  return walk.notes && walk.notes.length
    ? el("ul", {class: "flow-hints"}, walk.notes.map((note) => el("li", null, note))) : null;
}
