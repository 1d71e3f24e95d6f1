// What no program can do for you.

import {el} from "./dom.js";
import {heading} from "./ui.js";

const kCautions = [
  ["Protection", [
    ["Fuses, GFCI/RCD and the right wire keep you safe.", "Panewalk only calculates and sends. Its limits can be passed by any other source, by a controller's own test, or by a crash. Size wire and fuses for full white."],
    ["Power off before you plug, splice, cut or open a box.", "If you must connect live, connect ground first."],
    ["Read the label, then meter.", "12 V into 5 V pixels destroys every one of them at once."],
    ["Most pixel supplies can start a fire.", "A Class 2 supply gives at most 5 A up to 20 V, so 60 VA at 12 V. Anything bigger needs its wiring and fuses made as for a power circuit."],
  ]],
  ["Mains", [
    ["Mains work is for a licensed electrician.", "Local codes come first, before anything written here."],
    ["Use a listed, enclosed supply.", "Mains terminals covered. No supply with open terminals outdoors or within reach."],
    ["Outdoors: GFCI, or RCD 30 mA.", "Press its test button before you begin."],
    ["Temporary means temporary.", "Holiday wiring stays up 90 days at most where the NEC applies."],
  ]],
  ["Wet", [
    ["Where hands or rain reach the wire, stay at or under 30 V DC.", "5, 12 and 24 V are; 48 V is not."],
    ["Keep water out.", "Boxes IP44 under a roof and IP65 in the open, cables in from below, with a drip loop."],
  ]],
  ["Height", [
    ["Stay 3 m (10 ft) away from overhead lines.", "You, the ladder, pipe and wire. More above 50 kV."],
    ["Ladder: rails that do not conduct, firm ground, four up to one out.", "Three points of contact, someone with you, not in wind."],
    ["A frame is a sail.", "Anchor it against wind. Over a path it needs a second fixing."],
  ]],
  ["Flashing light", [
    ["It can harm people who are sensitive to it, and the street can't opt out.", "At most three flashes in any second, at least 360 ms between rises, for each prop and for all together. Panewalk holds back what would be faster, and that can't be switched off."],
    ["These are rules for screens, carried over.", "Nobody has published one for lights outdoors. If someone feels unwell: DARK, at once."],
  ]],
  ["Pipe", [
    ["Eyes covered when you cut or drill. Fresh air for solvent cement.", "Never heat PVC: it gives off hydrogen chloride."],
  ]],
];

export function show() {
  return el("div", {class: "cautions"},
    heading("Cautions", "What no program can do for you."),
    kCautions.map(([title, entries]) => el("section", {class: "sheet"}, el("h2", null, title),
      el("ul", null, entries.map(([what, why]) => el("li", null, el("strong", null, what), " ", why))))));
}
