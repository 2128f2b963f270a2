// What was refused, above the list. What was typed without a connection stays told until somebody closes it.

import { button, el, refusal } from "./dom.js";

const MOST_NAMED = 3;

export class Told {
  #place;
  #state;

  constructor(place, state) {
    this.#place = place;
    this.#state = state;
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
    const box = el("div", { class: "refusal", role: "alert" }, el("p", {}, `Not taken, typed without a connection: ${this.#wordsOf(message)}`), refusal(error));
    box.append(button("Close", () => box.remove(), { class: "plain" }));
    this.#place.append(box);
  }

  // What people call a row of a table; one that is gone keeps the name of the file.
  #called(table, key) {
    const row = this.#state.tables[table]?.[key];
    if (table !== "rows" || !row) return row?.called ?? key;
    return `${this.#called("items", row.item)}, ${row.name}`;
  }

  // A message as the person who typed it knows it.
  #wordsOf(message) {
    if (message.do === "field") return `${message.field} of ${this.#called(message.table, message.key)}: ${message.text || "empty"}.`;
    if (message.do !== "cells") return `${message.do}.`;
    const words = message.cells.slice(0, MOST_NAMED).map(([row, column, text]) => `${column} of ${this.#called("rows", row)}: ${text || "empty"}`);
    const more = message.cells.length - words.length;
    return `${words.join("; ")}${more > 0 ? `; and ${more} more` : ""}.`;
  }
}

