// A text field with a list of what the text may mean: arrows move, Enter picks, Escape closes, Tab goes on.
// The field keeps what was typed; a pick also keeps the address that stands behind the label.

const PAUSE_MS = 80;

export class Combobox {
  #field;
  #list;
  #find;
  #timer = 0;
  #asked = 0; // number of the newest look-up: older ones that come late are dropped
  #current = -1;
  #listed = ""; // the text that the list is about

  // find(text) -> Promise of [{address, label}]
  constructor(field, find) {
    this.#field = field;
    this.#find = find;
    this.#list = this.#makeList();
    this.#describeField();
    field.addEventListener("input", () => this.#typed());
    field.addEventListener("keydown", (event) => this.#pressed(event));
    field.addEventListener("blur", () => this.close());
    this.#list.addEventListener("mousedown", (event) => event.preventDefault()); // keeps the focus
    this.#list.addEventListener("click", (event) => this.#touched(event));
  }

  // What to ask for: the picked address, else the words as typed.
  get value() {
    return this.#field.dataset.address || this.#field.value.trim();
  }

  get isOpen() {
    return !this.#list.hidden;
  }

  close() {
    clearTimeout(this.#timer);
    this.#asked += 1;
    this.#list.hidden = true;
    this.#mark(-1);
    this.#field.setAttribute("aria-expanded", "false");
  }

  #makeList() {
    const list = document.createElement("ul");
    list.id = `${this.#field.id}-list`;
    list.className = "choices";
    list.hidden = true;
    list.setAttribute("role", "listbox");
    list.setAttribute("aria-label", this.#field.labels[0].textContent);
    this.#field.after(list);
    return list;
  }

  #describeField() {
    const roles = { role: "combobox", "aria-autocomplete": "list", "aria-expanded": "false" };
    for (const [name, value] of Object.entries(roles)) this.#field.setAttribute(name, value);
    this.#field.setAttribute("aria-controls", this.#list.id);
  }

  #typed() {
    delete this.#field.dataset.address;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#lookUp(), PAUSE_MS);
  }

  async #lookUp() {
    const number = (this.#asked += 1);
    const text = this.#field.value.trim();
    if (!text) return this.close();
    const found = await this.#find(text);
    if (number !== this.#asked || document.activeElement !== this.#field) return;
    this.#listed = text;
    this.#show(found);
  }

  #show(found) {
    if (!found.length) return this.close();
    this.#list.replaceChildren(...found.map((choice, index) => this.#option(choice, index)));
    this.#list.hidden = false;
    this.#field.setAttribute("aria-expanded", "true");
    this.#mark(0);
  }

  #option(choice, index) {
    const option = document.createElement("li");
    option.id = `${this.#list.id}-${index}`;
    option.setAttribute("role", "option");
    option.dataset.address = choice.address;
    option.dataset.label = choice.label;
    option.textContent = choice.label;
    return option;
  }

  #mark(index) {
    this.#current = index;
    [...this.#list.children].forEach((option, place) => {
      option.setAttribute("aria-selected", String(place === index));
      if (place === index) option.scrollIntoView({ block: "nearest" });
    });
    if (index < 0) this.#field.removeAttribute("aria-activedescendant");
    else this.#field.setAttribute("aria-activedescendant", `${this.#list.id}-${index}`);
  }

  #pressed(event) {
    const last = this.#list.children.length - 1;
    if (event.key === "ArrowDown" && !this.isOpen) this.#lookUp();
    else if (event.key === "ArrowDown") this.#mark(Math.min(this.#current + 1, last));
    else if (event.key === "ArrowUp" && this.isOpen) this.#mark(Math.max(this.#current - 1, 0));
    else if (event.key === "Escape" && this.isOpen) this.close();
    else if (event.key === "Enter" && this.isOpen) this.#take();
    else if (event.key === "Tab" && this.isOpen) return this.#take();
    else return;
    event.preventDefault();
  }

  // What is marked; but a quick hand that has typed on means its words, not the first of an older list.
  #take() {
    const isOlder = this.#current === 0 && this.#listed !== this.#field.value.trim();
    if (!isOlder) return this.#pick(this.#list.children[this.#current]);
    this.close();
    this.#field.dispatchEvent(new Event("picked", { bubbles: true }));
  }

  #touched(event) {
    const option = event.target.closest("[role=option]");
    if (option) this.#pick(option);
  }

  #pick(option) {
    this.#field.value = option.dataset.label;
    this.#field.dataset.address = option.dataset.address;
    this.close();
    this.#field.dispatchEvent(new Event("picked", { bubbles: true }));
  }
}
