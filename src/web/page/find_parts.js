// The words of the fault finder's page, and its answers as a list.

import {el} from "./dom.js";
import {list} from "./words.js";

export const kColours = ["red", "green", "blue", "white", "yellow", "cyan", "magenta", "dark"];

const kWords = {
  same: {yes: "Yes", no: "No"},
  hold: {held: "Old light", dark: "Dark"},
  where: {none: "None lit"},
  "last-lit": {none: "None", all: "All of it"},
  other: {none: "No other prop"},
};

/** What a button says for a word of the answer. */
export function wordOf(ask, word) {
  if (word === "unsure") return "Unsure";
  return (kWords[ask] && kWords[ask][word]) || word;
}

/** An answer in words, of whatever kind. */
export function saidOf(answer) {
  if (Array.isArray(answer)) return answer.length ? list(answer) : "none";
  return answer === null ? "nothing that can be read" : String(answer);
}

/** The question itself, and what stands before and after it. */
export function inSentences(text) {
  const end = text.indexOf("?");
  if (end < 0) return {lead: "", asked: text, more: ""};
  const dot = text.lastIndexOf(". ", end);
  const start = dot < 0 ? 0 : dot + 2;
  return {lead: text.slice(0, start).trim(), asked: text.slice(start, end + 1), more: text.slice(end + 1).trim()};
}

/** What was asked and said; those that do not fit what was found are pointed out. */
export function answerList({answers, finding}) {
  const misfits = finding ? finding.misfits : [];
  return el("ol", {class: "flow-steps find-said"}, answers.map((answer) => {
    const off = misfits.includes(answer.question);
    return el("li", {class: `flow-step is-${off ? "unsure" : "open"}`},
      el("div", {class: "flow-step-go"},
        el("span", {class: "flow-step-number"}, String(answer.question)),
        el("span", {class: "flow-step-words"},
          el("span", {class: "flow-step-title"}, saidOf(answer.answer)),
          el("span", {class: "flow-step-more"}, answer.asked + (off ? ". Does not fit what was found." : "")))));
  }));
}
