// The network as the daemon knows it: the controllers, who else is here, and how well the stream runs.

import {el, replace, tell} from "./dom.js";
import {get} from "./api.js";
import {site} from "./model.js";
import {heading} from "./ui.js";
import {list} from "./words.js";
import {Numbers, controllerCard, headline, lossLines, noticed, otherSections, troubles} from "./network_parts.js";

const kAgain = 2000;  // ms between two looks

export async function show(context) {
  const [network, whole] = await Promise.all([get("/api/network"), site()]);
  return new Network(context, network, whole);
}

/** A part of the view that is made anew only where what it tells changed. */
class Part {
  constructor(tag, attributes) {
    this.element = el(tag, attributes);
    this.told = null;
  }
  show(told, draw) {
    const text = JSON.stringify(told);
    if (text === this.told) return;
    this.told = text;
    const drawn = draw(told);
    this.element.hidden = drawn === null;
    replace(this.element, drawn);
  }
}

class Network {
  constructor(context, network, whole) {
    this.context = context;
    const head = heading(headline(network), " ", {href: "#/", text: "All props"});
    this.title = head.querySelector("h1");
    this.under = head.querySelector(".under");
    this.site = whole.site;
    this.parts = Object.fromEntries(["troubles", "controllers", "noticed", "others", "losses"].map((name) =>
      [name, new Part("section", {class: `net-${name}`})]));
    this.numbers = new Numbers();
    this.element = el("div", {class: "network"}, head,
      Object.values(this.parts).map((part) => part.element), this.numbers.element);
    this.render(network);
    this.onVisible = () => { if (!document.hidden) this.look(); };
    document.addEventListener("visibilitychange", this.onVisible);
    this.later();
  }

  leave() {
    this.gone = true;
    clearTimeout(this.timer);
    document.removeEventListener("visibilitychange", this.onVisible);
  }

  later() {
    clearTimeout(this.timer);
    if (!this.gone && !document.hidden) this.timer = setTimeout(() => this.look(), kAgain);
  }

  async look() {
    clearTimeout(this.timer);
    try {
      const network = await get("/api/network");
      if (!this.gone) this.render(network);
    } catch (away) { /* the banner says so */ }
    this.later();
  }

  render(network) {
    const {seen} = network;
    const words = headline(network);
    if (this.title.textContent !== words) {
      if (this.told) this.context.say(words);
      tell(this.title, words);
    }
    this.told = true;
    tell(this.under, this.about(network));
    this.parts.troubles.show(troubles(network), (all) => (all.length ? [
      el("h2", {class: "unseen"}, "To look into"),
      el("ul", {class: "net-list"}, all.map((one) => el("li", {class: "net-trouble"},
        el("p", null, firstStrong(one.what), one.sure ? " " + one.sure : null),
        one.next ? el("p", null, el("strong", null, "Check next: "), one.next) : null)))] : null));
    this.parts.controllers.show(
      {controllers: network.controllers, findings: seen ? seen.findings : [], practice: network.practice},
      ({controllers, findings, practice}) => [
        el("h2", {class: "flow-sub"}, "Controllers"),
        el("ul", {class: "net-cards"}, controllers.map((one) => controllerCard(one, findings, practice)))]);
    this.parts.noticed.show(seen ? noticed(seen) : [], (lines) => (lines.length ? [
      el("h2", {class: "flow-sub"}, "Only to know"),
      el("ul", {class: "net-plain"}, lines.map((line) => el("li", null, line)))] : null));
    this.parts.others.show(seen ? others(seen) : null, (all) => (all ? [
      el("h2", {class: "flow-sub"}, "Who else is here"), otherSections(all)] : null));
    this.parts.losses.show(seen ? lossLines(seen) : [], (lines) => (lines.length ? [
      el("h2", {class: "flow-sub"}, "Losses"),
      el("ul", {class: "net-plain"}, lines.map((line) => el("li", null, line)))] : null));
    this.numbers.show(network);
  }

  about({practice, seen, why}) {
    if (practice) return "Nothing goes to the network, and nothing is listened to.";
    if (!seen) return why ? "Nothing has been listened to yet. This takes a few seconds." : "";
    const cards = seen.asked.cards.map((card) => `${card.name} (${card.address})`);
    return `${this.site}: heard in the last ${Math.round(seen.listened_s)} s${cards.length ? ` on ${list(cards)}` : ""}.`;
  }
}

function firstStrong(text) {
  const [first] = /^.*?[.:](?= [A-Z])|.*/.exec(text);
  return [el("strong", null, first), text.slice(first.length)];
}

/** What of it is shown of others, without what ticks all the time. */
function others({e131_sources: sources, e131_syncs: syncs, artnet_nodes: nodes, artnet_streams: streams, artnet_callers: callers,
  strangers, beyond_limits_packets: beyond}) {
  return {
    sources: sources.filter((one) => !one.own).map((one) => ({...one,
      universes: one.universes.map(({universe, from, card, priority, sync_address: sync, preview, terminated}) =>
        ({universe, from, card, priority, sync, preview, terminated}))})),
    syncs: syncs.filter((one) => !one.own).map(({sync_address: address, from}) => ({address, from})),
    nodes: nodes.map(({replies, node_report: report, ...rest}) => rest),
    streams: streams.filter((one) => !one.own).map(({port_address: address, from}) => ({address, from})),
    callers: callers.filter((one) => !one.own).map(({from, syncs: synced}) => ({from, synced: synced > 0})),
    strangers: strangers.map(({port, from, why}) => ({port, from, why})),
    flood: Object.values(beyond).some((packets) => packets > 0),
  };
}
