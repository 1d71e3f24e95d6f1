// Pieces of the screen that the bench check and the yard walk share.

import {el, svg, replace} from "./dom.js";
import {button} from "./ui.js";
import {draft, place} from "./flow.js";

const kMarks = {
  yes: "M5 13l5 5L19 7",
  no: "M6 6l12 12M18 6L6 18",
  unsure: "M8.5 9a3.5 3.5 0 1 1 5 3.2c-1 .5-1.5 1.2-1.5 2.3M12 18.4v.2",
  skipped: "M5 6l6 6-6 6M12 6l6 6-6 6",
  other: "M4 8h13M13 4l4 4-4 4M20 16H7M11 12l-4 4 4 4",
  nothing: "M12 5a7 7 0 1 0 .01 0M7 17L17 7",
  wrong: "M12 4l9 16H3zM12 10v4M12 17v.2",
};

export function mark(name) {
  return svg("svg", {viewBox: "0 0 24 24", class: "flow-mark", "aria-hidden": "true", focusable: "false"},
    svg("path", {d: kMarks[name], fill: "none", stroke: "currentColor", "stroke-width": "2.4",
      "stroke-linecap": "round", "stroke-linejoin": "round"}));
}

/** One of the big answers. kept: the time when the logbook took it; busy: it is being saved. */
export function answerButton({key, kind, label, more, kept, busy, locked, act}) {
  const small = busy ? "Saving …" : kept ? `Kept, ${kept}` : more;
  return el("button", {
    type: "button", class: `flow-answer flow-${kind}${kept && !busy ? " is-kept" : ""}${busy ? " is-busy" : ""}`,
    aria: {pressed: kept ? "true" : "false", keyshortcuts: key || null}, disabled: Boolean(locked), onclick: act,
  },
  mark(kind),
  el("span", {class: "flow-answer-words"},
    el("span", {class: "flow-answer-label"}, label),
    small ? el("span", {class: "flow-answer-small"}, small) : null),
  key ? el("kbd", {class: "flow-key", aria: {hidden: "true"}}, key) : null);
}

/** The strip that says whether the light is the one this page means. */
export class LampStrip {
  constructor(again) {
    this.again = again;
    this.element = el("div", {class: "flow-lamp"});
    this.shown = "";
  }

  show(report, label) {
    const now = JSON.stringify([report, label]);
    if (now === this.shown) return;
    this.shown = now;
    this.element.className = `flow-lamp is-${report.kind}`;
    replace(this.element,
      el("span", {class: "flow-lamp-dot", aria: {hidden: "true"}}),
      el("span", {class: "flow-lamp-words"}, report.text),
      report.again && label ? button(label, () => this.again(), "small") : null);
  }
}

/** An answer that is not saved yet, in plain words, with the way on. */
export function unsavedPanel(keeper, label, retry, giveUp) {
  return el("div", {class: "flow-unsaved", role: "alert"},
    el("p", {class: "flow-unsaved-title"}, `Not saved yet: “${label}”`),
    el("p", null, keeper.problem),
    el("p", null, keeper.lost
      ? "It is kept on this device, and is sent as soon as Panewalk answers again."
      : "It stays here until you try again or take it back."),
    el("div", {class: "flow-row"}, button("Try again", retry, "main"), button("Take it back", giveUp)));
}

/** A few words about what differs; `choices` are short ones to tap, and come first in the note. */
export class NotePanel {
  constructor({name, title, hint, choices, start, save, back}) {
    const all = choices || [];
    const parts = (draft.get(name) || start || "").split(", ");
    this.name = name;
    this.chosen = new Set(all.filter((choice) => parts.includes(choice)));
    this.area = el("textarea", {class: "flow-note", rows: "3", id: "flow-note", maxlength: "800",
      value: parts.filter((part) => !this.chosen.has(part)).join(", "),
      oninput: () => this.keep(),
      onkeydown: (event) => {
        if (event.key !== "Enter" || !(event.ctrlKey || event.metaKey)) return;
        event.preventDefault();
        save(this.text());
      }});
    this.title = el("h2", {class: "flow-question flow-focus", tabindex: "-1"}, title);
    this.element = el("div", {class: "flow-note-panel"},
      this.title,
      all.length ? el("div", {class: "flow-chips", role: "group", aria: {label: title}},
        all.map((choice) => this.chip(choice))) : null,
      el("label", {class: "flow-note-label", for: "flow-note"}, hint),
      this.area,
      el("div", {class: "flow-row"},
        button("Save and go on", () => save(this.text()), "main"),
        button("Back to the answers", back)));
  }

  chip(choice) {
    const node = el("button", {type: "button", class: "flow-chip",
      aria: {pressed: this.chosen.has(choice) ? "true" : "false"},
      onclick: () => {
        if (!this.chosen.delete(choice)) this.chosen.add(choice);
        node.setAttribute("aria-pressed", this.chosen.has(choice) ? "true" : "false");
        this.keep();
      }}, choice);
    return node;
  }

  text() { return [...this.chosen, this.area.value.trim()].filter(Boolean).join(", "); }
  keep() { draft.set(this.name, this.text()); }
}

/** A row of marks, one a step. states: yes, no, unsure, skipped, open; `here` is the one shown. */
export function progress(states, here) {
  return el("div", {class: "flow-progress", aria: {hidden: "true"}},
    states.map((state, i) => el("span", {class: `flow-bit is-${state}${i === here ? " is-here" : ""}`})));
}

/** A question that is asked before something is thrown away. */
export function confirmPanel(text, sure, act, leave) {
  const yes = button(sure, act, "plain", {class: "button plain flow-danger"});
  const panel = el("div", {class: "flow-confirm", role: "group", aria: {label: "Begin again?"}},
    el("p", {role: "alert"}, text), el("div", {class: "flow-row"}, yes, button("No, leave it", leave)));
  requestAnimationFrame(() => {
    panel.scrollIntoView({block: "nearest"});
    yes.focus({preventScroll: true});
  });
  return panel;
}

/** The way to the fault finder, after an answer that calls for it. */
export function findOffer(words, prop, from) {
  return el("span", null, words, " ", el("a", {class: "flow-find-link", href: place("find", prop, from)}, "Find the fault"));
}

/** What happened elsewhere, or what to know; empty where there is nothing to say. */
export function noticeBox(text) {
  return text ? el("p", {class: "flow-notice", role: "status"}, text) : null;
}

/** px: how tall a drawing may be, so that the question and its answers stay in sight. */
export function tallest() {
  return window.innerWidth >= 900 ? Math.max(320, window.innerHeight - 430) : Math.max(210, window.innerHeight - 622);
}

/** The words come before the picture where they matter more (a note, cautions). */
export function bodyParts(picture, words, ask, wordsFirst) {
  return wordsFirst ? [words, ask, picture] : [picture, words, ask];
}
