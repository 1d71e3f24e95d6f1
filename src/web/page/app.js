// Picks the view for the place in the address, and holds what all views share: the state of the
// lights, the DARK button, the connection, look and units.

import {el, replace, tell} from "./dom.js";
import {post, onRefused} from "./api.js";
import {live} from "./live.js";
import * as model from "./model.js";
import {prefs} from "./prefs.js";
import {lights, lightsAloud, remarks, problemLines, sentence} from "./words.js";
import {button, choice, complaint, heading} from "./ui.js";

const kViews = {
  "": "./view_home.js", prop: "./view_bench.js", check: "./view_check.js", walk: "./view_walk.js",
  punch: "./view_punch.js", find: "./view_find.js", cautions: "./view_cautions.js",
  network: "./view_network.js", join: "./view_join.js",
};
const kPlaces = {
  "": "All props", prop: "Bench", check: "Bench check", walk: "Yard walk", punch: "Punch list",
  find: "Fault finder", cautions: "Cautions", network: "Network", join: "Join",
};
const loaded = {};
function load(name) {
  if (!loaded[name]) {
    loaded[name] = import(kViews[name]);
    loaded[name].catch(() => {});
  }
  return loaded[name];
}
// At the start: in the yard the connection may be gone when a view is first wanted. The network view has
// nothing to say without one.
Object.keys(kViews).filter((name) => name !== "network").forEach(load);

const main = document.getElementById("main");
const banner = document.getElementById("banner");
const said = document.getElementById("said");
let shown = {element: null};
let turn = 0;
let failed = false;
let missing = false;  // a module of the page did not come
let after = "#/";   // where to go after a join
let minutes = null; // until the daemon goes dark with nobody watching
let unread = null;  // announces only what changed

function parts() {
  const path = location.hash.replace(/^#\/?/, "");
  return path.split("/").map((part) => {
    try { return decodeURIComponent(part); } catch (broken) { return part; }
  });
}

export function go(hash) {
  if (location.hash === hash) show();
  else location.hash = hash;
}

/** Read out politely. */
export function say(text) { tell(said, text); }

const context = {
  go, say,
  /** After a join: the daemon knows this device now. */
  joined() {
    model.forget();
    live.again();
    location.replace(after);
  },
};

/** A module that did not come is not asked for twice by the browser; the page is. */
function again() {
  if (missing) location.reload();
  else show();
}

async function show() {
  const mine = ++turn;
  const [name, ...params] = parts();
  const first = shown.element === null;
  let next;
  failed = false;
  try {
    if (!(name in kViews)) {
      next = el("div", null, heading("Nothing is here", null, {href: "#/", text: "All props"}),
        el("p", null, `This page has no place called “${name}”.`));
    } else {
      const module = await load(name).catch((error) => { missing = true; throw error; });
      next = await module.show(context, ...params);
    }
  } catch (error) {
    if (mine !== turn) return;
    failed = true;
    console.warn(error);
    const trouble = complaint();
    trouble.say(error);
    next = el("div", null, heading(kPlaces[name] || "Panewalk", null, {href: "#/", text: "All props"}), trouble,
      button("Try again", again, "main"));
  }
  if (mine !== turn) {
    if (next && next.leave) next.leave();
    return;
  }
  if (shown.leave) shown.leave();
  shown = next instanceof Node ? {element: next} : next;
  replace(main, shown.element);
  head();
  const title = main.querySelector("h1");
  const place = kPlaces[name] || "Panewalk";
  document.title = title && name !== "" ? `${title.textContent} · Panewalk` : `${place} · Panewalk`;
  document.body.dataset.view = name || "home";
  if (shown.live && live.state) shown.live(live.state);
  if (!first) {
    window.scrollTo(0, 0);
    if (title) {
      title.setAttribute("tabindex", "-1");
      title.focus({preventScroll: true});
    }
  }
}

// --- the head ---

const siteName = el("span", {class: "site"}, "Panewalk");
const practice = el("p", {class: "practice", hidden: true},
  el("strong", null, "Practice:"), " nothing leaves this machine.");
const navs = [["#/walk", "walk", "Walk"], ["#/cautions", "cautions", "Cautions"]]
  .map(([href, name, text]) => ({name, link: el("a", {href}, text)}));
document.getElementById("head").append(
  el("div", {class: "plate"},
    el("a", {class: "mark", href: "#/"},
      el("span", {class: "pane", aria: {hidden: "true"}}), siteName, el("span", {class: "unseen"}, ": all props")),
    el("nav", {aria: {label: "Places"}}, navs.map((nav) => nav.link))),
  practice);

async function head() {
  const name = parts()[0];
  for (const nav of navs) {
    const here = nav.name === name || (nav.name === "walk" && name === "punch");
    if (here) nav.link.setAttribute("aria-current", "page");
    else nav.link.removeAttribute("aria-current");
  }
  try {
    const site = await model.site();
    tell(siteName, site.site);
    practice.hidden = !site.practice;
    minutes = site.unwatched_minutes || null;
  } catch (unreachable) { /* the banner says so */ }
}

// --- look and units, at the end of every view ---

document.getElementById("foot").append(
  el("div", {class: "settings"},
    el("div", null, el("span", {class: "label"}, "Look"),
      choice("Look", [["auto", "Auto"], ["day", "Day"], ["night", "Night"]], prefs.look, (value) => { prefs.look = value; })),
    el("div", null, el("span", {class: "label"}, "Lengths"),
      choice("Lengths", [["mm", "mm"], ["in", "inches"]], prefs.units, (value) => { prefs.units = value; }))),
  el("p", {class: "quiet"}, "A limit in software protects nothing: fuses, wire and GFCI/RCD do. ",
    el("a", {href: "#/cautions"}, "Cautions"), "."));

// --- the bar: the lights in words, and DARK ---

const stateHead = el("strong");
const stateMore = el("span");
const stateRemark = el("p", {class: "remark"});
const dot = el("span", {class: "dot", aria: {hidden: "true"}});
const darkButton = el("button", {
  type: "button", class: "dark", aria: {keyshortcuts: "Escape"}, onclick: goDark,
}, el("span", {class: "word"}, "DARK"), el("kbd", null, "Esc"));
document.getElementById("bar").append(
  el("div", {class: "state"}, dot, el("div", null, el("p", null, stateHead, stateMore), stateRemark)),
  darkButton);

if (window.ResizeObserver) {
  // Its height depends on what it says; what stands above it needs to know.
  const box = document.getElementById("bar");
  new ResizeObserver(() => document.documentElement.style.setProperty("--bar", `${box.offsetHeight}px`)).observe(box);
}

let darkOwed = 0;  // a DARK that did not get through is sent again until it does
async function goDark() {
  const mine = ++darkOwed;
  darkButton.classList.add("busy");
  for (;;) {
    try {
      await post("/api/dark");
      if (mine === darkOwed) {
        darkOwed = 0;
        say("Dark.");
      }
      break;
    } catch (error) {
      if (mine !== darkOwed) return;
      if (error.status !== 0) {
        tell(stateRemark, "DARK was refused: " + problemLines(error).join(" "));
        darkOwed = 0;
        break;
      }
      bannerSoon();
      await new Promise((done) => setTimeout(done, 700));
      if (mine !== darkOwed) return;
    }
  }
  darkButton.classList.remove("busy");
  bannerSoon();
}

document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape" || event.repeat || event.isComposing) return;
  event.preventDefault();
  goDark();
});

