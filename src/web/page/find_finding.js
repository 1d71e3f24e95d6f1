// What the fault finder found: the sentence, where it is, what to do, and what became of it.

import {el, replace} from "./dom.js";
import {get, post} from "./api.js";
import {prefs} from "./prefs.js";
import {button, complaint, heading, linkButton} from "./ui.js";
import {draft, place, when} from "./flow.js";
import {NotePanel, answerButton, confirmPanel, mark, noticeBox, tallest} from "./flow_parts.js";
import {darkOffer} from "./check_parts.js";
import {Pad} from "./find_pad.js";
import {answerList} from "./find_parts.js";

const kRepairs = [
  {repair: "mended", label: "It is mended", kind: "yes"},
  {repair: "not mended", label: "Not mended", kind: "no"},
  {repair: "was another fault", label: "It was something else", kind: "other"},
];

/** The screen of the finding of `view`. */
export function finding(view) {
  const {finding: found, repair, stale} = view.data;
  const clean = found.fault === "none";
  return [
    heading(clean ? "Nothing is wrong" : "What is wrong", view.prop, {href: place("prop", view.prop), text: "Bench"}),
    noticeBox(view.notice),
    el("div", {class: found.pixels.length ? "find-board" : null},
      el("div", null,
        clean && !stale ? el("p", {class: "flow-proud"}, mark("yes"), el("span", null, found.text)) : el("p", {class: "find-verdict"}, found.text),
        found.how_sure ? el("p", {class: "find-sure"}, found.how_sure) : null),
      found.pixels.length ? picture(view, found) : null,
      el("div", {class: "find-do"},
        found.suspects.length ? [el("h2", {class: "flow-sub"}, "Where to look"), el("ul", {class: "find-list"}, found.suspects.map((text) => el("li", null, text)))] : null,
        found.do.length ? [el("h2", {class: "flow-sub"}, "What to do"), el("ol", {class: "find-list find-steps"}, found.do.map((text) => el("li", null, text)))] : null,
        found.confirm ? [el("h2", {class: "flow-sub"}, "How to see that it holds"), el("p", null, found.confirm)] : null)),
    darkOffer(clean ? "The last picture may still be lit." : "The last picture may still be lit. Go dark, and switch the power off, before you touch anything."),
    found.correction ? correction(view, found.correction) : null,
    repairs(view, repair, clean),
    found.also.length ? [el("h2", {class: "flow-sub"}, "What else it can be"), el("ul", {class: "find-list"}, found.also.map((text) => el("li", null, text)))] : null,
    el("details", {class: "flow-more flow-all"}, el("summary", null, "What was asked and said"), answerList(view.data)),
    el("div", {class: "flow-row"},
      button("Search again", () => view.open_("start")),
      linkButton("Bench check", place("check", view.prop)),
      linkButton("Bench of this prop", place("prop", view.prop))),
  ];
}

function picture(view, found) {
  const key = `${view.data.find} ${found.pixels}`;
  if (!view.board || view.board.key !== key) {
    view.board = {key, pad: new Pad(view.frame, {side: prefs.side, marked: found.pixels, wires: true, tallest: Math.max(300, tallest()), turned: view.turned})};
  }
  view.picture = view.board.pad;
  view.picture.side(prefs.side);
  view.pictureFor = null;
  return el("div", {class: "flow-picture"},
    view.turned ? el("p", {class: "flow-turned"}, "Hung upside down, and drawn that way here. Words name places as drawn upright.") : null,
    view.picture.element, el("div", {class: "flow-picture-foot"}, view.sides));
}

// --- the description instead of the wire ---

function correction(view, offered) {
  const trouble = complaint();
  const box = el("div", {class: "flow-again"});
  const write = async () => {
    // The page is made anew when the site was read, maybe before the answer is here.
    view.notice = `${offered.file} says now what was built, and the site was read again.`;
    try {
      view.data = await post(view.path + "/accept", {find: view.data.find});
      view.render(true);
    } catch (error) {
      view.notice = "";
      trouble.say(error);
      replace(box, offer);
    }
  };
  const offer = button("Write it into the file …", () => replace(box, confirmPanel(
    `Change ${offered.file} as shown? The lights go dark, and the site is read again.`, "Write it", write, () => replace(box, offer))));
  box.append(offer);
  return el("section", {class: "sheet find-correction"},
    el("h2", null, "Or leave it as it is built"),
    el("p", null, "Where the prop is well as it is, the description can say so instead. ", offered.why,
      offered.in_controller ? " The same can be mended at the controller or its plugs." : ""),
    el("pre", {class: "find-difference", tabindex: "0", aria: {label: `Change of ${offered.file}`}}, lines(offered.difference)),
    offered.may_accept ? box : el("p", {class: "quiet"}, "To write it, run ", el("code", null, `panewalk find SITE ${view.prop} --write`), "."),
    trouble);
}

function lines(difference) {
  return difference.split("\n").map((line, i) => el("span", {
    class: i > 1 && line.startsWith("+") ? "is-new" : i > 1 && line.startsWith("-") ? "is-old" : null}, line + "\n"));
}

// --- what became of it ---

function repairs(view, repair, clean) {
  if (clean) return null;
  return [
    el("h2", {class: "flow-sub", id: "find-repair"}, "What became of it?"),
    repair && repair.note ? el("p", {class: "flow-said"}, `Noted: ${repair.note}`) : null,
    el("div", {class: "flow-answers find-repairs", role: "group", aria: {labelledby: "find-repair"}},
      kRepairs.map(({repair: word, label, kind}) => answerButton({kind, label,
        kept: repair && repair.repair === word ? when(repair.at, true) + (repair.fault ? `: ${repair.fault}` : "") : "",
        act: () => view.open_("repair", word)}))),
    repair && repair.repair === "mended"
      ? el("p", {class: "quiet"}, "Search again to see that nothing else is wrong: a break hides what lies past it.") : null,
    view.trouble,
  ];
}

/** A few words about the repair; of another fault also which it was. */
export function repairNote(view) {
  const {finding: found} = view.data;
  const {repair, label} = kRepairs.find((one) => one.repair === view.detail);
  const name = `${view.name}.repair`;
  const others = found.also_possible.map((one) => (one.value ? `${one.fault}=${one.value}` : one.fault)).slice(0, 12);
  const which = repair === "was another fault" ? el("select", {id: "find-which"},
    el("option", {value: ""}, "None of these, or nobody knows"), others.map((fault) => el("option", {value: fault}, fault))) : null;
  const note = new NotePanel({
    name, title: label, hint: "A few words help the next time; you may leave it empty.",
    save: async (text) => {
      const body = {find: view.data.find, repair};
      if (text) body.note = text;
      if (which && which.value) body.fault = which.value;
      view.trouble.say(null);
      try {
        view.data = await post(view.path + "/repaired", body);
        draft.set(name, "");
        view.notice = "";
        view.context.say(`Saved: ${label}.`);
        view.finish();
      } catch (error) {
        view.trouble.say(error);
        if (error.status === 409) view.data = await get(view.path).catch(() => view.data);
      }
    },
    back: () => view.finish(),
  });
  return [
    heading("What became of it", view.prop),
    which ? el("div", {class: "find-which"}, el("label", {for: "find-which"}, "What was it?"), which) : null,
    note.element, view.trouble,
  ];
}
