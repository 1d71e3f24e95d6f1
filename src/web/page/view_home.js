// All props, in the order to walk them.

import {el, tell} from "./dom.js";
import * as model from "./model.js";
import {live} from "./live.js";
import {linkButton, heading} from "./ui.js";
import {Drawing} from "./drawing.js";
import {lights} from "./words.js";
import {count} from "./flow.js";

export async function show() {
  const site = await model.site();
  const props = await model.propsInWalkOrder();
  const cards = props.map((prop, n) => {
    const state = el("p", {class: "lit-state"}, "dark");
    const frame = el("div", {class: "thumb-frame", aria: {hidden: "true"}});
    const link = encodeURIComponent(prop.prop);
    const card = {prop, state, drawing: null, element: el("li", {class: "card"},
      el("div", {class: "card-words"},
        el("h2", null, el("span", {class: "ordinal", aria: {hidden: "true"}}, String(n + 1)), prop.prop),
        el("p", null, prop.about),
        el("p", {class: "small"}, `${prop.pixels} pixels. ${prop.controller}, universe ${prop.universe}, channel ${prop.channel}` +
          (prop.hung === "turned" ? ". Hung upside down." : ".")),
        state),
      frame,
      el("div", {class: "card-buttons"},
        linkButton("Bench", `#/prop/${link}`, "plain strong", {aria: {label: `Bench: ${prop.prop}`}}),
        linkButton("Bench check", `#/check/${link}`, "plain", {aria: {label: `Bench check: ${prop.prop}`}})))};
    model.drawing(prop.prop).then((json) => {
      card.drawing = new Drawing(json, {labels: false, paths: false, tallest: 165});
      frame.appendChild(card.drawing.element);
      if (live.state) paint(card, live.state);
    }, () => {});
    return card;
  });

  function paint(card, state) {
    const light = state.props.find((prop) => prop.prop === card.prop.prop);
    if (!light) return;
    const lit = light.lit && state.mode === "lit";
    card.element.classList.toggle("is-lit", lit);
    tell(card.state, lit ? `Lit: ${lights({...state, props: [light]}, true).more || state.pattern}` : "Dark");
    if (card.drawing) card.drawing.paint(light.sent);
  }

  const network = linkButton("Network", "#/network", "plain", {class: "button plain to-network"});
  function tellNetwork({network_troubles: many}) {
    tell(network, many ? `Network: ${count(many, "thing")} to look into` : "Network");
    network.classList.toggle("has-trouble", many > 0);
  }

  const element = el("div", {class: "home"},
    heading("All props", `${site.props.length} in walk order. Choose one to light it on the bench.`),
    el("ol", {class: "cards"}, cards.map((card) => card.element)),
    el("div", {class: "row walk-row"},
      linkButton("Yard walk", "#/walk", "main"),
      linkButton("Punch list", "#/punch", "plain"),
      network),
    site.notes.length ? el("section", {class: "sheet"}, el("h2", null, "Noticed while reading the site"),
      el("ul", null, site.notes.map((note) => el("li", null, note)))) : null);
  return {
    element,
    live(state) {
      cards.forEach((card) => paint(card, state));
      tellNetwork(state);
    },
  };
}
