// A prop to scale, as on the workshop wall: pipe, the way of the data, splices, numbers, and the
// light. All sizes in millimetres; `k` is how many of them a pixel of the screen covers.

import {svg, replace} from "./dom.js";
import {at, beside, head, middle, wayOf} from "./geometry.js";
import {labels} from "./labels.js";

const kMargin = 40;   // px around the box, for numbers and words
const kReach = 44;    // px: a tap this close finds a pixel
const kClose = 15;    // px between neighbours, seen close up
const kTight = 7;     // px between neighbours: less is hard to tell apart
const kDashes = ["", "7 3", "2 3", "11 3 2 3", "4 2", "1 4", "14 4", "7 3 2 3 2 3"];

/** Linear light as sent → the screen: sRGB is close to a power of 2.2, a little more lifts what is dim. */
const kScreen = Array.from({length: 256}, (_, v) => Math.round(255 * Math.pow(v / 255, 1 / 2.6)));

export class Drawing {
  /**
   * options: side "front"|"back", labels, paths (numbers and the way of the data, true unless
   * told otherwise), turned (seen upside down), tallest (px), name (what the picture is called),
   * onPixel(index) where a pixel can be chosen by tap or arrow keys.
   */
  constructor(json, options) {
    this.json = json;
    this.options = {side: "front", labels: true, paths: true, turned: false, name: json.prop, ...options};
    this.width = 0;
    this.selected = null;
    this.painted = [];
    this.hex = "";
    this.circles = [];
    this.element = svg("svg", {class: "drawing", xmlns: "http://www.w3.org/2000/svg"});
    this.title = svg("title");
    this.layer = svg("g");
    this.element.append(this.title, this.layer);
    if (this.options.onPixel) {
      this.element.setAttribute("tabindex", "0");
      this.element.setAttribute("role", "slider");
      this.element.setAttribute("aria-valuemin", "1");
      this.element.setAttribute("aria-valuemax", String(json.pixels.length));
      this.element.classList.add("taps");
      this.element.addEventListener("click", (event) => this.tapped(event));
      this.element.addEventListener("keydown", (event) => this.key(event));
    } else {
      this.element.setAttribute("role", "img");
    }
    this.named();
    this.rough = Boolean(window.ResizeObserver);  // numbers come with the real width
    this.build(360);
    this.rough = false;
    if (window.ResizeObserver) {
      this.watch = new ResizeObserver(() => {
        const width = this.element.clientWidth || this.element.getBoundingClientRect().width;
        if (width > 0 && (Math.abs(width - this.width) > 1 || !this.measured)) {
          this.measured = true;
          this.build(width);
        }
      });
      this.watch.observe(this.element);
    }
  }

  /** Seen from the front or the back; the words follow. */
  side(side) {
    if (side === this.options.side) return;
    this.options.side = side;
    this.named();
    this.build(this.width);
  }

  /** Marks the pixel with this index; null marks none. Calls nobody. */
  select(index) {
    this.selected = index;
    this.spoken();
    this.mark();
    this.follow();
  }

  /** True where neighbours are too near each other to be told apart when the whole prop is seen. */
  get tight() { return !this.close && this.gap / this.k < kTight; }

  /** Close up the drawing is wider than its place, which must scroll sideways. */
  closeUp(on) {
    if (this.close === on) return;
    this.close = on;
    if (!on) this.element.style.width = "";
    const parent = this.element.parentElement;
    this.build((parent && parent.clientWidth) || this.width);
    this.follow();
  }

  /** Another word than FRONT or BACK in the corner; null brings these back. */
  note(text) {
    this.noted = text;
    this.build(this.width);
  }

  /** The live light: 6 or 8 hex digits a pixel, in data order. Touches only what changed. */
  paint(hex) {
    if (hex === this.hex) return;
    this.hex = hex || "";
    const count = this.circles.length;
    const digits = count ? Math.floor(this.hex.length / count) : 0;
    for (let i = 0; i < count; ++i) {
      const code = digits >= 6 ? this.hex.substr(i * digits, digits) : "";
      if (this.painted[i] === code) continue;
      this.painted[i] = code;
      this.lightUp(this.circles[i], code);
    }
  }

