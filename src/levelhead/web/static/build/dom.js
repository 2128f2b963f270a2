// Elements, verdict shapes and the place where screen readers hear what happened.

// el("td", {class: "gain", "data-row": id}, "36 dB", child...) -> element
export function el(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === true) node.setAttribute(name, "");
    else if (value !== false && value != null) node.setAttribute(name, value);
  }
  const shown = children.filter((child) => child != null && child !== "" && child !== false);
  node.append(...shown.map((child) => (typeof child === "string" ? prose(child) : child)));
  return node;
}

// A text with real minus signs before its figures; what the file calls things (cable-2) has none.
export function prose(text) {
  return text.replace(/(?<![\w.-])-(?=\d)/g, "−");
}

// The shape of a verdict with its word, copied from the templates that the server drew.
export function verdict(word) {
  const known = document.getElementById(`mark-${word}`) || document.getElementById("mark-depends");
  return known.content.firstElementChild.cloneNode(true);
}

export function button(words, press, attributes = {}) {
  const node = el("button", { type: "button", ...attributes }, words);
  node.addEventListener("click", press);
  return node;
}

export function say(words) {
  document.getElementById("said").textContent = prose(words);
}

// A figure with its sign as people read it; the file has a plain hyphen.
export function figure(text) {
  return text.replace(/^-/, "−");
}

// The four parts of an error, as a list.
export function refusal(error) {
  const list = el("dl", { class: "parts" });
  const parts = [["What", error.what], ["Where", error.where], ["Expected", error.expected], ["Do", error.remedy]];
  for (const [name, text] of parts) if (text) list.append(el("dt", {}, name), el("dd", {}, text));
  return list;
}

// What stands beside a way that was tried: its reason, what it needs, what stock lacks, what gets worse.
export function why(way) {
  const needs = way.needs.length && `Needs ${way.needs.join(", ")}.`;
  const lacks = way.not_in_stock?.length && `Not in stock: ${way.not_in_stock.join(", ")}.`;
  const elsewhere = (way.worse_elsewhere ?? []).map((finding) => `Worse elsewhere: ${finding.what}`);
  return [way.why, needs, lacks, ...elsewhere].filter(Boolean).join(" ");
}

// What stands beside a field that somebody else has changed while it is being typed into.
export function under({ by, you }, text) {
  return `${by === you ? "another page of yours" : by}: now ${text || "empty"}`;
}
