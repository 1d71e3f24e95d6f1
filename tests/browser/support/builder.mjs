// Somebody who looks at a practice prop and answers the fault finder as they see it, errs in nothing, and
// knows nothing but what the practice yard shows.

import {colours, eventually} from "./daemon.mjs";

const kFaded = 400;  // ms that a picture stands once it has faded in

/** A lit channel counts from a quarter of the brightest one on. */
function nameOf(colour) {
  const most = Math.max(...colour);
  if (most === 0) return "dark";
  const [red, green, blue] = colour.map((part) => part * 4 >= most);
  return {"100": "red", "010": "green", "001": "blue", "111": "white", "110": "yellow", "011": "cyan", "101": "magenta"}[
    [red, green, blue].map(Number).join("")];
}

export class Builder {
  constructor(daemon, prop, drawing) { Object.assign(this, {daemon, prop, drawing}); }
  static async of(daemon, prop) { return new Builder(daemon, prop, await daemon.get(`/api/props/${prop}/drawing`)); }

  /** What the prop shows in data order, once the picture that is asked for stands; and what was sent. */
  async sees(find, question, picture) {
    const region = `search ${find}, question ${question}${picture ? `, picture ${picture}` : ""}`;
    let before = "";
    let since = 0;
    const {prop} = await this.daemon.lightWhere(this.prop, (light, one) => {
      const now = light.mode === "lit" && light.region === region ? one.sent + one.shown : "";
      if (now !== before) since = Date.now();
      before = now;
      return now !== "" && Date.now() - since > kFaded;
    }, `${region} is lit`);
    return prop;
  }

  /** The index of a station's pixel. */
  index(station) { return this.drawing.pixels.findIndex((pixel) => pixel.station === station) + 1; }

  /** The colour of the station that is asked about, in the picture that is lit. */
  async colourIn(find, question, picture) {
    const {shown} = await this.sees(find, question.number, picture);
    return nameOf(colours(shown)[this.index(question.station) - 1]);
  }

  /** The words for an open question; of colours only where there is one picture. */
  async answer(find, question) {
    const {pixels} = this.drawing;
    if (question.ask === "colours") return [await this.colourIn(find, question, null)];
    if (question.ask === "hold") return "dark";
    if (question.ask === "other") {
      await this.sees(find, question.number, null);
      const {props} = await this.daemon.get("/api/light");
      const lit = props.find((one) => one.prop !== this.prop && /[1-9a-f]/.test(one.shown));
      return lit ? lit.prop : "none";
    }
    const all = [];
    for (let picture = 1; picture <= question.pictures; ++picture) {
      if (question.pictures > 1) await this.beat(picture);
      all.push(await this.sees(find, question.number, null));
    }
    if (question.ask === "same") return all.every((prop) => prop.sent === prop.shown) ? "yes" : "no";
    const lit = pixels.filter((pixel) => all.some((prop) => nameOf(colours(prop.shown)[pixel.index - 1]) !== "dark"));
    if (question.ask === "where") return lit.length ? lit.map((pixel) => pixel.station) : "none";
    if (!lit.length) return "none";
    const last = lit[lit.length - 1];
    return last.index === pixels.length ? "all" : last.station;
  }

  /** The pictures follow each other by themselves: until this one is on. */
  beat(picture) {
    return eventually(async () => {
      const light = await this.daemon.get("/api/light");
      return light.props.find((one) => one.prop === this.prop).beat === picture;
    }, `picture ${picture}`);
  }
}