  // --- from here on nobody else's business ---

  lightUp(circle, code) {
    const value = parseInt(code || "0", 16);
    const lit = value !== 0;
    if (lit) {
      const white = code.length >= 8 ? parseInt(code.substr(6, 2), 16) : 0;
      const parts = [0, 2, 4].map((from) => kScreen[Math.min(255, parseInt(code.substr(from, 2), 16) + white)]);
      // A little of the strongest in all three, as an eye near a lamp sees it: pure blue stays readable.
      const lift = Math.max(...parts) * 0.24;
      circle.setAttribute("fill", `rgb(${parts.map((part) => Math.round(lift + part * 0.76)).join(",")})`);
    }
    const was = circle.getAttribute("class") === "lit";
    if (lit !== was) {
      circle.setAttribute("class", lit ? "lit" : "unlit");
      circle.setAttribute("r", lit ? this.litRadius : this.darkRadius);
      if (!lit) circle.removeAttribute("fill");
    }
  }

  named() {
    const {side, name} = this.options;
    const from = side === "back" ? "seen from the BACK" : "seen from the FRONT";
    this.title.textContent = `${name}, ${this.json.pixels.length} pixels, ${from}`;
    this.element.setAttribute("aria-label", this.options.onPixel
      ? `Pixels of ${name} in data order, ${from}` : this.title.textContent);
    this.spoken();
  }

  spoken() {
    if (!this.options.onPixel) return;
    const pixel = this.json.pixels[(this.selected || 1) - 1];
    if (!pixel) return;
    this.element.setAttribute("aria-valuenow", String(pixel.index));
    this.element.setAttribute("aria-valuetext", this.selected === null ? "none chosen"
      : `pixel ${pixel.index}, ${this.placeOf(pixel)}`);
  }

  placeOf(pixel) {
    return (this.options.side === "back" && pixel.place_back) || pixel.place || pixel.station;
  }

  tapped(event) {
    const box = this.element.getBoundingClientRect();
    const x = this.view[0] + (event.clientX - box.left) * this.k;
    const y = this.view[1] + (event.clientY - box.top) * this.k;
    let best = null;
    let least = Infinity;
    this.spots.forEach((p, i) => {
      const d = Math.hypot(p[0] - x, p[1] - y);
      if (d < least) { least = d; best = i + 1; }
    });
    if (best !== null && least <= kReach * this.k) this.choose(best);
  }

