// What the daemon tells while it runs. Only the newest message counts.

import {get} from "./api.js";

const kFirstWait = 500;   // ms before the first new try
const kLongestWait = 5000;
const kQuiet = 5000;      // ms without a message, after which the daemon is asked whether it is there
const kStill = 500;       // ms between two updates where less motion is asked for

const watchers = new Set();
const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
let socket = null;
let wait = kFirstWait;
let retry = 0;
let quiet = 0;
let due = false;
let toldAt = 0;
let ran = false;

function tellAll() {
  due = false;
  toldAt = Date.now();
  for (const watcher of Array.from(watchers)) {
    try { watcher(live.state); } catch (failure) { console.error(failure); }
  }
}

function tellSoon() {
  if (due) return;
  due = true;
  const rest = calm.matches ? Math.max(0, kStill - (Date.now() - toldAt)) : 0;
  // A page in the background gets no animation frames, but must still notice what happens.
  if (rest > 0 || document.hidden) setTimeout(tellAll, rest);
  else requestAnimationFrame(tellAll);
}

/** A phone out of reach notices nothing by itself, and a daemon at rest says nothing. */
function listenForQuiet() {
  clearTimeout(quiet);
  const mine = socket;
  quiet = setTimeout(() => {
    get("/api/light").then((state) => {
      if (socket !== mine) return;
      if (mine.readyState !== WebSocket.OPEN) { lose(); return; }
      take(state);
    }, () => { if (socket === mine) lose(); });
  }, kQuiet);
}

function take(state) {
  listenForQuiet();
  live.state = state;
  live.connected = true;
  live.lostAt = null;
  wait = kFirstWait;
  tellSoon();
}

function lose() {
  clearTimeout(quiet);
  const old = socket;
  socket = null;
  if (old) {
    old.onopen = old.onmessage = old.onclose = old.onerror = null;
    old.close();
  }
  const was = live.connected;
  live.connected = false;
  if (was) live.lostAt = Date.now();
  tellSoon();
  clearTimeout(retry);
  retry = setTimeout(connect, wait);
  wait = Math.min(kLongestWait, wait * 2);
  // A refused WebSocket does not say why; this call does (401 leads to the join view).
  if (!was) get("/api/light").catch(() => {});
}

function connect() {
  clearTimeout(retry);
  if (socket) return;
  const scheme = location.protocol === "https:" ? "wss:" : "ws:";
  const mine = new WebSocket(`${scheme}//${location.host}/api/live`);
  socket = mine;
  listenForQuiet();
  mine.onmessage = (event) => {
    let state;
    try { state = JSON.parse(event.data); } catch (failure) { return; }
    take(state);
  };
  mine.onclose = mine.onerror = () => { if (socket === mine) lose(); };
}

export const live = {
  state: null,       // the last message
  connected: false,
  lostAt: null,      // ms since the epoch
  /** fn(state) at each change of the state or the connection; returns what ends it. */
  subscribe(fn) {
    watchers.add(fn);
    return () => watchers.delete(fn);
  },
  start() {
    if (ran) return;
    ran = true;
    connect();
    const now = () => { if (!live.connected) { wait = kFirstWait; if (!socket) connect(); } };
    window.addEventListener("online", now);
    document.addEventListener("visibilitychange", () => { if (!document.hidden) now(); });
  },
  /** Tries at once, as after a join. */
  again() {
    wait = kFirstWait;
    if (socket && !live.connected) lose();
    if (!socket) connect();
  },
};
