// Light for the fault finder: the pictures of one question, all in turn or one of them.

import {post} from "./api.js";
import {live} from "./live.js";
import {litProps} from "./words.js";
import {Lamp} from "./flow.js";

/** As the daemon tells what it lights apart. */
function regionOf({find, question, picture}) {
  return `search ${find}, question ${question}${picture ? `, picture ${picture}` : ""}`;
}

/** wanted: {prop, find, question, picture or null} */
export class FindLamp extends Lamp {
  matches(wanted = this.wanted) {
    const state = live.state;
    if (!state || !wanted || state.mode !== "lit" || state.pattern !== "finder") return false;
    const lit = litProps(state);
    return state.region === regionOf(wanted) && lit.length === 1 && lit[0].prop === wanted.prop;
  }

  async send({prop, find, question, picture}) {
    await post(`/api/find/${encodeURIComponent(prop)}/show`, picture ? {find, question, picture} : {find, question});
  }
}
