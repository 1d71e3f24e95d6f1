// One prop on the bench: choose a pattern, look, tap a pixel.

import {el, replace, tell} from "./dom.js";
import {post} from "./api.js";
import * as model from "./model.js";
import {live} from "./live.js";
import {prefs, length, recall, remember} from "./prefs.js";
import {button, choice, complaint, heading, linkButton} from "./ui.js";
import {Drawing} from "./drawing.js";
import {heldBack, percent, sentence} from "./words.js";

const kNarrow = window.matchMedia("(max-width: 59.99rem)");
const kReached = {
  "lead-in": "by the lead-in, first on the wire",
  run: "along the bar",
  hop: "by a hop over a joint", jump: "by a jump from another place",
};

export async function show(context, name) {
  const [site, patterns, json, prop] =
    await Promise.all([model.site(), model.patterns(), model.drawing(name), model.propOf(name)]);
  let chosen = patterns.some((pattern) => pattern.pattern === recall("pattern")) ? recall("pattern") : "chase";
  let level = Math.min(100, Math.max(1, Number(recall("level")) || Math.round(prop.level * 100)));
  let asked = null;    // the pattern that this view lit last, to come back to after "Find it"
  let selected = null;
  let found = false;   // "find-me" is on

  // --- the drawings ---
  const drawn = new Drawing(json, {side: prefs.side, onPixel: pick});
  const seen = site.practice ? new Drawing(json, {side: prefs.side, paths: false, name: `${name} as it shows`}) : null;
  const board = (title, drawing, more) => el("div", {class: "board"}, site.practice ? el("h2", null, title) : null,
    el("div", {class: "scroller"}, drawing.element), more);
  const sentBoard = board("As sent", drawn, legend(json));
  const seenBoard = seen ? board("What the prop shows", seen) : null;
  if (seenBoard) seenBoard.classList.add("away");
  const boards = el("div", {class: seen ? "boards both" : "boards"}, sentBoard, seenBoard);
  const which = seen ? el("div", {class: "only-narrow"}, choice("Which drawing", [["sent", "Sent"], ["seen", "Shown"]], "sent", (value) => {
    sentBoard.classList.toggle("away", value !== "sent");
    seenBoard.classList.toggle("away", value !== "seen");
  })) : null;
  const size = choice("Size of the drawing", [["whole", "Whole"], ["close", "Close up"]], "whole", (value) => {
    for (const drawing of [drawn, seen]) if (drawing) drawing.closeUp(value === "close");
  });
  size.hidden = true;
  // How near the pixels are to each other shows once the drawing has its place.
  requestAnimationFrame(() => requestAnimationFrame(() => { size.hidden = !drawn.tight; }));
  const sides = choice("Side", [["front", "FRONT"], ["back", "BACK"]], prefs.side, (value) => { prefs.side = value; });

  // --- the chosen pixel ---
  const hint = el("p", {class: "small hint"}, "Tap a pixel to read its place, or use the arrow keys on the drawing.");
  const pixelPanel = el("section", {class: "sheet pixel-panel", hidden: true, aria: {label: "Chosen pixel"}});

  function pick(index) {
    selected = index;
    const pixel = json.pixels[index - 1];
    const place = (prefs.side === "back" && pixel.place_back) || pixel.place || pixel.station;
    const fact = (term, text) => [el("dt", null, term), el("dd", null, text)];
    const appears = pixelPanel.hidden;
    pixelPanel.hidden = false;
    hint.hidden = true;
    const top = el("div", {class: "stack pixel-top"},
      el("h2", null, `Pixel ${pixel.index}`),
      el("p", {class: "lead"}, `${sentence(place)} Seen from the ${prefs.side === "back" ? "BACK" : "FRONT"}.`),
      el("div", {class: "row three"},
        button("−", () => step(-1), "plain", {aria: {label: "The pixel before"}}),
        button("Find it", () => light("find-me", `pixel ${index}`), "plain strong", {aria: {label: `Find it: pixel ${index} pulses`}}),
        button("+", () => step(1), "plain", {aria: {label: "The next pixel"}})),
      asked && live.state && live.state.pattern === "find-me" ? el("div", {class: "row"}, button(`Back to ${asked}`, () => light(asked), "plain")) : null);
    replace(pixelPanel, top, el("dl", {class: "fact"},
      fact("Station", `${pixel.station}, run ${pixel.run} of ${json.runs.length}`),
      fact("Reached", kReached[pixel.reached_by] || pixel.reached_by),
      fact("Data", `universe ${pixel.universe}, channel ${pixel.channel}`),
      fact("Place", `${length(pixel.x_mm)} right and ${length(pixel.y_mm)} down from the origin, seen from the FRONT`)));
    if (appears) top.scrollIntoView({block: "nearest"});
  }
  function step(by) {
    const to = Math.min(json.pixels.length, Math.max(1, selected + by));
    drawn.select(to);
    pick(to);
    pixelPanel.querySelectorAll("button")[by < 0 ? 0 : 2].focus();
  }

  // --- light ---
  const trouble = complaint();
  const held = el("div", {class: "held", role: "status"});
  const lookFor = el("p", {class: "lookfor"});
  const look = el("div", {class: "look"}, el("span", {class: "label"}, "Look for"), lookFor);
  const region = el("input", {type: "text", id: "region", autocapitalize: "off", autocomplete: "off", spellcheck: "false", aria: {describedby: "region-help"}});
  const lightButton = button("Light it", () => light(chosen), "main");

  async function light(pattern, where) {
    const body = {prop: name, pattern, level: level / 100};
    const narrowed = where || region.value.trim();
    if (narrowed) body.region = narrowed;
    trouble.say(null);
    try {
      await post("/api/light", body);
      if (pattern !== "find-me") asked = pattern;
    } catch (error) {
      trouble.say(error);
    }
  }

  const list = el("ul", {class: "patterns"}, patterns.map((pattern) => el("li", null,
    el("button", {type: "button", dataset: {pattern: pattern.pattern},
      onclick: (event) => {
        choose(pattern.pattern);
        light(chosen);
        // A thumb that chose far down the list comes back to the sentence and the drawing.
        if (event.detail > 0 && kNarrow.matches) look.scrollIntoView({block: "start"});
      }},
      el("strong", null, pattern.pattern), el("span", null, pattern.purpose)))));
  function choose(pattern) {
    chosen = pattern;
    remember("pattern", pattern);
    list.querySelectorAll("button").forEach((one) => one.setAttribute("aria-pressed", one.dataset.pattern === pattern ? "true" : "false"));
    tell(lookFor, patterns.find((one) => one.pattern === pattern).look_for);
    tell(lightButton, `Light ${pattern}`);
  }

  let levelDue = 0;
  const levelOut = el("output", {for: "level"}, `${level} %`);
  const slider = el("input", {type: "range", id: "level", min: 1, max: 100, step: 1, value: level,
    oninput: () => {
      level = Number(slider.value);
      tell(levelOut, `${level} %`);
      slider.setAttribute("aria-valuetext", `${level} %`);
      clearTimeout(levelDue);
      levelDue = setTimeout(() => {
        remember("level", String(level));
        const now = live.state;
        if (now && now.mode === "lit" && mine(now).lit) light(now.pattern, now.region && now.region !== "all" ? now.region : undefined);
      }, 250);
    }});
  const capped = el("p", {class: "small"}, prop.level < 1
    ? `Up to ${percent(prop.level)}: the cap that the site file sets for ${name}.` : "The site file sets no cap for this prop.");

  // --- step by step ---
  const caption = el("p", {class: "step-caption"});
  const go = (what) => () => post("/api/step", {go: what}).then(() => trouble.say(null), (error) => trouble.say(error));
  const back = button("Back", go("back"), "plain");
  const hold = button("Hold", go("hold"), "plain");
  const next = button("Next", go("next"), "plain strong");
  const on = button("On", go("on"), "plain", {aria: {label: "On by time"}});
  const steps = el("div", {hidden: true, role: "group", aria: {label: "Step by step"}},
    caption, el("div", {class: "row four"}, back, hold, on, next));
  const thumb = el("div", {class: "thumb"}, lightButton, steps);

  const mine = (state) => state.props.find((one) => one.prop === name) || {lit: false, sent: ""};

  function update(state) {
    const light = mine(state);
    const lit = light.lit && state.mode === "lit";
    drawn.paint(light.sent);
    if (seen) seen.paint(light.shown || "");
    steps.hidden = !lit || !(light.beats > 1);
    const finding = lit && state.pattern === "find-me";
    if (finding !== found) {
      found = finding;
      if (selected !== null) pick(selected);
    }
    const focused = document.activeElement;
    look.classList.toggle("lit", lit);
    lightButton.hidden = lit;
    thumb.hidden = lit && steps.hidden;
    // Who works with keys alone is not thrown back to the top when a button goes.
    if (lit && focused === lightButton) (steps.hidden ? slider : next).focus({preventScroll: true});
    if (!lit && thumb.contains(focused) && focused !== lightButton) lightButton.focus({preventScroll: true});
    if (!steps.hidden) {
      tell(caption, `${light.beat} of ${light.beats}${light.caption ? ": " + light.caption : ""}` +
        (light.waits ? ". Waits for Next." : state.by_hand ? ". Held: goes on with Next or On." : ""));
      hold.setAttribute("aria-pressed", state.by_hand ? "true" : "false");
    }
    if (lit && state.look_for && state.pattern !== chosen && state.pattern !== "find-me") choose(state.pattern);
    tell(lookFor, (lit && state.look_for) || patterns.find((one) => one.pattern === chosen).look_for);
    const lines = lit ? heldBack(state, prop) : [];
    const now = lines.join("\n");
    if (held.dataset.now !== now) {
      held.dataset.now = now;
      replace(held, lines.map((line) => el("p", null, line)));
    }
  }

  const ended = prefs.subscribe(() => {
    sides.choose(prefs.side);
    drawn.side(prefs.side);
    if (seen) seen.side(prefs.side);
    if (selected !== null) pick(selected);
  });

  choose(chosen);
  const element = el("div", {class: "bench-view"},
    heading(name, prop.about, {href: "#/", text: "All props"}),
    el("div", {class: "bench"},
      el("div", {class: "draw"}, el("div", {class: "board-row"}, sides, which, size), look, boards, hint, pixelPanel),
      thumb,
      el("div", null,
        trouble,
        el("section", {class: "sheet", aria: {label: "Level"}},
          el("div", null, el("label", {class: "label", for: "level"}, "Level"),
            el("div", {class: "level-row"}, slider, levelOut), capped, held)),
        el("section", {class: "sheet"}, el("h2", null, "Patterns"), el("p", {class: "small"}, "A tap lights it."), list),
        el("section", {class: "sheet"}, el("details", null, el("summary", null, "More"),
          el("div", {class: "stack"},
            el("div", null, el("label", {class: "label", for: "region"}, "Only this region"), region,
              el("p", {class: "small", id: "region-help"}, "Such as: outline, corners, pane A1, run 2, bar A1-B1, pixels 10-20. Empty: what the pattern says.")),
            button("Stop sending", () => post("/api/release").then(() => trouble.say(null), (error) => trouble.say(error)), "plain"),
            el("p", {class: "small"}, "Black, then silent: the controller is free for another source.")))),
        el("div", {class: "row"},
          linkButton("Bench check, step by step", `#/check/${encodeURIComponent(name)}`, "plain"),
          linkButton("Something is wrong: find the fault", `#/find/${encodeURIComponent(name)}`, "plain")))));
  return {element, live: update, leave() { ended(); clearTimeout(levelDue); }};
}

/** What the signs on the drawing mean, as far as they are there. */
function legend(json) {
  const said = ["Arrows: the way of the data"];
  if (json.runs.length > 1) said.push("“run 2” or “R2”: run 2 starts here");
  if (json.splices.some((splice) => splice.way === "hop")) said.push("disc with a number: a hop");
  if (json.splices.some((splice) => splice.way === "jump")) said.push("square with a number: a jump");
  return el("p", {class: "legend"}, said.join("; ") + ".");
}
