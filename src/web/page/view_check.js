// The bench check: one picture after the other, and what the builder says of each.

import {el, replace} from "./dom.js";
import {get} from "./api.js";
import {drawing, site} from "./model.js";
import {prefs} from "./prefs.js";
import {Drawing} from "./drawing.js";
import {button, choice, heading, linkButton} from "./ui.js";
import {count, place, when} from "./flow.js";
import {NotePanel, answerButton, bodyParts, confirmPanel, findOffer, mark, noticeBox, progress, tallest, unsavedPanel} from "./flow_parts.js";
import {Flow} from "./flow_view.js";
import {kAnswers, answerLabel, stepList, summary} from "./check_parts.js";

const kMinutesPerStep = 0.5;
let active = null;  // on the screen now: when the site is read again, the check goes on where it was

export async function show(context, name) {
  if (!name) return heading("Which prop?", "Choose one; its bench check begins there.", {href: "#/", text: "All props"});
  const path = `/api/bench/${encodeURIComponent(name)}`;
  const [frame, data, whole] = await Promise.all([drawing(name), get(path), site()]);
  const before = active && active.prop === name && !active.gone ? active : null;
  active = new Check(context, {path, data, prop: name, frame, siteName: whole.site});
  active.open(before);
  return active;
}

class Check extends Flow {
  constructor(context, given) {
    super(context, {...given, name: "check." + given.prop});
    this.prop = given.prop;
    this.frame = given.frame;
    this.siteName = given.siteName;
    this.news = {kind: "check", begun: "This check was begun again on another device. This is the new one."};
    this.element.classList.add("flow-check");
    this.picture = new Drawing(given.frame, {side: prefs.side, tallest: tallest()});
    this.sides = choice("Seen from", [["front", "FRONT"], ["back", "BACK"]], prefs.side, (side) => { prefs.side = side; });
    this.ends.push(prefs.subscribe(() => {
      this.picture.side(prefs.side);
      this.sides.choose(prefs.side);
    }));
  }

  number(data) { return data.check; }
  items(data) { return data.steps.filter((step) => step.fits); }
  nameOf(step) { return step.step; }
  titleOf(step) { return step.title; }
  itemOf(body) { return body.step; }
  answerOf(step) { return step.answer; }
  offer({step, answer}) {
    if (answer !== "no" && answer !== "unsure") return "";
    return findOffer(`${this.item(step).title}: ${answerLabel(answer)}.`, this.prop, `bench ${step}`);
  }
  said(of) { return answerLabel(of.answer) + (of.note ? ` (${of.note})` : ""); }
  wanted(step) {
    return {prop: this.prop, pattern: step.pattern, region: step.region, level: step.level, beat: step.beat};
  }
  /** Cautions stand before the light, unless this very light is on already. */
  cautious(step) { return step.cautions.length > 0 && this.read !== step.step && !this.lamp.matches(); }

  paint(state) {
    const entry = state.props.find((prop) => prop.prop === this.prop);
    if (entry) this.picture.paint(entry.sent);
  }

  screens() {
    return {start: () => this.drawStart(), item: () => this.drawStep(), note: () => this.drawNote(), end: () => summary(this)};
  }

  answer(answer) {
    if (this.keeper.unsent) return;
    if (answer === "no" || answer === "unsure") this.open_("note", answer);
    else this.say(answer, "");
  }

  say(answer, note) {
    const body = {check: this.data.check, step: this.at, answer};
    if (note) body.note = note;
    return this.save(body);
  }

  key(key) {
    const answer = kAnswers[Number(key) - 1];
    if (!answer || this.cautious(this.item())) return false;
    this.answer(answer.answer);
    return true;
  }

  drawStart() {
    const {state, steps, next, begun_at: begunAt} = this.data;
    const asked = this.items(this.data);
    const rest = steps.length - asked.length;
    const done = asked.filter((step) => step.answer).length;
    const left = state === "open" ? asked.length - done : asked.length;
    const again = el("div", {class: "flow-again"});
    const askAgain = () => {
      if (state !== "open") { this.begin(); return; }
      replace(again, confirmPanel(
        `This check has ${count(done, "answer")} and is not finished. Begin again and ask everything anew? The logbook keeps what was said.`,
        "Begin again", () => this.begin(), () => replace(again, beginAgain)));
    };
    const beginAgain = button(state === "open" ? "Begin again …" : "Begin again", askAgain);
    if (state !== "not begun") again.append(beginAgain);
    return [
      heading("Bench check", this.prop, {href: place("prop", this.prop), text: "Bench"}),
      noticeBox(this.notice),
      el("p", {class: "flow-lead"}, "Panewalk lights one picture after the other on the frame. ",
        "You hold it against the drawing and say whether they agree."),
      el("p", {class: "flow-facts"},
        el("strong", null, `${count(asked.length, "step")}, about ${count(Math.max(1, Math.ceil(left * kMinutesPerStep)), "minute")}${state === "open" ? " left" : ""}. `),
        rest ? `${rest} more ${rest === 1 ? "does" : "do"} not fit this prop. ` : "",
        "Each answer is kept at once: stop when you like, and go on here or on another device."),
      el("div", {class: "flow-row"},
        state === "not begun" ? button("Begin the check", () => this.begin(), "main") : null,
        state === "open" && next ? button(`Go on with step ${this.index(next) + 1}: ${this.item(next).title}`,
          () => this.visit(next), "main") : null,
        state === "done" ? button("See what was answered", () => this.finish(), "main") : null,
        again),
      this.trouble,
      begunAt ? el("p", {class: "quiet"}, `Begun ${when(begunAt)}.`) : null,
      el("h2", {class: "flow-sub"}, "The steps"),
      stepList(this.data, null, this.data.check ? (name) => this.visit(name) : null),
    ];
  }

