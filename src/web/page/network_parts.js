// The pieces of the network view. Names come off the wire and may hold anything: they are only ever
// text, on their own line of direction, with what can't be seen written out.

import {el, tell} from "./dom.js";
import {list, sentence} from "./words.js";
import {count} from "./flow.js";
import {mark} from "./flow_parts.js";

const kMost = 40;      // lines of a list; a flood must not fill the page
const kLongest = 64;   // characters of a name
const kProtocols = {e131: "E1.31", artnet: "Art-Net"};
const kSure = {seen: "", likely: "This is likely wrong.", possible: "This may be in order."};
const kAnswers = {
  answers: ["yes", "Answers"], here: ["yes", "Is this machine"], not_asked: ["skipped", "Can't be asked"],
  silent: ["unsure", "No answer"], stopped: ["no", "Answers no more"], refuses: ["no", "Refuses"], unreachable: ["no", "No way to it"],
};
const kStates = {sending: "sending", silent: "nothing is sent", failing: "packets fail", dropping: "packets are dropped here"};

function safeName(text) {
  const safe = text.replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}\p{Co}\p{Cn}]/gu,
    (letter) => "\\u" + letter.codePointAt(0).toString(16).padStart(4, "0"));
  const letters = Array.from(safe);
  return letters.length > kLongest ? `“${letters.slice(0, kLongest).join("")}…”` : `“${safe}”`;
}
/** A name off the wire, in quotes. */
function wireName(text) { return el("bdi", {class: "net-name"}, safeName(text)); }

/** Ascending numbers as "1 to 3, 7 and 9". */
function ranges(numbers) {
  const all = [...new Set(numbers)].sort((a, b) => a - b);
  const words = [];
  for (let i = 0; i < all.length;) {
    if (words.length >= 8) {
      words.push(`${all.length - i} more`);
      break;
    }
    let last = i;
    while (last + 1 < all.length && all[last + 1] === all[last] + 1) ++last;
    words.push(last > i + 1 ? `${all[i]} to ${all[last]}` : String(all[i]));
    if (last === i + 1) words.push(String(all[last]));
    i = last + 1;
  }
  return list(words);
}
function numbered(protocol, numbers) {
  const one = new Set(numbers).size === 1;
  return `${protocol === "artnet" ? (one ? "Port-Address" : "Port-Addresses") : (one ? "universe" : "universes")} ${ranges(numbers)}`;
}
const upper = (text) => text.charAt(0).toUpperCase() + text.slice(1);

export function headline({practice, troubles: many, controllers, seen}) {
  if (many > 0) return `${count(many, "thing")} to look into`;
  if (practice) return "Practice: no network";
  if (!seen) return "Listening …";
  const answers = controllers.every(({answer}) => answer === "answers" || answer === "here");
  return controllers.length && answers ? "All controllers answer" : "Nothing to look into";
}

/** [{what, sure, next}]: what was found, and controllers that packets do not get to. */
export function troubles({seen, controllers}) {
  const found = seen ? seen.findings.filter((finding) => finding.trouble) : [];
  const of = new Set(found.map((finding) => finding.controller));
  return [
    ...controllers.filter(({text, name}) => text && !of.has(name)).map(({name, state, text}) => ({
      what: `${state === "dropping" ? "Packets are dropped on their way" : "Packets do not get"} to controller ${name}: ${sentence(text)}`,
      sure: "", next: ""})),
    ...found.map(({what, sure, next}) => ({what, sure: kSure[sure] || "", next})),
  ];
}

/** What was found that is in order and of no controller. */
export function noticed({findings, asked}) {
  return [
    ...findings.filter(({trouble, controller}) => !trouble && !controller).map(({what, next}) => (next ? `${what} ${next}` : what)),
    ...asked.troubles.map((text) => `Could not do: ${sentence(text)}`),
  ];
}

function fact(name, said) { return said ? [el("dt", null, name), el("dd", null, said)] : null; }

function wayText({card, from, chosen_by: by, text}) {
  const chosen = by === "site" ? "as the site says" : "the system's choice";
  if (text) return sentence(text);
  return `${card && from ? `${card} (${from})` : card || from || "not known"}, ${chosen}`;
}

