// The words and numbers of a drawing, placed so that they cover neither pixels nor each other.
// Boxes are in px from the corner of the view; only what is drawn is in millimetres.

import {svg} from "./dom.js";
import {head, wayOf} from "./geometry.js";

/** Numbers, runs, joints and the side, each where it covers little. */
export function labels(drawing, width, height) {
  const group = svg("g", {class: "texts"});
  const {f, k} = drawing;
  const taken = [];   // boxes in px from the view's corner
  const px = (p) => [(p[0] - drawing.view[0]) / k, (p[1] - drawing.view[1]) / k];
  const circles = drawing.spots.map(px);
  const cables = (drawing.cableSpots || []).map(px);
  const lines = [];
  for (const bar of drawing.json.bars) {
    const points = bar.points_mm.map((p) => px(drawing.place(p)));
    for (let i = 1; i < points.length; ++i) lines.push([points[i - 1], points[i]]);
  }
  // Only what lies near a place can be covered by its number.
  const kNear = 75;
  const within = (list, spot) => list.filter((p) => Math.abs(p[0] - spot[0]) < kNear && Math.abs(p[1] - spot[1]) < kNear);
  const passes = (list, spot) => list.filter(([p, q]) =>
    Math.min(p[0], q[0]) < spot[0] + kNear && Math.max(p[0], q[0]) > spot[0] - kNear &&
    Math.min(p[1], q[1]) < spot[1] + kNear && Math.max(p[1], q[1]) > spot[1] - kNear);
  const crosses = (b, list, r) => list.some((p) => p[0] > b[0] - r && p[0] < b[2] + r && p[1] > b[1] - r && p[1] < b[3] + r);
  const onLine = (b, list, r) => list.some(([p, q]) => {
    const steps = Math.ceil(Math.hypot(q[0] - p[0], q[1] - p[1]) / 5);
    for (let s = 0; s <= steps; ++s) {
      const x = p[0] + ((q[0] - p[0]) * s) / (steps || 1);
      const y = p[1] + ((q[1] - p[1]) * s) / (steps || 1);
      if (x > b[0] - r && x < b[2] + r && y > b[1] - r && y < b[3] + r) return true;
    }
    return false;
  });
  const free = (b) => b[0] >= 1 && b[1] >= 1 && b[2] <= width - 1 && b[3] <= height - 1 &&
    !taken.some((t) => b[0] < t[2] && b[2] > t[0] && b[1] < t[3] && b[3] > t[1]);
  const centre = px([drawing.json.box_mm.x + drawing.json.box_mm.width / 2, drawing.json.box_mm.y + drawing.json.box_mm.height / 2]);

  const note = drawing.noted || (drawing.options.side === "back" ? "BACK, as you wire it" : "FRONT, as the street sees it");
  const noteBox = [width / 2 - 120, height - 22, width / 2 + 120, height];
  taken.push(noteBox);
  const baseline = drawing.view[1] + (height - 8) * k;
  // Close up only a part is in sight: said again and again, so that it is always there.
  const often = drawing.close ? Math.max(1, Math.round(width / 340)) : 1;
  for (let n = 0; n < often; ++n) {
    const x = drawing.view[0] + ((width * (n + 0.5)) / often) * k;
    group.append(svg("text", {class: "side", x, y: baseline, "font-size": 13 * k * Math.min(f, 1.3), "text-anchor": "middle"}, note));
  }

  /** Near `spot`, where it covers nothing; nothing where there is no room and it is not `must`. */
  const put = (spot, text, cls, size, must, near, most) => {
    const w = text.length * size * 0.6 + 3;
    const h = size + 2;
    let best = null;
    const spots = within(circles, spot);
    const wires = within(cables, spot);
    const pipes = passes(lines, spot);
    const out = [spot[0] - centre[0], spot[1] - centre[1]];
    const l = Math.hypot(out[0], out[1]) || 1;
    for (const away of near || [13, 20, 28]) {
      for (let turn = 0; turn < 8; ++turn) {
        const angle = (turn * Math.PI) / 4;
        const [c, s] = [Math.cos(angle), Math.sin(angle)];
        const x = spot[0] + c * (away + w / 2 - 6);
        const y = spot[1] + s * away;
        const b = [x - w / 2, y - h / 2, x + w / 2, y + h / 2];
        if (!free(b)) continue;
        let cost = away / 8 - (c * out[0] + s * out[1]) / l + (turn % 2 ? 0.8 : 0);
        const mine = Math.hypot(x - spot[0], y - spot[1]);
        if (spots.some((p) => Math.hypot(x - p[0], y - p[1]) < mine - 1)) cost += 7;
        if (crosses(b, spots, 3)) cost += 8;
        if (onLine(b, pipes, 2)) cost += 6;
        if (crosses(b, wires, 2)) cost += 7;
        if (best === null || cost < best.cost) best = {cost, x, y, b};
      }
    }
    if (!best || (!must && best.cost > (most || 7))) return null;
    taken.push(best.b);
    group.append(svg("text", {
      class: cls, x: (drawing.view[0] + best.x * k).toFixed(1), y: (drawing.view[1] + (best.y + size * 0.36) * k).toFixed(1),
      "font-size": (size * k).toFixed(2), "text-anchor": "middle",
    }, text));
    return best;
  };

  // The cable's number sits on the cable: a disc for a hop, a square for a jump.
  for (const flag of drawing.options.paths ? drawing.flags : []) {
    const [x, y] = flag.spot;
    const r = 7.5 * k;
    const p = px(flag.spot);
    taken.push([p[0] - 8, p[1] - 8, p[0] + 8, p[1] + 8]);
    group.append(flag.way === "hop"
      ? svg("circle", {class: "flag", cx: x, cy: y, r, "stroke-width": 1.2 * k})
      : svg("rect", {class: "flag", x: x - r, y: y - r, width: 2 * r, height: 2 * r, "stroke-width": 1.2 * k}));
    group.append(svg("text", {class: "flagged", x, y: y + 3.8 * k, "font-size": 10.5 * k, "text-anchor": "middle"}, flag.text));
  }

  const {pixels, runs} = drawing.json;
  const small = 11 * f;
  const done = new Set();
  const number = (index, must) => {
    if (done.has(index)) return;
    done.add(index);
    put(circles[index - 1], String(index), "number", small, must);
  };
  if (drawing.options.paths) {
    const arrow = leadIn(drawing, group);
    if (arrow) {
      const [a, b] = arrow.map(px);
      taken.push([Math.min(a[0], b[0]) - 5, Math.min(a[1], b[1]) - 5, Math.max(a[0], b[0]) + 5, Math.max(a[1], b[1]) + 5]);
    }
  }
  if (pixels.length) {
    number(1, true);
    number(pixels.length, true);
  }
  if (drawing.options.paths && runs.length > 1) {
    for (const run of runs) {
      const spot = circles[run.first - 1];
      if (!put(spot, "run " + run.run, "run", small, false, [14, 22, 30], 5)) put(spot, "R" + run.run, "run", small, true, [12, 17, 23, 30]);
    }
  }
  for (const run of runs) {
    number(run.first, false);
    number(run.last, false);
  }
  for (let index = 10; index <= pixels.length; index += 10) number(index, false);
  for (const joint of drawing.json.joints || []) {
    put(px(drawing.place([joint.x_mm, joint.y_mm])), joint.joint, "joint", 10 * f, false, [15, 24, 32]);
  }
  return group;
}

/** Where the data comes in: an arrow from outside onto pixel 1, along the way it goes on. */
function leadIn(drawing, group) {
  const {k} = drawing;
  const first = drawing.spots[0];
  if (!first) return null;
  const box = drawing.json.box_mm;
  const c = [box.x + box.width / 2, box.y + box.height / 2];
  const out = [first[0] - c[0], first[1] - c[1]];
  const flat = Math.abs(out[0]) / (box.width || 1) > Math.abs(out[1]) / (box.height || 1);
  const d = flat ? [Math.sign(out[0]) || 1, 0] : [0, Math.sign(out[1]) || 1];
  const from = [first[0] + d[0] * 30 * k, first[1] + d[1] * 30 * k];
  const to = [first[0] + d[0] * 9 * k, first[1] + d[1] * 9 * k];
  group.append(svg("g", {class: "cables"},
    svg("path", {class: "lead", d: wayOf([from, to]), fill: "none", "stroke-width": (2.4 * k).toFixed(2)}),
    svg("path", {class: "heads", d: head(from, to, 0.8, drawing.headSize() * 1.2)})));
  return [from, to];
}
