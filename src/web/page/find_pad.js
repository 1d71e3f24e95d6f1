// The drawing as the answer pad of the fault finder, and with what it found marked.

import {svg, replace} from "./dom.js";
import {Drawing} from "./drawing.js";
import {at, wayOf} from "./geometry.js";

const kRings = 16;  // more pixels than this are shown by the wire between them alone

export class Pad extends Drawing {
  /**
   * options as for a Drawing, and: marks ("many" or "one" where pixels can be marked by tap or keys,
   * else nothing), onMarks(indices), marked (indices to begin with), wires (whether the wire between
   * marked pixels that follow each other is marked too).
   */
  constructor(json, options) {
    super(json, {...options, onPixel: options.marks ? () => {} : undefined});
    this.marked = new Set(options.marked || []);
    this.ready = true;
    this.mark();
    this.spoken();
  }

  /** Ascending. Calls nobody. */
  put(indices) {
    this.marked = new Set(indices);
    this.mark();
    this.spoken();
  }

  tapped(event) {
    this.keyed = false;
    super.tapped(event);
  }

  choose(index) {
    this.selected = index;
    if (this.options.marks === "one") this.marked = new Set(this.marked.has(index) ? [] : [index]);
    else if (!this.marked.delete(index)) this.marked.add(index);
    this.mark();
    this.spoken();
    this.follow();
    this.options.onMarks([...this.marked].sort((a, b) => a - b));
  }

  key(event) {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const last = this.json.pixels.length;
    const now = this.selected || 0;
    this.keyed = true;
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      this.choose(now || 1);
      return;
    }
    const to = {
      ArrowRight: now + 1, ArrowUp: now + 1, ArrowLeft: now - 1, ArrowDown: now - 1,
      PageUp: now + 10, PageDown: now - 10, Home: 1, End: last,
    }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    this.select(Math.min(last, Math.max(1, to)));
  }

  spoken() {
    super.spoken();
    if (!this.ready || !this.options.onPixel || this.selected === null) return;
    this.element.setAttribute("aria-valuetext", this.element.getAttribute("aria-valuetext") +
      (this.marked.has(this.selected) ? ", marked" : ", not marked"));
  }

  mark() {
    if (!this.ready) return;
    super.mark();
    // The hair cross is where the keys are; a thumb needs none.
    if (this.options.onPixel && !this.keyed) replace(this.marker);
    const {k} = this;
    const indices = [...this.marked].sort((a, b) => a - b);
    const layer = [];
    if (this.options.wires) {
      for (let i = 1; i < indices.length; ++i) {
        if (indices[i] !== indices[i - 1] + 1) continue;
        const way = wayOf(this.wire(indices[i - 1]));
        layer.push(svg("path", {class: "suspect-edge", d: way, fill: "none", "stroke-width": (8 * k).toFixed(2), "stroke-linecap": "round"}),
          svg("path", {class: "suspect", d: way, fill: "none", "stroke-width": (4 * k).toFixed(2), "stroke-linecap": "round"}));
      }
    }
    const ringed = this.options.wires && indices.length > kRings ? [indices[0], indices[indices.length - 1]] : indices;
    for (const index of ringed) {
      const [cx, cy] = this.spots[index - 1];
      if (this.options.wires) {
        layer.push(svg("circle", {class: "suspect-ring", cx, cy, r: 9.5 * k, fill: "none", "stroke-width": (3 * k).toFixed(2)}));
      } else {
        const tick = [[-3.6, 0.2], [-1, 3], [3.8, -2.8]].map(([x, y]) => [cx + x * k, cy + y * k]);
        layer.push(svg("circle", {class: "picked", cx, cy, r: 8.5 * k, "stroke-width": (2 * k).toFixed(2)}),
          svg("path", {class: "tick", d: tick.map((p, i) => (i ? "L" : "M") + at(p)).join(""), fill: "none", "stroke-width": (2 * k).toFixed(2)}));
      }
    }
    this.marker.append(...layer);
  }

  /** The way of the wire from a pixel to the next. */
  wire(index) {
    const splice = this.json.splices.find((one) => one.from === index);
    return splice && splice.path_mm.length > 1 ? splice.path_mm.map((p) => this.place(p)) : [this.spots[index - 1], this.spots[index]];
  }
}

/** Pixels by index as the answer names them. */
export function stations(json, indices) { return indices.map((index) => json.pixels[index - 1].station); }

/** The other way round; what the drawing does not know is left out. */
export function indices(json, names) {
  return names.map((name) => json.pixels.findIndex((pixel) => pixel.station === name) + 1).filter((index) => index > 0);
}
