// The fault finder: a few questions about what is lit, and then what is wrong and where.

import {el, replace} from "./dom.js";
import {get} from "./api.js";
import {live} from "./live.js";
import {drawing, site} from "./model.js";
import {prefs} from "./prefs.js";
import {Drawing} from "./drawing.js";
import {button, choice, heading} from "./ui.js";
import {count, draft, place, when} from "./flow.js";
import {answerButton, confirmPanel, noticeBox, tallest, unsavedPanel} from "./flow_parts.js";
import {Flow} from "./flow_view.js";
import {FindLamp} from "./find_lamp.js";
import {Pad, indices, stations} from "./find_pad.js";
import {answerList, kColours, inSentences, saidOf, wordOf} from "./find_parts.js";
import {finding, repairNote} from "./find_finding.js";

const kBy = {same: ["yes", "no", "unsure"], hold: ["held", "dark", "unsure"]};
const kKinds = {yes: "yes", no: "no", dark: "nothing", none: "nothing", unsure: "unsure"};
let active = null;  // on the screen now: when the site is read again, the search goes on where it was

export async function show(context, name, from) {
  if (!name) return heading("Which prop?", "Choose one; the fault finder is on its bench.", {href: "#/", text: "All props"});
  const path = `/api/find/${encodeURIComponent(name)}`;
  const [frame, data, whole] = await Promise.all([drawing(name), get(path), site()]);
  const before = active && active.prop === name && !active.gone ? active : null;
  active = new Find(context, {path, data, prop: name, frame, whole, from: from || ""});
  active.open(before);
  return active;
}

class Find extends Flow {
  constructor(context, given) {
    super(context, {...given, name: "find." + given.prop});
    Object.assign(this, {prop: given.prop, frame: given.frame, whole: given.whole, from: given.from});
    this.news = {kind: "find", begun: "This search was begun again on another device. This is the new one."};
    this.element.classList.add("flow-find");
    this.lamp = new FindLamp(() => this.showLamp());
    this.past = new Map();   // questions that were answered here, to go back to
    this.shot = 1;           // the picture that is looked at, where each has an answer of its own
    this.where = this.from === "walk" ? "yard" : "bench";
    this.sides = choice("Seen from", [["front", "FRONT"], ["back", "BACK"]], prefs.side, (side) => { prefs.side = side; });
    this.size = choice("Size of the drawing", [["whole", "Whole"], ["close", "Close up"]], "whole", (value) => this.picture.closeUp(value === "close"));
    this.ends.push(prefs.subscribe(() => {
      if (this.picture) this.picture.side(prefs.side);
      this.sides.choose(prefs.side);
    }));
  }

  // --- what a Flow asks ---

  number(data) { return data.find; }
  items(data) {
    const {question, answers, find} = data;
    const past = answers.flatMap((answer) => {
      const asked = this.past.get(`${find}-${answer.question}`);
      return asked && answer.asked.startsWith(`${asked.ask}: ${asked.shown}`) ? [asked] : [];
    });
    return question ? [...past, question] : past;
  }
  nameOf(question) { return `${this.data.find}-${question.number}`; }
  itemOf(body) { return `${body.find}-${body.question}`; }
  titleOf(question) { return `Question ${question.number}`; }
  said(body) { return saidOf(body.answer); }
  wanted(question) {
    const alone = question.ask === "colours" && question.pictures > 1;
    return {prop: this.prop, find: this.data.find, question: question.number, picture: alone ? this.shot : null};
  }
  cautious() { return false; }
  /** Only where the question is whether all is as drawn: elsewhere the builder is to say it. */
  paint(state) {
    const question = this.screen === "item" && this.item();
    const entry = question && question.ask === "same" && state.props.find((prop) => prop.prop === this.prop);
    if (entry && this.picture) this.picture.paint(this.lamp.matches() ? entry.sent : "");
  }

  screens() {
    return {start: () => this.drawStart(), item: () => this.drawQuestion(), end: () => finding(this), repair: () => repairNote(this)};
  }

  onward(light) {
    const {question, progress} = this.data;
    if (question) this.go(this.nameOf(question), light);
    else if (progress === "done") this.finish();
    else this.open_("start");
  }

  go(name, light) {
    if (name !== this.at) this.shot = 1;
    super.go(name, light);
  }

  open(before) {
    if (before) this.notice = before.notice;
    return super.open(before);
  }

