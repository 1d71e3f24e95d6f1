// What this device remembers: units, look, side. Without storage it works, it only forgets.

const kFirst = {units: "mm", look: "auto", side: "front"};
const kAllowed = {units: ["mm", "in"], look: ["auto", "day", "night"], side: ["front", "back"]};
const watchers = new Set();
const darkScheme = window.matchMedia("(prefers-color-scheme: dark)");

/** A remembered text, or null. */
export function recall(name) {
  try { return localStorage.getItem("panewalk." + name); } catch (refused) { return null; }
}
export function remember(name, text) {
  try { localStorage.setItem("panewalk." + name, text); } catch (refused) { /* forgets */ }
}

const values = {};
for (const name of Object.keys(kFirst)) {
  const kept = recall(name);
  values[name] = kAllowed[name].includes(kept) ? kept : kFirst[name];
}

function applyLook() {
  const night = values.look === "night" || (values.look === "auto" && darkScheme.matches);
  document.documentElement.dataset.look = night ? "night" : "day";
  const colour = document.querySelector('meta[name="theme-color"]');
  if (colour) colour.setAttribute("content", night ? "#0b0806" : "#f3efe6");
}

function set(name, value) {
  if (!kAllowed[name].includes(value) || values[name] === value) return;
  values[name] = value;
  remember(name, value);
  applyLook();
  for (const watcher of Array.from(watchers)) watcher(prefs);
}

export const prefs = {
  get units() { return values.units; },
  set units(value) { set("units", value); },
  get look() { return values.look; },
  set look(value) { set("look", value); },
  get side() { return values.side; },
  set side(value) { set("side", value); },
  /** fn(prefs) after a change; returns what ends it. */
  subscribe(fn) {
    watchers.add(fn);
    return () => watchers.delete(fn);
  },
};

/** 540 → "540 mm", or "21 1/4 in" to the nearest sixteenth. */
export function length(mm) {
  if (values.units === "mm") return `${Math.round(mm * 10) / 10} mm`;
  const sixteenths = Math.round((Math.abs(mm) / 25.4) * 16);
  const whole = Math.floor(sixteenths / 16);
  let part = sixteenths % 16;
  let of = 16;
  while (part > 0 && part % 2 === 0) { part /= 2; of /= 2; }
  const sign = mm < 0 && sixteenths > 0 ? "-" : "";
  const fraction = part > 0 ? `${part}/${of}` : "";
  const text = whole > 0 || part === 0 ? (fraction ? `${whole} ${fraction}` : `${whole}`) : fraction;
  return `${sign}${text} in`;
}

darkScheme.addEventListener ? darkScheme.addEventListener("change", applyLook)
                            : darkScheme.addListener(applyLook);
applyLook();
