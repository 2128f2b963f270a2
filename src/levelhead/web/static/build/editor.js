// The field that opens in a cell, with a list of what the typed text may mean.

import { el } from "./dom.js";

const PAUSE_MS = 70;

export class Editor {
  #cell;
  #field;
  #list = null;
  #find;
  #end;
  #asked = 0;
  #timer = 0;
  #current = -1;
  #over = false;

  // find(text) -> Promise of [{value, label}], or null; end(text, key) is called once, text null when given up
  constructor(cell, { text, label, find, end, began }) {
    this.#cell = cell;
    this.#find = find;
    this.#end = end;
    this.#field = el("input", { class: "cell-editor", "aria-label": label, autocomplete: "off", spellcheck: "false" });
    this.#field.value = text;
    this.#field.dataset.began = began;
    if (find) this.#addList(label);
    cell.classList.add("edited");
    cell.append(this.#field);
    this.#field.focus();
    this.#field.select();
    this.#field.addEventListener("keydown", (event) => this.#pressed(event));
    this.#field.addEventListener("input", () => this.#typed());
    this.#field.addEventListener("blur", () => this.close(this.#field.value, "blur"));
  }

  // What was typed before the field was there (a key pressed on the cell) stands in it alone.
  begin(text) {
    this.#field.value = text;
    this.#field.setSelectionRange(text.length, text.length);
    this.#typed();
  }

  close(text, key) {
    if (this.#over) return;
    this.#over = true;
    clearTimeout(this.#timer);
    this.#cell.classList.remove("edited");
    delete this.#cell.dataset.under;
    this.#list?.remove();
    this.#field.remove();
    this.#end(text, key);
  }

  #addList(label) {
    this.#list = el("ul", { id: "meant", class: "choices", role: "listbox", "aria-label": label, hidden: true });
    this.#list.addEventListener("mousedown", (event) => event.preventDefault());
    this.#list.addEventListener("click", (event) => {
      const option = event.target.closest("li");
      if (option) this.close(option.dataset.value, "Enter");
    });
    const roles = { role: "combobox", "aria-autocomplete": "list", "aria-expanded": "false", "aria-controls": "meant" };
    for (const [name, value] of Object.entries(roles)) this.#field.setAttribute(name, value);
    this.#cell.append(this.#list);
  }

  #typed() {
    if (!this.#list) return;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#lookUp(), PAUSE_MS);
  }

  async #lookUp() {
    const number = (this.#asked += 1);
    const found = await this.#find(this.#field.value).catch(() => []);
    if (number !== this.#asked || this.#over) return;
    this.#list.replaceChildren(
      ...found.map(({ value, label }, index) =>
        el("li", { id: `meant-${index}`, role: "option", "data-value": value, "aria-selected": "false" }, label)),
    );
    this.#list.hidden = !found.length;
    this.#field.setAttribute("aria-expanded", String(found.length > 0));
    this.#mark(-1);
  }

  #mark(index) {
    this.#current = index;
    [...this.#list.children].forEach((option, place) => {
      option.setAttribute("aria-selected", String(place === index));
      if (place === index) option.scrollIntoView({ block: "nearest" });
    });
    if (index < 0) this.#field.removeAttribute("aria-activedescendant");
    else this.#field.setAttribute("aria-activedescendant", `meant-${index}`);
  }

  get #isListed() {
    return this.#list && !this.#list.hidden;
  }

  #pressed(event) {
    event.stopPropagation();
    const last = this.#list ? this.#list.children.length - 1 : -1;
    if (event.key === "ArrowDown" && this.#list) {
      if (this.#isListed) this.#mark(Math.min(this.#current + 1, last));
      else this.#lookUp();
    } else if (event.key === "ArrowUp" && this.#isListed) this.#mark(Math.max(this.#current - 1, -1));
    else if (event.key === "Enter" || event.key === "Tab") this.close(this.#chosen(), event.shiftKey ? `Shift${event.key}` : event.key);
    else if (event.key === "Escape") this.close(null, "Escape");
    else return;
    event.preventDefault();
  }

  #chosen() {
    const option = this.#isListed ? this.#list.children[this.#current] : null;
    return option ? option.dataset.value : this.#field.value;
  }
}