  key(event) {
    const last = this.json.pixels.length;
    const now = this.selected || 0;
    const to = {
      ArrowRight: now + 1, ArrowUp: now + 1, ArrowLeft: now - 1, ArrowDown: now - 1,
      PageUp: now + 10, PageDown: now - 10, Home: 1, End: last,
    }[event.key];
    if (to === undefined || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    this.choose(Math.min(last, Math.max(1, to)));
  }

  choose(index) {
    this.select(index);
    this.options.onPixel(index);
  }

  /** From the file's millimetres to the side that is looked at. */
  place(p) {
    const {box_mm: box} = this.json;
    let [x, y] = p;
    if ((this.options.side === "back") !== this.options.turned) x = 2 * box.x + box.width - x;
    if (this.options.turned) y = 2 * box.y + box.height - y;
    return [x, y];
  }

  build(width) {
    const {json, options} = this;
    this.width = width;
    const box = json.box_mm;
    const words = options.labels;
    // Larger where there is room, and where larger text is asked for.
    const asked = parseFloat(getComputedStyle(document.documentElement).fontSize) / 16 || 1;
    this.f = Math.min(1.7, Math.max(1, Math.min(1.3, width / 520)) * asked);
    const margin = words ? kMargin * Math.max(1, this.f * 0.9) : 14;
    const tallest = options.tallest || Math.max(260, Math.min(620, window.innerHeight * (window.innerWidth < 600 ? 0.5 : 0.58)));
    let gap = Infinity;
    json.pixels.forEach((pixel, i) => {
      if (i === 0 || pixel.reached_by !== "run") return;
      const d = Math.hypot(pixel.x_mm - json.pixels[i - 1].x_mm, pixel.y_mm - json.pixels[i - 1].y_mm);
      if (d > 1e-6) gap = Math.min(gap, d);
    });
    let k = Math.max(box.width / (width - 2 * margin), box.height / (tallest - 2 * margin), 0.2);
    if (this.close && gap / k < kClose) {
      k = gap / kClose;
      width = Math.max(width, Math.ceil(box.width / k + 2 * margin));
      this.width = width;
      this.element.style.width = `${width}px`;
    }
    this.gap = Number.isFinite(gap) ? gap : 40 * k;
    this.k = k;
    const note = words ? 22 : 0;
    const height = Math.max(words ? 130 : 2 * margin, box.height / k + 2 * margin) + note;
    this.view = [box.x + box.width / 2 - (width * k) / 2, box.y + box.height / 2 - ((height - note) * k) / 2];
    this.element.setAttribute("viewBox", `${this.view[0].toFixed(2)} ${this.view[1].toFixed(2)} ${(width * k).toFixed(2)} ${(height * k).toFixed(2)}`);
    this.element.style.height = `${Math.round(height)}px`;

    this.spots = json.pixels.map((pixel) => this.place([pixel.x_mm, pixel.y_mm]));
    const most = words ? 6.2 * Math.min(this.f, 1.3) : 4.2;
    const lit = Math.max(1.6, Math.min(most, (this.gap / k) * 0.42));
    this.litRadius = (lit * k).toFixed(2);
    this.darkRadius = (Math.max(1, lit * 0.5) * k).toFixed(2);
    this.element.style.setProperty("--lit-line", `${(Math.min(2.2, lit * 0.36) * k).toFixed(2)}px`);
    this.element.style.setProperty("--dark-line", `${(Math.min(1.1, lit * 0.35) * k).toFixed(2)}px`);

    const layers = [this.pipe(k)];
    if (options.paths) layers.push(this.data(k), this.cables(k));
    layers.push(this.pixels(k));
    if (words && !this.rough) layers.push(labels(this, width, height));
    this.marker = svg("g", {class: "mark"});
    layers.push(this.marker);
    replace(this.layer, layers);
    this.mark();
  }

  pipe(k) {
    const bars = this.json.bars.map((bar) => wayOf(bar.points_mm.map((p) => this.place(p))));
    const wide = Math.max(3.5, Math.min(9, (this.gap / k) * 0.62));
    const line = (cls, w) => svg("path", {
      class: cls, d: bars.join(""), fill: "none", "stroke-width": (w * k).toFixed(2),
      "stroke-linejoin": "round", "stroke-linecap": "round",
    });
    return svg("g", null, line("pipe", wide + 2), line("bore", wide));
  }

  data(k) {
    const group = svg("g", {class: "data"});
    const {pixels, runs} = this.json;
    const heads = [];
    let since = 20 * k;
    for (const run of runs) {
      let d = "";
      for (let index = run.first; index <= run.last; ++index) {
        const spot = this.spots[index - 1];
        const drawn = index > run.first && pixels[index - 1].reached_by === "run";
        d += (drawn ? "L" : "M") + at(spot);
        if (!drawn) continue;
        const before = this.spots[index - 2];
        const l = Math.hypot(spot[0] - before[0], spot[1] - before[1]);
        since += l;
        if (since >= 46 * k || index === run.first + 1) {
          heads.push(head(before, spot, 0.5, this.headSize()));
          since = 0;
        }
      }
      const dash = kDashes[(run.run - 1) % kDashes.length];
      group.append(svg("path", {
        d, fill: "none", "stroke-width": (1.2 * k).toFixed(2),
        "stroke-dasharray": dash ? dash.split(" ").map((n) => (n * k).toFixed(2)).join(" ") : null,
      }));
      // A run that begins without a cut still is drawn to its first pixel.
      if (run.first > 1 && pixels[run.first - 1].reached_by === "run") {
        group.append(svg("path", {d: wayOf([this.spots[run.first - 2], this.spots[run.first - 1]]), fill: "none", "stroke-width": (1.2 * k).toFixed(2)}));
      }
    }
    group.append(svg("path", {class: "heads", d: heads.join("")}));
    return group;
  }

  /** mm */
  headSize() { return Math.max(2.6, Math.min(4.2, (this.gap / this.k) * 0.3)) * this.k; }

  cables(k) {
    const group = svg("g", {class: "cables"});
    this.cableSpots = [];
    this.flags = [];
    this.json.splices.forEach((splice, n) => {
      const raw = splice.path_mm.map((p) => this.place(p));
      if (raw.length < 2) return;
      const by = (splice.way === "hop" ? 11 : 13 + 5 * (n % 2)) * k * (n % 2 ? -1 : 1);
      const off = beside(raw, by);
      const first = raw[0];
      const last = raw[raw.length - 1];
      const points = [first].concat(off, [last]);
      group.append(svg("path", {
        class: splice.way, d: wayOf(points), fill: "none", "stroke-width": (1.8 * k).toFixed(2),
        "stroke-linejoin": "round",
        "stroke-dasharray": (splice.way === "hop" ? [3 * k, 2.5 * k] : [8 * k, 4 * k]).map((v) => v.toFixed(2)).join(" "),
      }));
      const end = off[off.length - 1];
      group.append(svg("path", {class: "heads", d: head(end, last, 0.35, this.headSize())}));
      for (let i = 1; i < points.length; ++i) {
        const [a, b] = [points[i - 1], points[i]];
        const steps = Math.max(1, Math.round(Math.hypot(b[0] - a[0], b[1] - a[1]) / (10 * k)));
        for (let s = 0; s <= steps; ++s) this.cableSpots.push([a[0] + ((b[0] - a[0]) * s) / steps, a[1] + ((b[1] - a[1]) * s) / steps]);
      }
      this.flags.push({spot: middle(off), text: String(splice.splice), way: splice.way});
    });
    return group;
  }

  pixels(k) {
    const group = svg("g", {class: "pixels", "stroke-width": (1.1 * k).toFixed(2)});
    for (const hole of this.json.empty || []) {
      const [x, y] = this.place([hole.x_mm, hole.y_mm]);
      const r = 3 * k;
      group.append(svg("path", {class: "hole", d: `M${at([x - r, y - r])}L${at([x + r, y + r])}M${at([x + r, y - r])}L${at([x - r, y + r])}`}));
    }
    this.painted = [];
    this.circles = this.spots.map((p) => svg("circle", {class: "unlit", cx: p[0].toFixed(2), cy: p[1].toFixed(2), r: this.darkRadius}));
    group.append(...this.circles);
    const hex = this.hex;
    this.hex = null;
    this.paint(hex || "");
    return group;
  }

  /** Close up, the chosen pixel is kept in sight. */
  follow() {
    const parent = this.element.parentElement;
    if (!this.close || !parent || this.selected === null) return;
    const x = (this.spots[this.selected - 1][0] - this.view[0]) / this.k;
    const edge = 60;
    if (x < parent.scrollLeft + edge || x > parent.scrollLeft + parent.clientWidth - edge) {
      parent.scrollLeft = x - parent.clientWidth / 2;
    }
  }

  mark() {
    replace(this.marker);
    const p = this.selected !== null ? this.spots[this.selected - 1] : null;
    if (!p) return;
    const {k} = this;
    const r = 11 * k;
    const [x0, y0] = this.view;
    const x1 = x0 + this.width * k;
    const [, , , h] = this.element.getAttribute("viewBox").split(" ").map(Number);
    this.marker.append(
      svg("path", {class: "hair", "stroke-width": (0.9 * k).toFixed(2),
        d: `M${at([x0, p[1]])}L${at([p[0] - r, p[1]])}M${at([p[0] + r, p[1]])}L${at([x1, p[1]])}M${at([p[0], y0])}L${at([p[0], p[1] - r])}M${at([p[0], p[1] + r])}L${at([p[0], y0 + h - 24 * k])}`}),
      svg("circle", {class: "ring", cx: p[0], cy: p[1], r, fill: "none", "stroke-width": (2.6 * k).toFixed(2)}));
  }
}