  frameOf(step, words, ask, wordsFirst) {
    const asked = this.items(this.data);
    const i = this.index();
    return [
      el("div", {class: "flow-top"},
        el("button", {type: "button", class: "flow-back", onclick: () => this.back()}, "← ", i > 0 ? "Step before" : "Start"),
        el("p", {class: "flow-count"}, `Step ${i + 1} of ${asked.length}`),
        progress(asked.map((one) => one.answer || "open"), i)),
      el("h1", {tabindex: "-1"}, step.title),
      noticeBox(this.notice),
      el("div", {class: "flow-body"}, bodyParts(
        el("div", {class: "flow-picture"}, this.picture.element,
          el("div", {class: "flow-picture-foot"}, this.sides)),
        el("div", {class: "flow-words"}, words), ask, wordsFirst)),
    ];
  }

  drawStep() {
    const step = this.item();
    const {unsent} = this.keeper;
    return [
      !unsent && this.cautious(step) ? this.drawCautions(step) : this.drawQuestion(step, unsent),
      el("details", {class: "flow-more flow-all"}, el("summary", null, "All steps"),
        stepList(this.data, this.at, unsent ? null : (name) => this.visit(name))),
    ];
  }

  drawCautions(step) {
    const light = () => {
      this.read = step.step;
      this.lamp.light();
      this.render(true);
    };
    return this.frameOf(step, [
      el("h2", {class: "flow-question"}, "Before this is lit"),
      el("ul", {class: "flow-cautions"}, step.cautions.map((text) => el("li", null, text))),
    ], el("div", {class: "flow-ask is-below"}, this.strip.element,
      el("div", {class: "flow-answers is-light"},
        el("button", {type: "button", class: "flow-answer flow-light", onclick: light},
          mark("yes"), el("span", {class: "flow-answer-words"},
            el("span", {class: "flow-answer-label"}, "I have read this: light it"))),
        answerButton({kind: "skipped", label: "Skip", act: () => this.answer("skipped"),
          kept: step.answer === "skipped" ? when(step.at, true) : ""}))), true);
  }

  drawQuestion(step, unsent) {
    const saving = this.keeper.state === "saving";
    if (unsent && !saving) {
      return this.frameOf(step, [
        unsavedPanel(this.keeper, this.said(unsent.body), () => this.retry(), () => { this.keeper.drop(); this.render(); }),
        el("h2", {class: "flow-question"}, step.question),
      ], null, true);
    }
    const [, question, more] = /^([^?]*\?)?\s*([^]*)$/.exec(step.question).map((part) => part || "");
    return this.frameOf(step, [
      el("p", {class: "flow-look"}, step.look_for),
      step.cautions.length ? el("details", {class: "flow-more"}, el("summary", null, "The cautions again"),
        el("ul", {class: "flow-cautions"}, step.cautions.map((text) => el("li", null, text)))) : null,
      step.note ? el("p", {class: "flow-said"}, `Noted: ${step.note}`) : null,
      step.answer === "no" || step.answer === "unsure"
        ? linkButton("Find the fault", place("find", this.prop, `bench ${step.step}`), "small") : null,
    ], el("div", {class: "flow-ask"}, this.strip.element,
      el("h2", {class: "flow-question", id: "flow-question"}, question || more),
      question && more ? el("p", {class: "flow-question-more"}, more) : null,
      el("div", {class: "flow-answers", role: "group", aria: {labelledby: "flow-question", busy: saving ? "true" : null}},
        kAnswers.map(({answer, label}, i) => answerButton({
          key: String(i + 1), kind: answer, label, locked: saving,
          kept: step.answer === answer ? when(step.at, true) : "",
          busy: saving && unsent.body.answer === answer, act: () => this.answer(answer)})))));
  }

  drawNote() {
    const step = this.item();
    const note = new NotePanel({
      name: this.draftOf(this.at),
      title: this.detail === "no" ? "What differs?" : "What is not clear?",
      hint: "What you see, and where. A few words help later; you may leave it empty.",
      start: step.note,
      save: (text) => this.say(this.detail, text),
      back: () => this.go(this.at, false),
    });
    return this.frameOf(step, [el("p", {class: "flow-look"}, `${step.question} ${answerLabel(this.detail)}.`), note.element], null, true);
  }
}