/** One controller of the site. */
export function controllerCard(controller, findings, practice) {
  const {name, protocol, address, universes, way, state, errors, text, answer} = controller;
  const of = findings.filter((finding) => finding.controller === name);
  const bad = Boolean(text) || of.some((finding) => finding.trouble);
  const [kind, words] = kAnswers[answer] || ["skipped", practice ? "Practice" : "Not asked yet"];
  const shown = text ? "wrong" : bad && kind !== "no" ? (kind === "yes" ? "wrong" : kind) : kind;
  return el("li", {class: `net-card${bad ? " is-bad" : ""}`},
    el("h3", null, name),
    el("p", {class: "net-status"}, mark(shown), el("span", null, `${words}, ${kStates[state] || state}`)),
    text ? el("p", {class: "net-fails"}, sentence(text)) : null,
    of.filter((finding) => !finding.trouble).map(({what}) => el("p", {class: "small"}, what)),
    el("dl", {class: "fact"},
      fact("Sent to", `${kProtocols[protocol]}, ${address}`),
      fact("Carries", universes.length ? upper(numbered(protocol, universes)) : "no prop"),
      fact("Leaves by", way ? wayText(way) : practice ? "nothing leaves this machine" : ""),
      fact("Errors", errors ? String(errors) : "")));
}

function lines(all, draw) {
  const shown = all.slice(0, kMost).map((one) => el("li", null, draw(one)));
  if (all.length > kMost) shown.push(el("li", {class: "quiet"}, `and ${all.length - kMost} more`));
  return el("ul", {class: "net-plain"}, shown);
}
function group(title, all, draw) {
  return all.length ? [el("h3", null, title), lines(all, draw)] : null;
}

/** Streams of a source that the same is to be said of: [[words, numbers]]. */
function alike(streams) {
  const groups = new Map();
  for (const {universe, priority, preview, terminated, sync} of streams) {
    const words = `priority ${priority}${sync ? `, synchronized by ${sync}` : ""}${preview ? ", preview only" : ""}${terminated ? ", ended" : ""}`;
    if (!groups.has(words)) groups.set(words, []);
    groups.get(words).push(universe);
  }
  return [...groups].slice(0, 4);
}

function sourceWords({name, addresses, universes, tells, listed, list_complete: complete}) {
  const heard = new Set(universes.map((one) => one.universe));
  const unheard = listed.filter((universe) => !heard.has(universe));
  const said = alike(universes).map(([words, numbers]) => `${upper(numbered("e131", numbers))}: ${words}.`);
  if (unheard.length) said.push(`Says that it ${heard.size ? "also sends" : "sends"} ${numbered("e131", unheard)}${complete ? "" : " (a part of the list is missing)"}.`);
  else if (tells && !heard.size) said.push("Says that it sends nothing.");
  return [name ? wireName(name) : "A source without a name", ` at ${list(addresses)}. `, said.join(" ")];
}

function nodeWords({from, long_name: long, port_name: short, outputs, inputs, style}) {
  const all = outputs.map((output) => output.port_address);
  const flags = [["merging", "merges two senders on"], ["shorted", "found a short at power-up on"]].flatMap(([flag, words]) => {
    const those = outputs.filter((output) => output[flag]).map((output) => output.port_address);
    return those.length ? [`; ${words} ${numbered("artnet", those)}`] : [];
  });
  return [long || short ? wireName(long || short) : "A node without a name", ` at ${from}${style === 1 ? ", a controller" : ""}: `,
    all.length ? `puts out ${numbered("artnet", all)}` : "lists no output", inputs.length ? `; takes in ${numbered("artnet", inputs)}` : "", flags, "."];
}

function byAddress(all, key) {
  const groups = new Map();
  for (const one of all) {
    if (!groups.has(one.from)) groups.set(one.from, []);
    groups.get(one.from).push(one[key]);
  }
  return [...groups];
}

export function otherSections({sources, syncs, nodes, streams, callers, strangers, flood}) {
  const said = [
    group("E1.31 sources", sources, sourceWords),
    group("E1.31 synchronization", byAddress(syncs, "address"), ([from, numbers]) => `${from}: address ${ranges(numbers)}.`),
    group("Art-Net nodes", nodes, nodeWords),
    group("Art-Net levels", byAddress(streams, "address"), ([from, numbers]) => `${from} sends ${numbered("artnet", numbers)}.`),
    group("Art-Net programs", callers, ({from, synced}) => `${from} ${synced ? "synchronizes" : "asks who is there"}.`),
    group("Packets that can't be read", strangers, ({port, from, why}) => `From ${from} on port ${port}: one ${why}.`),
    flood ? el("p", {class: "net-more"}, "There are more senders than are kept: somebody floods this network.") : null,
  ].filter(Boolean);
  return said.length ? said : el("p", {class: "quiet"}, "Nobody that sends or answers E1.31 or Art-Net.");
}

