// The state of the lights in sentences.

export function percent(level) {
  if (level === null || level === undefined) return "";
  const value = level * 100;
  return value > 0 && value < 1 ? "under 1 %" : `${Math.round(value)} %`;
}

export function list(names) {
  if (names.length < 2) return names.join("");
  return `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
}

export function litProps(state) {
  return state ? state.props.filter((prop) => prop.lit) : [];
}

/** {head, more}: what is lit, and what of it, for people. `more` may change with every beat. */
export function lights(state, connected) {
  if (!state) return {head: connected ? "…" : "Not connected yet", more: ""};
  if (state.mode === "silent") return {head: "Silent", more: "nothing is sent"};
  if (state.mode === "releasing") return {head: "Going silent", more: "the last packets say so"};
  if (state.mode === "dark") return {head: "Dark", more: "black is sent, so they stay dark"};
  const lit = litProps(state);
  if (state.pattern === "finder" && lit.length === 1) return finder(state, lit[0]);
  const names = lit.length === state.props.length && lit.length > 2
    ? `All ${lit.length} props are` : `${list(lit.map((prop) => prop.prop))} ${lit.length === 1 ? "is" : "are"}`;
  const region = state.region && state.region !== "all" ? ` on ${state.region}` : "";
  const beat = lit.length ? lit[0] : null;
  const caption = beat && beat.caption && beat.caption !== "all" ? beat.caption : "";
  const count = beat && beat.beats > 1 ? ` (${beat.beat} of ${beat.beats})` : "";
  return {head: `${names} lit: ${state.pattern}${region}`, more: caption + count};
}

/** The pictures of a question; what they light is for the builder to say. */
function finder(state, prop) {
  const [, question, picture] = /question (\d+)(?:, picture (\d+))?/.exec(state.region || "") || [];
  const more = picture ? `picture ${picture}` : prop.beats > 1 ? `picture ${prop.beat} of ${prop.beats}` : "";
  return {head: `${prop.prop} is lit: fault finder${question ? `, question ${question}` : ""}`, more};
}

/** What is read out: changes with the pattern, and with each beat only when stepped by hand. */
export function lightsAloud(state) {
  if (!state) return "";
  const {head, more} = lights(state, true);
  if (state.mode !== "lit") return `${head}: ${more}`;
  return state.by_hand && more ? `${head}, ${more}` : head;
}

/** Each sentence says one thing that keeps light back from `prop` (a member of site().props). */
export function heldBack(state, prop) {
  const said = [];
  if (!state || state.mode !== "lit") return said;
  if (prop && state.level !== null && state.level > prop.level + 1e-6) {
    said.push(`The site file caps ${prop.prop} at ${percent(prop.level)}, so ${percent(state.level)} gives ${percent(prop.level)}.`);
  }
  for (const supply of state.supplies) {
    if (!supply.text || (prop && supply.controller !== prop.controller)) continue;
    said.push(sentence(supply.text));
  }
  if (state.held && state.held.text) said.push(sentence(state.held.text));
  return said;
}

/** {controllers, rest}: what they, and the daemon, have to say beside that; "" where it is nothing. */
export function remarks(state) {
  if (!state) return {controllers: "", rest: ""};
  return {
    controllers: state.controllers.filter(({text}) => text).map(({text}) => sentence(text)).join(" "),
    rest: state.notes.map(sentence).join(" "),
  };
}

export function sentence(text) {
  const trimmed = text.trim();
  const first = trimmed.charAt(0).toUpperCase() + trimmed.slice(1);
  return /[.!?…]$/.test(first) ? first : first + ".";
}

/** An ApiError's problems, each a sentence or two. */
export function problemLines(error) {
  if (error && error.problems && error.problems.length) {
    return error.problems.map((problem) =>
      sentence(problem.message) + (problem.remedy ? " " + sentence(problem.remedy) : ""));
  }
  return [sentence((error && error.message) || String(error))];
}
