// The site as seen from the street: each prop's outline where it hangs, numbered in walking order.

import {svg} from "./dom.js";

const kMost = 24;  // props whose outlines are drawn; beyond it dots are enough

/** stops: [{prop, state}] in order; props: of GET /api/site; frames: Map of prop → its drawing.
    here: the stop to point out; path: whether the order is drawn as a line. null without places. */
export function sketch({stops, props, frames, here, path}) {
  const placed = stops.map((stop, i) => ({...stop, number: i + 1, is: props.find((prop) => prop.prop === stop.prop)}))
    .filter((stop) => stop.is && stop.is.place_m);
  if (placed.length < 2) return null;
  const points = [];
  for (const stop of placed) {
    const [x, y] = stop.is.place_m.map((m) => m * 1000);
    const frame = placed.length <= kMost ? frames.get(stop.prop) : null;
    stop.lines = frame ? frame.bars.map((bar) => bar.points_mm.map((p) => seen(p, frame, stop.is.hung, x, y))) : [];
    if (frame && !frame.bars.length) stop.lines = [frame.pixels.map((p) => seen([p.x_mm, p.y_mm], frame, stop.is.hung, x, y))];
    const all = stop.lines.flat();
    stop.spot = all.length ? middle(all) : [x, y];
    points.push(...all, stop.spot);
  }
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  const [width, height] = [Math.max(...xs) - left, Math.max(...ys) - top];
  const k = Math.max(width / 300, height / 190, 1);  // mm on a unit of 360 across
  const margin = 26 * k;
  const view = [left - margin, top - margin, width + 2 * margin, height + 2 * margin];
  const spread = apart(placed.map((stop) => stop.spot), 25 * k);
  const round = (v) => v.toFixed(1);
  return svg("svg", {class: "flow-sketch", viewBox: view.map(round).join(" "), role: "img",
    "aria-label": `Sketch of the site from the street. Order: ${placed.map((stop) => `${stop.number} ${stop.prop}`).join(", ")}.`},
  svg("g", {class: "flow-sketch-frames", fill: "none", "stroke-width": round(1.6 * k), "stroke-linejoin": "round"},
    placed.map((stop) => svg("path", {class: stop.prop === here ? "is-here" : null,
      d: stop.lines.map((line) => line.map((p, i) => `${i ? "L" : "M"}${round(p[0])} ${round(p[1])}`).join("")).join("")}))),
  path ? svg("path", {class: "flow-sketch-way", fill: "none", "stroke-width": round(1.4 * k), "stroke-dasharray": `${round(5 * k)} ${round(4 * k)}`,
    d: spread.map((p, i) => `${i ? "L" : "M"}${round(p[0])} ${round(p[1])}`).join("")}) : null,
  placed.map((stop, i) => svg("g", {class: `flow-sketch-stop is-${stop.state || "open"}${stop.prop === here ? " is-here" : ""}`},
    svg("circle", {cx: round(spread[i][0]), cy: round(spread[i][1]), r: round((stop.prop === here ? 13 : 11) * k), "stroke-width": round(1.6 * k)}),
    svg("text", {x: round(spread[i][0]), y: round(spread[i][1] + 4.4 * k), "font-size": round(12.5 * k), "text-anchor": "middle"}, String(stop.number)))));
}

function seen([x, y], frame, hung, left, top) {
  const box = frame.box_mm;
  const turned = hung === "turned";
  return [left + (turned ? 2 * box.x + box.width - x : x), top + (turned ? 2 * box.y + box.height - y : y)];
}

function middle(points) {
  const half = (of) => (Math.min(...of) + Math.max(...of)) / 2;
  return [half(points.map((p) => p[0])), half(points.map((p) => p[1]))];
}

/** Moves spots that would cover each other until they are `gap` apart. */
function apart(spots, gap) {
  const moved = spots.map((p) => p.slice());
  for (let round = 0; round < 20; round += 1) {
    for (let i = 0; i < moved.length; i += 1) {
      for (let j = 0; j < i; j += 1) {
        const dx = moved[i][0] - moved[j][0];
        const dy = moved[i][1] - moved[j][1];
        const far = Math.hypot(dx, dy);
        if (far >= gap) continue;
        const [ux, uy] = far > 1e-6 ? [dx / far, dy / far] : [1, 0];
        const push = (gap - far) / 2;
        moved[i] = [moved[i][0] + ux * push, moved[i][1] + uy * push];
        moved[j] = [moved[j][0] - ux * push, moved[j][1] - uy * push];
      }
    }
  }
  return moved;
}