function lossWords({packets, lost, late, twice, jumps}) {
  const share = lost / (packets + lost);
  const percent = share < 0.001 ? "below 0.1 %" : `${(share * 100).toFixed(1)} %`;
  return [lost ? `${lost} of ${packets + lost} packets lost (${percent})` : "", late ? `${late} late` : "", twice ? `${twice} twice` : "",
    jumps ? `${count(jumps, "jump")} in the numbers` : ""].filter(Boolean).join(", ");
}

/** [line]: who sent what came in with gaps, a line for each sender. */
export function lossLines({e131_sources: sources, artnet_streams: streams}) {
  const senders = new Map();
  const add = (who, protocol, number, one) => {
    if (!one.lost && !one.late && !one.twice && !one.jumps) return;
    const key = `${who} at ${one.from}`;
    if (!senders.has(key)) senders.set(key, {protocol, numbers: [], packets: 0, lost: 0, late: 0, twice: 0, jumps: 0});
    const sum = senders.get(key);
    sum.numbers.push(number);
    for (const name of ["packets", "lost", "late", "twice", "jumps"]) sum[name] += one[name];
  };
  for (const {name, own, universes} of sources) {
    // Its own line of direction for a name, as <bdi> gives it.
    const who = own ? "This Panewalk" : name ? `\u2068${safeName(name)}\u2069` : "A source without a name";
    for (const one of universes) add(who, "e131", one.universe, one);
  }
  for (const one of streams) add(one.own ? "This machine" : "Art-Net", "artnet", one.port_address, one);
  const all = [...senders].map(([who, sum]) => `${who}, ${numbered(sum.protocol, sum.numbers)}: ${lossWords(sum)}.`);
  return all.length > kMost ? [...all.slice(0, kMost), `And ${all.length - kMost} more.`] : all;
}

/** "95 of 100 frames within 0.1 ms" */
function lateness({most_ms: most, frames}) {
  const all = frames.reduce((sum, step) => sum + step.frames, 0);
  if (!all) return "no frame yet";
  let sum = 0;
  for (const step of frames) {
    sum += step.frames;
    const share = Math.floor((sum / all) * 100);
    if (share < 95 && step !== frames[frames.length - 1]) continue;
    if (step.up_to_ms === null) return `${Math.max(1, Math.round((step.frames / all) * 100))} of 100 frames later than 50 ms, the latest ${most.toFixed(1)} ms`;
    return `${sum === all ? "all" : `${share} of 100`} frames within ${step.up_to_ms} ms${sum === all ? "" : `, the latest ${most.toFixed(1)} ms`}`;
  }
  return "";
}

/** The numbers of the stream, folded away. They tick, so only their texts are changed. */
export class Numbers {
  constructor() {
    this.facts = {};
    const rows = ["Frames a second", "Lateness", "Missed frames", "Packets", "Dropped here", "Priority"].map((name) => {
      this.facts[name] = el("dd", null, "");
      return [el("dt", null, name), this.facts[name]];
    });
    this.element = el("details", {class: "net-numbers"}, el("summary", null, "The stream in numbers"),
      el("dl", {class: "fact"}, rows), el("p", {class: "small"}, "All since Panewalk started."));
    this.before = null;
  }

  show({stream}) {
    const now = {frames: stream.frames, at: performance.now()};
    const {before} = this;
    if (!before || now.at - before.at > 500 || now.frames < before.frames) {
      const rate = before && now.frames >= before.frames ? ((now.frames - before.frames) * 1000) / (now.at - before.at) : null;
      tell(this.facts["Frames a second"], rate === null ? "…" : String(Math.round(rate)));
      this.before = now;
    }
    tell(this.facts.Lateness, lateness(stream.late));
    tell(this.facts["Missed frames"], stream.missed_frames ? `${stream.missed_frames} of ${stream.frames + stream.missed_frames}` : "none");
    tell(this.facts.Packets, String(stream.packets));
    tell(this.facts["Dropped here"], stream.dropped_packets ? `${stream.dropped_packets}, this machine's queues being full` : "none");
    tell(this.facts.Priority, stream.priority);
  }
}
