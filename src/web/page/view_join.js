// The way in on another device: the code that `serve` prints.

import {el} from "./dom.js";
import {get, post} from "./api.js";
import {button, complaint, heading} from "./ui.js";

export function show(context, code) {
  const trouble = complaint();
  const field = el("input", {
    id: "code", type: "text", name: "code", autocomplete: "off", autocapitalize: "off", spellcheck: "false",
    enterkeyhint: "go", required: true, value: code || "",
  });
  const state = el("p", {class: "lead", role: "status"}, "The code stands where Panewalk was started.");
  const join = button("Join", null, "main", {type: "submit"});

  async function send() {
    const text = field.value.trim();
    if (!text) { field.focus(); return; }
    trouble.say(null);
    join.disabled = true;
    try {
      await post("/api/join", {code: text});
      state.textContent = "Joined.";
      context.joined();
    } catch (error) {
      if (error.status === 403) trouble.say({message: "That is not the code. It is printed where Panewalk was started"});
      else if (error.status === 429) trouble.say({message: `Too many tries. Wait ${error.retryAfter || 60} seconds, then try again`});
      else trouble.say(error);
      field.focus();
      field.select();
    } finally {
      join.disabled = false;
    }
  }

  const form = el("form", {class: "sheet join", onsubmit: (event) => { event.preventDefault(); send(); }},
    el("label", {for: "code", class: "label"}, "Join code"), field, trouble, join);
  const element = el("div", null, heading("Join"), state, form,
    el("p", {class: "quiet"}, "Or point the phone's camera at the square code beside it."));
  if (code) {
    // The code is not left in the address, where the next one who looks could read it.
    history.replaceState(null, "", "#/join");
    send();
  } else {
    get("/api/joined").then((said) => {
      if (said.needed === false || said.joined) context.joined();
    }, () => {});
  }
  return element;
}
