// The few pieces that all views are made of.

import {el, replace} from "./dom.js";
import {problemLines} from "./words.js";

/** A button. kind: "main" (filled, 72 px), "plain" (56 px), "small" (48 px, in text). */
export function button(label, onclick, kind, attributes) {
  return el("button", {type: "button", class: `button ${kind || "plain"}`, onclick, ...attributes}, label);
}

/** A link that looks like a button. */
export function linkButton(label, href, kind, attributes) {
  return el("a", {class: `button ${kind || "plain"}`, href, ...attributes}, label);
}

/**
 * One of a few: choice("Side", [["front", "FRONT"], ["back", "BACK"]], "front", (value) => …).
 * The element has .choose(value), which calls nobody.
 */
export function choice(label, options, value, onchange) {
  const group = el("div", {class: "choice", role: "group", aria: {label}});
  const buttons = options.map(([key, text]) => el("button", {
    type: "button", aria: {pressed: key === value ? "true" : "false"},
    onclick: () => { group.choose(key); onchange(key); },
  }, text));
  group.choose = (key) => options.forEach(([name], i) =>
    buttons[i].setAttribute("aria-pressed", name === key ? "true" : "false"));
  group.append(...buttons);
  return group;
}

/** A block for what went wrong; say(error) fills it, say(null) empties it. */
export function complaint() {
  const box = el("div", {class: "complaint", role: "alert"});
  box.say = (error) => {
    if (!error) return replace(box);
    return replace(box, problemLines(error).map((line) => el("p", null, line)));
  };
  return box;
}

/** The title of a view with a way back above it. */
export function heading(title, under, back) {
  return el("div", {class: "heading"},
    back ? el("a", {class: "back", href: back.href}, "← " + back.text) : null,
    el("h1", {tabindex: "-1"}, title),
    under ? el("p", {class: "under"}, under) : null);
}