/** What the controllers say leads to the network view. */
function remark(state) {
  const {controllers, rest} = remarks(state);
  if (stateRemark.textContent === controllers + (controllers && rest ? " " : "") + rest) return;
  replace(stateRemark, controllers ? el("a", {href: "#/network"}, controllers) : null, controllers && rest ? " " : null, rest);
}

function bar(state) {
  const {head: words, more} = lights(state, live.connected);
  tell(stateHead, state && !live.connected ? `Last heard: ${words}` : words);
  tell(stateMore, more ? (state && state.mode === "lit" ? ". " + sentence(more) : ": " + more) : "");
  document.body.dataset.mode = live.connected && state ? state.mode : "lost";
  if (!darkOwed) remark(state);
  const aloud = lightsAloud(state);
  if (aloud && aloud !== unread) {
    unread = aloud;
    say(aloud);
  }
}

// --- the connection ---

function bannerSoon() {
  const lost = !live.connected && (live.lostAt ? Date.now() - live.lostAt > 400 : performance.now() > 2500);
  document.body.classList.toggle("lost", lost);
  if (!lost) {
    if (banner.firstChild) replace(banner);
    if (!live.connected) setTimeout(bannerSoon, 500);
    return;
  }
  const after = minutes ? `in ${minutes} minutes` : "after ten minutes, or as the site file says,";
  const text = "No connection to Panewalk. Trying again … " +
    (darkOwed ? "DARK is sent as soon as it is back. " : "") +
    `The lights go dark by themselves ${after} if it stays away.`;
  if (banner.textContent !== text) replace(banner, el("p", null, text));
}

let connected = false;
live.subscribe((state) => {
  bar(state);
  bannerSoon();
  if (live.connected && !connected) {
    head();
    if (failed) again();
  }
  connected = live.connected;
  if (shown.live && state) shown.live(state);
});

model.onSiteRead(() => show());

onRefused(() => {
  if (parts()[0] === "join") return;
  after = location.hash || "#/";
  location.replace("#/join");
});

document.getElementById("skip").addEventListener("click", (event) => {
  event.preventDefault();
  main.focus();
});
window.addEventListener("hashchange", show);
setTimeout(bannerSoon, 2600);
bar(null);
live.start();
show();
