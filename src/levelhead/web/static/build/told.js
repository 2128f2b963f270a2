// What was refused, above the list. What was typed without a connection stays told until somebody closes it.

import { button, el, refusal } from "./dom.js";

const MOST_NAMED = 3;

export class Told {
  #place;

  constructor(place) {
    this.#place = place;
  }

  // A step was taken: what was refused before it is settled, except what waited for the connection.
  clear() {
    for (const each of this.#place.querySelectorAll(".passing")) each.remove();
  }

  refuse(error, before = "") {
    this.clear();
    this.#place.append(el("div", { class: "refusal passing", role: "alert" }, before && el("p", {}, before), refusal(error)));
  }

  // Typed while there was no connection, and refused when it was back.
  refuseLate(message, error) {
    const box = el("div", { class: "refusal", role: "alert" }, el("p", {}, `Not taken, typed without a connection: ${wordsOf(message)}`), refusal(error));
    box.append(button("Close", () => box.remove(), { class: "plain" }));
    this.#place.append(box);
  }
}

// A message as the person who typed it knows it.
function wordsOf(message) {
  if (message.do === "field") return `${message.field} of ${message.key}: ${message.text || "empty"}.`;
  if (message.do !== "cells") return `${message.do}.`;
  const words = message.cells.slice(0, MOST_NAMED).map(([row, column, text]) => `${column} of ${row}: ${text || "empty"}`);
  const more = message.cells.length - words.length;
  return `${words.join("; ")}${more > 0 ? `; and ${more} more` : ""}.`;
}