  /** The question may have been answered on another device. */
  take(data) {
    if (this.keeper.state === "saving") { this.stale = true; return; }
    if (this.gone || JSON.stringify(data) === JSON.stringify(this.data)) return;
    const old = this.data;
    this.data = data;
    if (data.find !== old.find) { this.newer(this.news.begun); return; }
    const isOpen = Boolean(old.question) && this.at === this.nameOf(old.question);
    const another = isOpen && JSON.stringify(old.question) !== JSON.stringify(data.question);
    if (this.screen === "item" && !this.keeper.unsent && (another || !this.item())) {
      const last = data.answers.find((answer) => isOpen && answer.question === old.question.number);
      this.notice = last ? `Question ${last.question}: answered on another device, ${saidOf(last.answer)}.` : "";
      this.pictureFor = null;
      this.onward(false);
    } else if (this.screen !== "repair") this.render();
  }

  back() {
    const i = this.index();
    if (i > 0) this.visit(this.nameOf(this.items(this.data)[i - 1]));
    else this.open_("start");
  }

  begin() {
    this.past.clear();
    return super.begin(this.from ? {place: this.where, from: this.from} : {place: this.where});
  }

  answer(said) {
    if (this.keeper.unsent) return;
    const question = this.item();
    this.past.set(this.at, question);
    const body = {find: this.data.find, question: question.number, answer: said};
    if (question.number <= this.data.answers.length) body.again = true;
    this.save(body);
  }

  key(key) {
    const words = kBy[this.item().ask];
    const word = words && words[Number(key) - 1];
    if (!word) return false;
    this.answer(word);
    return true;
  }

  // --- the start ---

  drawStart() {
    const {progress, stale, answers, question, opening, begun_at: begunAt} = this.data;
    const goesOn = progress === "open" && !stale;
    const again = el("div", {class: "flow-again"});
    const beginAgain = button("Begin again …", () => replace(again, confirmPanel(
      `This search has ${count(answers.length, "answer")} and is not finished. Begin again? The logbook keeps what was said.`,
      "Begin again", () => this.begin(), () => replace(again, beginAgain))));
    again.append(beginAgain);
    const where = el("div", {class: "flow-begin"},
      el("div", null, el("span", {class: "label"}, "Where is it?"),
        choice("Where is it?", [["bench", "Bench, new"], ["yard", "Yard, it worked"]], this.where, (value) => { this.where = value; })));
    return [
      heading("Fault finder", this.prop, {href: place("prop", this.prop), text: "Bench"}),
      noticeBox(this.notice),
      stale && progress === "open" ? noticeBox("The site has changed since this search began, so its questions are others now. Begin again.") : null,
      el("p", {class: "flow-lead"}, "Panewalk lights a few pixels and asks what you see. ",
        "After some questions it says what is wrong, where, and what to do."),
      goesOn ? el("div", {class: "flow-row"},
        question ? button(`Go on with question ${question.number}`, () => this.visit(this.nameOf(question)), "main") : null, again) : null,
      progress === "done" ? el("div", {class: "flow-row"}, button("See what was found", () => this.finish(), "main")) : null,
      this.trouble,
      begunAt ? el("p", {class: "quiet"}, `${goesOn ? "Begun" : "The last search began"} ${when(begunAt)}.`) : null,
      goesOn ? answerList(this.data) : where,
      el("h2", {class: "flow-sub"}, "Before you begin"),
      el("ul", {class: "flow-cautions"}, opening.map((text) => el("li", null, text))),
      goesOn ? null : el("div", {class: "flow-ask find-begin"},
        button(progress === "not begun" ? "I have read this: begin" : "I have read this: begin a new search", () => this.begin(),
          progress === "done" ? "plain" : "main")),
    ];
  }

  // --- a question ---

  drawQuestion() {
    const question = this.item();
    const {unsent} = this.keeper;
    const saving = this.keeper.state === "saving";
    const {lead, asked, more} = inSentences(question.text);
    const before = this.data.answers.find((answer) => answer.question === question.number);
    const top = [
      el("div", {class: "flow-top"},
        el("button", {type: "button", class: "flow-back", onclick: () => this.back()}, "← ", this.index() > 0 ? "Question before" : "Start"),
        el("p", {class: "flow-count"}, `Question ${question.number}`)),
      noticeBox(this.notice),
      lead ? el("p", {class: "find-lead"}, lead) : null,
      el("h1", {class: "find-asked", id: "find-asked", tabindex: "-1"}, asked),
      more ? el("p", {class: "find-more"}, more) : null,
    ];
    if (unsent && !saving) {
      return [...top, unsavedPanel(this.keeper, this.said(unsent.body), () => this.retry(), () => { this.keeper.drop(); this.render(); })];
    }
    this.words = el("div", {class: "flow-words"});
    this.answers = el("div", {role: "group", aria: {labelledby: "find-asked", busy: saving ? "true" : null}});
    const draws = this.drawPicture(question, saving);
    this.drawAgain();
    // The colours stay in sight while the pictures change; the drawing only points out the pixel.
    const colours = question.ask === "colours";
    const ask = el("div", {class: `flow-ask${colours || question.ask === "other" ? " is-below" : ""}`}, this.strip.element, this.answers);
    return [...top,
      before ? el("p", {class: "flow-said"}, `You said: ${saidOf(before.answer)}. Another answer takes its place, and the questions after it come anew.`) : null,
      el("div", {class: `flow-body${draws ? "" : " find-plain"}`}, colours ? [this.words, ask, draws] : [draws, this.words, ask]),
      this.data.answers.length ? el("details", {class: "flow-more flow-all"}, el("summary", null, "What was said so far"), answerList(this.data)) : null];
  }

