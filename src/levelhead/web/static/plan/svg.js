// Elements of a drawing, as dom.js has those of a page.

import { prose } from "../build/dom.js";

const SPACE = "http://www.w3.org/2000/svg";

export function svg(tag, attributes = {}, ...children) {
  const node = document.createElementNS(SPACE, tag);
  for (const [name, value] of Object.entries(attributes)) if (value != null) node.setAttribute(name, value);
  node.append(...children.filter((child) => child != null));
  return node;
}

export const words = (text, [x, y], attributes = {}) => svg("text", { x: x.toFixed(1), y: y.toFixed(1), ...attributes }, prose(String(text)));
