// What changes only when the site is read again: kept until then.

import {get} from "./api.js";
import {live} from "./live.js";

const kept = new Map();
let read = null;

function once(path, pick) {
  if (!kept.has(path)) {
    const asked = get(path).then((json) => (pick ? pick(json) : json));
    kept.set(path, asked);
    // What failed is asked for again the next time.
    asked.catch(() => { if (kept.get(path) === asked) kept.delete(path); });
  }
  return kept.get(path);
}

/** The body of GET /api/site. */
export function site() { return once("/api/site"); }
/** The list in GET /api/patterns. */
export function patterns() { return once("/api/patterns", (json) => json.patterns); }
/** The body of GET /api/props/{prop}/drawing. */
export function drawing(prop) { return once(`/api/props/${encodeURIComponent(prop)}/drawing`); }

/** The prop's member of site().props, or null. */
export async function propOf(name) {
  const all = await site();
  return all.props.find((prop) => prop.prop === name) || null;
}

/** The props in the order to walk them; those that the walk leaves out come last. */
export async function propsInWalkOrder() {
  const all = await site();
  const walked = all.walk.map((name) => all.props.find((prop) => prop.prop === name));
  const rest = all.props.filter((prop) => !all.walk.includes(prop.prop));
  return walked.filter(Boolean).concat(rest);
}

let changed = () => {};
/** Called after the site was read again and what was kept is forgotten. */
export function onSiteRead(called) { changed = called; }

live.subscribe((state) => {
  if (!state || state.site_read === undefined || state.site_read === read) return;
  const first = read === null;
  read = state.site_read;
  if (first) return;
  kept.clear();
  changed();
});

export function forget() { kept.clear(); }
