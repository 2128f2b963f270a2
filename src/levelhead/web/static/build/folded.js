// Fields that few shows need: a column in which nothing stands is folded away until somebody asks for it, and so are
// names that only the file needs.

import { button, el } from "./dom.js";

export class Folded {
  node = el("p", { class: "more-fields" });
  #fields;
  #open = new Set(); // what stood there once stays: a field that is emptied does not vanish under the hand
  #opened;

  // fields: of the plan; opened(): draws the table again and takes the keyboard to the new fields
  constructor(fields, opened) {
    this.#fields = fields.filter((field) => field.rare);
    this.#opened = opened;
  }

  get #closed() {
    return this.#fields.filter((field) => !this.#open.has(field.name));
  }

  // Columns of a table in which something stands are shown.
  fit(table, rows) {
    for (const { name, rare } of this.#closed) if (rare !== "always" && rows.some((row) => String(row[name] ?? "").length)) this.#open.add(name);
    const closed = this.#closed;
    for (const cell of table.querySelectorAll("[data-field]")) cell.hidden = closed.some(({ name }) => name === cell.dataset.field);
    this.node.hidden = !closed.length || !rows.length;
    if (this.node.dataset.names === String(closed.map(({ name }) => name))) return;
    this.node.dataset.names = closed.map(({ name }) => name);
    const words = `More fields: ${closed.map(({ title }) => title).join(", ")}`;
    this.node.replaceChildren(button(words, () => this.open(closed), { class: "plain" }));
  }

  open(fields) {
    for (const { name } of fields) this.#open.add(name);
    this.#opened(fields[0].name);
  }
}
