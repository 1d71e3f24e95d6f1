// The list of the steps and the end of the bench check, on the screen and on paper.

import {el, replace} from "./dom.js";
import {button, complaint, heading, linkButton} from "./ui.js";
import {post} from "./api.js";
import {count, place, when} from "./flow.js";
import {mark, noticeBox} from "./flow_parts.js";

export const kAnswers = [
  {answer: "yes", label: "Yes"}, {answer: "no", label: "No"},
  {answer: "unsure", label: "Not sure"}, {answer: "skipped", label: "Skip"},
];
const kSaid = {yes: "Yes", no: "No", unsure: "Not sure", skipped: "Skipped"};

export function answerLabel(answer) { return kSaid[answer] || answer; }

/** All steps with what was answered; those that do not fit are grey and say why. */
export function stepList(bench, here, go) {
  let number = 0;
  return el("ol", {class: "flow-steps"}, bench.steps.map((step) => {
    if (!step.fits) {
      return el("li", {class: "flow-step is-unfit"},
        el("span", {class: "flow-step-number", aria: {hidden: "true"}}, "–"),
        el("span", {class: "flow-step-words"}, el("span", {class: "flow-step-title"}, step.title),
          el("span", {class: "flow-step-more"}, `Not asked: ${step.why_not || "it does not fit this prop"}`)));
    }
    number += 1;
    const more = [step.answer ? answerLabel(step.answer) : step.step === bench.next ? "Next" : "",
      step.note, step.at ? when(step.at, true) : ""].filter(Boolean).join(" · ");
    const inside = [
      el("span", {class: "flow-step-number"}, step.answer ? mark(step.answer) : String(number)),
      el("span", {class: "flow-step-words"}, el("span", {class: "flow-step-title"}, step.title),
        more ? el("span", {class: "flow-step-more"}, more) : null),
    ];
    return el("li", {class: `flow-step is-${step.answer || "open"}${step.step === here ? " is-here" : ""}`,
      aria: {current: step.step === here ? "step" : null}},
    go ? el("button", {type: "button", class: "flow-step-go", onclick: () => go(step.step)}, inside)
       : el("div", {class: "flow-step-go"}, inside));
  }));
}

/** The end of the check `view`. */
export function summary(view) {
  const {data: bench, prop: name, siteName, frame} = view;
  const asked = bench.steps.filter((step) => step.fits);
  const of = (answer) => asked.filter((step) => step.answer === answer).length;
  const open = asked.filter((step) => !step.answer).length;
  const parts = [
    `${of("yes")} as drawn`, of("no") ? `${of("no")} not` : "", of("unsure") ? `${of("unsure")} not sure` : "",
    of("skipped") ? `${of("skipped")} skipped` : "", open ? `${open} not answered` : "",
  ].filter(Boolean).join(", ");
  const clean = of("yes") === asked.length;
  const differs = bench.differs.length > 0;
  return [
    el("div", {class: "flow-screen"},
      heading(clean ? "Built as drawn" : differs ? "What differs" : "The check is done", `${name}: ${parts}.`,
        {href: place("prop", name), text: "Bench"}),
      noticeBox(view.notice),
      clean ? el("p", {class: "flow-proud"}, mark("yes"),
        el("span", null, `All ${count(asked.length, "step")} agree with the drawing.`)) : null,
      differs ? el("ul", {class: "flow-differs"}, bench.differs.map((text) => el("li", null, text))) : null,
      !clean && !differs ? el("p", {class: "flow-lead"}, "Nothing was found to differ, and not every step was looked at.") : null,
      darkOffer("This is the end of the check. The last picture may still be lit."),
      el("div", {class: "flow-row"},
        differs ? linkButton("Find the fault", place("find", name, "bench check"), "main") : null,
        button("Print this check", () => window.print()),
        linkButton("Bench of this prop", place("prop", name)),
        button("To the start", () => view.open_("start"))),
      el("h2", {class: "flow-sub"}, "All steps"),
      el("p", {class: "quiet"}, "Tap a step to light it again and change its answer."),
      stepList(bench, null, (step) => view.visit(step))),
    paper(bench, name, siteName, frame, parts),
  ];
}

/** Black on white: every step as a row. */
function paper(bench, name, siteName, frame, parts) {
  let number = 0;
  return el("div", {class: "flow-paper"},
    el("h1", null, `Bench check: ${name}`),
    el("p", null, `${frame.about ? frame.about + ". " : ""}Site ${siteName}. Check ${bench.check}, begun ${when(bench.begun_at)}. ${parts}.`),
    el("table", null,
      el("thead", null, el("tr", null,
        ["", "Step", "What was asked", "Answer", "Note", "When"].map((text) => el("th", {scope: "col"}, text)))),
      el("tbody", null, bench.steps.map((step) => el("tr", {class: step.answer === "no" || step.answer === "unsure" ? "is-differing" : ""},
        el("td", null, step.fits ? String(number += 1) : "–"),
        el("th", {scope: "row"}, step.title),
        step.fits
          ? [el("td", null, step.question), el("td", null, step.answer ? answerLabel(step.answer) : "not answered"),
             el("td", null, step.note), el("td", null, timeOf(step.at, bench.begun_at))]
          : el("td", {colspan: "4"}, `Not asked: ${step.why_not || "it does not fit this prop"}`))))),
    el("p", {class: "flow-sign"}, "Looked at by ______________________________   Date ____________________"));
}

/** The time alone where it was on the day that is told above the table. */
function timeOf(at, begunAt) {
  const [day, time] = when(at).split(", ");
  return time && begunAt && when(begunAt).startsWith(day + ",") ? time : when(at);
}

/** Offers to go dark; says when it is. Leaving a flow never changes the light by itself. */
export function darkOffer(text) {
  const trouble = complaint();
  const words = el("p", null, text);
  const go = button("Go dark", async () => {
    go.disabled = true;
    try {
      await post("/api/dark");
      trouble.say(null);
      replace(words, "The lights are dark.");
    } catch (error) { trouble.say(error); }
    go.disabled = false;
  }, "main");
  return el("div", {class: "flow-dark"}, words, go, trouble);
}