  /** What is chosen so far, and the answers. */
  drawAgain() {
    const question = this.item();
    const saving = this.keeper.state === "saving";
    const {words, answers} = this.drawParts(question, saving);
    replace(this.words, words);
    replace(this.answers, answers);
  }

  drawPicture(question, saving) {
    if (question.ask === "other") return null;
    const {ask} = question;
    if (this.pictureFor !== this.at) {
      this.pictureFor = this.at;
      const marks = {where: "many", "last-lit": "one"}[ask];
      const options = {side: prefs.side, paths: ask === "last-lit", tallest: this.tallest(question), turned: this.turned};
      this.picture = marks
        ? new Pad(this.frame, {...options, marks, marked: indices(this.frame, this.kept()), onMarks: (chosen) => this.mark(chosen)})
        : new Drawing(this.frame, options);
      if (question.station) this.picture.select(indices(this.frame, [question.station])[0] || null);
      this.size.choose("whole");
      this.size.hidden = true;
      // How near the pixels are to each other shows once the drawing has its place.
      const {picture} = this;
      requestAnimationFrame(() => requestAnimationFrame(() => {
        this.size.hidden = !picture.tight && !picture.close;
        if (!marks || !picture.tight) return;
        // No thumb hits these: they are spread out at once.
        this.size.choose("close");
        picture.closeUp(true);
      }));
      if (live.state) this.paint(live.state);
    }
    return el("div", {class: "flow-picture"},
      this.turned ? el("p", {class: "flow-turned"}, "Hung upside down, and drawn that way here. Words name places as drawn upright.") : null,
      el("div", {class: "scroller find-scroller"}, this.picture.element),
      el("div", {class: "flow-picture-foot find-foot"}, this.sides, this.size,
        button("Show again", () => this.lamp.light(), "small", {disabled: saving})));
  }

  /** px: to be tapped it is to be large; to point out one station it may be small. */
  tallest({ask}) {
    if (window.innerWidth >= 900) return tallest();
    const rest = {where: 500, "last-lit": 540, same: 480, hold: 480}[ask] || 620;
    return Math.max(230, Math.min(600, window.innerHeight - rest));
  }

  get turned() {
    const prop = this.whole.props.find((one) => one.prop === this.prop);
    return this.data.place === "yard" && Boolean(prop) && prop.hung === "turned";
  }

  /** What is chosen but not sent, kept over a reload: stations, or colours by picture. */
  kept() {
    try { return JSON.parse(draft.get(this.draftOf(this.at))) || []; } catch (none) { return []; }
  }
  keep(words) { draft.set(this.draftOf(this.at), words.some(Boolean) ? JSON.stringify(words) : ""); }

  mark(chosen) {
    this.keep(stations(this.frame, chosen));
    this.drawAgain();
  }

  drawParts(question, saving) {
    const {ask} = question;
    const one = (word, n) => answerButton({
      key: n === undefined ? null : String(n + 1), kind: kKinds[word] || "other", label: wordOf(ask, word), locked: saving,
      busy: saving && this.keeper.unsent && this.keeper.unsent.body.answer === word, act: () => this.answer(word)});
    if (ask === "where") return this.drawMarks(saving, "many", [one("none"), one("unsure")]);
    if (ask === "last-lit") return this.drawMarks(saving, "one", [one("all"), one("none"), one("unsure")]);
    if (ask === "colours") return this.drawColours(question, saving, one("unsure"));
    if (kBy[ask]) return {words: null, answers: el("div", {class: `flow-answers find-answers-3${ask === "hold" ? " find-pad-answers" : ""}`}, kBy[ask].map(one))};
    return {words: el("div", {class: "flow-row"}, button("Show again", () => this.lamp.light(), "small", {disabled: saving})),
      answers: el("div", {class: "flow-props"}, question.choices.map((word) => el("button", {
        type: "button", class: "flow-prop", disabled: saving, onclick: () => this.answer(word)},
      el("span", {class: "flow-step-title"}, wordOf("other", word)), this.about(word))))};
  }

