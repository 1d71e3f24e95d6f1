// Lines and points of a drawing, in millimetres: [x, y] with y down.

/** Points moved sideways by `by` (mm), mitred, to the left of the way they go. */
export function beside(points, by) {
  const clean = points.filter((p, i) => i === 0 || Math.hypot(p[0] - points[i - 1][0], p[1] - points[i - 1][1]) > 1e-6);
  if (clean.length < 2) return clean;
  const normals = [];
  for (let i = 0; i + 1 < clean.length; ++i) {
    const dx = clean[i + 1][0] - clean[i][0];
    const dy = clean[i + 1][1] - clean[i][1];
    const l = Math.hypot(dx, dy);
    normals.push([dy / l, -dx / l]);
  }
  return clean.map((p, i) => {
    const a = normals[Math.max(0, i - 1)];
    const b = normals[Math.min(normals.length - 1, i)];
    const sx = a[0] + b[0];
    const sy = a[1] + b[1];
    const square = sx * sx + sy * sy;
    if (square < 0.4) return [p[0] + a[0] * by, p[1] + a[1] * by];  // turns back on itself
    return [p[0] + (sx * 2 * by) / square, p[1] + (sy * 2 * by) / square];
  });
}

export const at = (p) => `${p[0].toFixed(1)} ${p[1].toFixed(1)}`;
export const wayOf = (points) => points.map((p, i) => (i ? "L" : "M") + at(p)).join("");

/** The point half way along, and the direction there. */
export function middle(points) {
  let total = 0;
  for (let i = 1; i < points.length; ++i) total += Math.hypot(points[i][0] - points[i - 1][0], points[i][1] - points[i - 1][1]);
  let rest = total / 2;
  for (let i = 1; i < points.length; ++i) {
    const l = Math.hypot(points[i][0] - points[i - 1][0], points[i][1] - points[i - 1][1]);
    if (l >= rest && l > 0) {
      const t = rest / l;
      return [points[i - 1][0] + (points[i][0] - points[i - 1][0]) * t, points[i - 1][1] + (points[i][1] - points[i - 1][1]) * t];
    }
    rest -= l;
  }
  return points[0];
}

/** A small triangle at the part `t` of the way, pointing along it; `size` in mm. */
export function head(from, to, t, size) {
  const dx = to[0] - from[0];
  const dy = to[1] - from[1];
  const l = Math.hypot(dx, dy) || 1;
  const [ux, uy] = [dx / l, dy / l];
  const x = from[0] + dx * t + ux * size;
  const y = from[1] + dy * t + uy * size;
  const back = size * 1.9;
  return `M${at([x, y])}L${at([x - ux * back - uy * size, y - uy * back + ux * size])}L${at([x - ux * back + uy * size, y - uy * back - ux * size])}Z`;
}
