// Elements from plain values. Text is always text, never markup.

const kSvg = "http://www.w3.org/2000/svg";

function assign(node, attributes) {
  for (const [name, value] of Object.entries(attributes || {})) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on") && typeof value === "function") {
      node.addEventListener(name.slice(2).toLowerCase(), value);
    } else if (name === "dataset") {
      Object.assign(node.dataset, value);
    } else if (name === "aria") {
      for (const [key, said] of Object.entries(value)) {
        if (said !== null && said !== undefined) node.setAttribute("aria-" + key, String(said));
      }
    } else if (name === "style") {
      // The policy of the page refuses style="", so only single properties are set.
      for (const [key, set] of Object.entries(value)) node.style.setProperty(key, set);
    } else if (name === "value" || name === "checked" || name === "disabled") {
      node[name] = value;
    } else {
      node.setAttribute(name, value === true ? "" : String(value));
    }
  }
  return node;
}

function append(node, children) {
  for (const child of children) {
    if (child === null || child === undefined || child === false) continue;
    if (Array.isArray(child)) append(node, child);
    else node.appendChild(child instanceof Node ? child : document.createTextNode(String(child)));
  }
  return node;
}

/** el("button", {class: "main", onclick: f, aria: {label: "…"}}, "text", node, [more]) */
export function el(tag, attributes, ...children) {
  return append(assign(document.createElement(tag), attributes), children);
}

export function svg(tag, attributes, ...children) {
  return append(assign(document.createElementNS(kSvg, tag), attributes), children);
}

/** Takes away what a node holds and puts these there instead. */
export function replace(node, ...children) {
  while (node.firstChild) node.removeChild(node.firstChild);
  return append(node, children);
}

/** Sets a text only where it changed, so that nothing is read out twice. */
export function tell(node, text) {
  if (node.textContent !== text) node.textContent = text;
  return node;
}