  about(name) {
    const prop = this.whole.props.find((one) => one.prop === name);
    return prop && prop.about ? el("span", {class: "flow-step-more"}, prop.about) : null;
  }

  drawMarks(saving, marks, others) {
    const kept = this.kept();
    const chosen = indices(this.frame, kept);
    const alone = marks === "one";
    const drop = (index) => {
      this.picture.put(chosen.filter((other) => other !== index));
      this.mark([...this.picture.marked].sort((a, b) => a - b));
      (this.words.querySelector(".find-chip") || this.picture.element).focus({preventScroll: true});
    };
    const label = alone ? "This one" : `Send ${chosen.length}`;
    return {
      words: [
        el("p", {class: "small find-hint", role: "status"}, chosen.length ? (alone ? "Marked:" : `${chosen.length} marked; a tap unmarks:`)
          : alone ? "Tap the last one that is lit." : "Tap each one that is lit. Tap it again to unmark it."),
        chosen.length ? el("div", {class: "flow-chips"}, chosen.map((index) => {
          const pixel = this.frame.pixels[index - 1];
          return el("button", {type: "button", class: "flow-chip find-chip", disabled: saving, aria: {label: `Unmark ${pixel.station}, pixel ${index}`},
            onclick: () => drop(index)}, `${pixel.station} `, el("span", {aria: {hidden: "true"}}, "×"));
        })) : null,
      ],
      answers: el("div", {class: `flow-answers find-pad-answers ${alone ? "find-answers-4" : "find-answers-3"}`},
        this.sendButton(label, saving || !chosen.length, saving, alone ? kept[0] : stations(this.frame, chosen)), others),
    };
  }

  sendButton(label, locked, busy, said) {
    return el("button", {type: "button", class: `flow-answer flow-yes find-send${busy ? " is-busy" : ""}`, disabled: locked, onclick: () => this.answer(said)},
      el("span", {class: "flow-answer-words"}, el("span", {class: "flow-answer-label"}, label)));
  }

  // Each picture has an answer of its own: one after the other is lit.

  look(picture) {
    this.shot = picture;
    this.lamp.light({...this.wanted(this.item()), item: this.at});
    this.drawAgain();
    this.answers.querySelector(".find-colour").focus({preventScroll: true});
  }

  choose(question, colour) {
    if (question.pictures === 1) { this.answer([colour]); return; }
    const kept = this.kept();
    kept[this.shot - 1] = colour;
    this.keep(Array.from(kept, (one) => one || ""));
    if (this.shot < question.pictures) {
      this.look(this.shot + 1);
      return;
    }
    this.drawAgain();
    const send = this.answers.querySelector(".find-send");
    if (!send.disabled) send.focus({preventScroll: true});
  }

  drawColours(question, saving, unsure) {
    const kept = this.kept();
    const all = Array.from({length: question.pictures}, (_, i) => kept[i] || "");
    const many = question.pictures > 1;
    const move = (label, to) => button(label, () => this.look(to), "small", {disabled: saving || to < 1 || to > question.pictures});
    return {
      words: many ? el("div", {class: "find-shots"},
        el("p", {role: "status"}, `Picture ${this.shot} of ${question.pictures}`),
        move("Back", this.shot - 1), move("Next", this.shot + 1)) : null,
      answers: [
        el("div", {class: "find-colours", role: "group", aria: {label: many ? `Colour in picture ${this.shot}` : "Colour"}},
          kColours.map((colour) => el("button", {type: "button", class: "find-colour", dataset: {colour}, disabled: saving,
            aria: {pressed: all[this.shot - 1] === colour ? "true" : "false"}, onclick: () => this.choose(question, colour)},
          el("span", {class: "find-swatch", aria: {hidden: "true"}}), colour))),
        many ? el("ol", {class: "find-row"}, all.map((colour, i) => el("li", {class: i + 1 === this.shot ? "is-here" : null}, colour || "…"))) : null,
        el("div", {class: `flow-answers ${many ? "find-answers-2" : ""}`},
          many ? this.sendButton("That is what I saw", saving || all.some((colour) => !colour), saving, all) : null, unsure),
      ],
    };
  }
}
