// A table of plain fields: Enter and the arrows go from row to row, a change of a field is a step.

import { el, button, prose, under } from "./dom.js";
import { Folded } from "./folded.js";
import { PLANS } from "./plans.js";

const text = (value) => (Array.isArray(value) ? value.join(", ") : (value ?? ""));
const lists = new Map(); // what fields may hold -> id of its datalist, fetched when first needed

export class PlainTable {
  #name;
  #plan;
  #state;
  #does;
  #body = el("tbody");
  #folded;
  #view; // in which it stands
  #isOld = false; // it changed while nobody could see it

  // does: {step(message, words) -> Promise of whether it was taken, known(list) -> Promise, open(key, row)}
  constructor(holder, name, state, does) {
    this.#name = name;
    this.#plan = PLANS[name];
    this.#state = state;
    this.#does = does;
    this.#view = holder.closest("[data-view]");
    const heads = this.#plan.fields.map((field) => el("th", { scope: "col", "data-field": field.name }, field.title));
    const first = el("th", { scope: "col" }, el("span", { class: "called" }, this.#plan.key));
    const head = el("thead", {}, el("tr", {}, first, ...heads, this.#plan.drop ? el("td") : null));
    const isLabelled = ["label", "ends"].includes(this.#plan.fields[0].name); // a field says what the row is called
    const table = el("table", { class: isLabelled ? "plain labelled" : "plain" }, head, this.#body);
    this.#folded = new Folded(this.#plan.fields, (name) => this.#opened(name));
    holder.append(el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": this.#plan.key }, table), this.#folded.node);
    if (this.#plan.add) holder.append(this.#adder());
    this.#body.addEventListener("keydown", (event) => this.#moved(event));
  }

  // What changed; a table in a view that is not open waits until it is.
  changed() {
    this.#isOld = true;
    this.look();
  }

  look() {
    if (this.#isOld && !this.#view.hidden) this.#draw();
  }

  #draw() {
    this.#isOld = false;
    const rows = this.#state.tables[this.#name] ?? {};
    const lines = new Map([...this.#body.rows].map((line) => [line.dataset.key, line]));
    const order = (this.#state.orders[this.#name] ?? []).filter((key) => rows[key]);
    for (const [key, line] of lines) if (!rows[key]) line.remove();
    order.forEach((key, index) => {
      const line = lines.get(key) ?? this.#line(key);
      this.#fill(line, key, rows[key]);
      if (this.#body.rows[index] !== line) this.#body.insertBefore(line, this.#body.rows[index] ?? null);
    });
    this.#folded.fit(this.#body.parentElement, order.map((key) => rows[key]));
  }

  // Fields that were folded away are asked for: the keyboard goes to the first of them.
  #opened(name) {
    this.#draw();
    this.focus(null, name);
  }

  // The field of a row that the keyboard goes to: of that row if it is known, else of the first one; the row behind it
  // where that is the next one to be filled.
  focus(key = null, name = null, isNext = false) {
    let line = [...this.#body.rows].find((each) => each.dataset.key === key) ?? this.#body.rows[0];
    if (isNext && line?.nextElementSibling?.querySelector(".none")) line = line.nextElementSibling;
    if (name && line?.querySelector(`td[hidden] [name="${name}"]`)) this.#folded.open([{ name }]);
    const node = (name && line?.querySelector(`[name="${name}"]`)) ?? line?.querySelector("input, button");
    node?.focus();
    return Boolean(node);
  }

  #line(key) {
    const fields = this.#plan.fields.map((field) => el("td", { "data-title": field.title, "data-field": field.name }, this.#control(key, field)));
    const drop = () => this.#does.step({ do: "drop", table: this.#name, key }, `${this.#calledOf(key)} is taken away.`);
    const gone = this.#plan.drop && el("td", {}, button("Remove", drop, { class: "plain remove" }));
    return el("tr", { "data-key": key }, el("th", { scope: "row" }), ...fields, gone);
  }

  #control(key, field) {
    if (field.opens) return button("", () => this.#does.open(key, this.#state.tables[this.#name][key]), { class: "opens", name: field.name });
    const input = el("input", { name: field.name, autocomplete: "off", spellcheck: "false" });
    input.addEventListener("focus", () => input.value === input.dataset.words && (input.value = input.dataset.was));
    this.#offer(input, field);
    input.addEventListener("change", () => this.#changed(key, field, input));
    input.addEventListener("blur", () => this.#left(input));
    return input;
  }

  // What may stand there, offered while it is typed.
  #offer(input, { known, of }) {
    const id = of ? `of-${of.join("-")}` : `known-${known}`;
    if (!of && !known) return;
    input.setAttribute("list", id);
    input.addEventListener("focus", async () => {
      if (lists.get(id) === this.#state.revision || (known === "type" && lists.has(id))) return;
      lists.set(id, this.#state.revision);
      const found = of?.map((value) => ({ value })) ?? (await this.#does.known(known).catch(() => []));
      const node = document.getElementById(id) ?? document.body.appendChild(el("datalist", { id }));
      node.replaceChildren(...found.map(({ value, label }) => el("option", { value, label: label || null })));
    });
  }

  #fill(line, key, row) {
    const called = this.#calledOf(key);
    if (line.dataset.called !== called) line.cells[0].replaceChildren(el("span", { class: "called" }, called));
    line.dataset.called = called;
    line.querySelector(".remove")?.setAttribute("aria-label", `Remove ${called}`);
    for (const node of line.querySelectorAll("button.opens")) {
      const words = text(row[`${node.name}_labels`] ?? row[node.name]) || "nothing";
      node.textContent = words;
      node.classList.toggle("none", !row[node.name]?.length);
      node.setAttribute("aria-label", `${called} goes to ${words}`);
    }
    for (const input of line.querySelectorAll("input")) {
      const field = this.#plan.fields.find((each) => each.name === input.name);
      input.disabled = Boolean(field.needs) && !row[field.needs]?.length;
      const now = text(row[input.name]);
      const isUnder = input === document.activeElement && input.value !== now && input.dataset.was !== now;
      this.#tellUnder(input, isUnder ? under(this.#state, now) : null);
      input.dataset.was = now;
      input.dataset.words = prose(String(text(row[`${input.name}_label`]) || now));
      input.setAttribute("aria-label", `${field.title} of ${called}`);
      if (field.name === "label") input.placeholder = called;
      if (input !== document.activeElement) input.value = input.dataset.words;
    }
  }

  // What people call a row; what the file calls it only where it has no other name.
  #calledOf(key) {
    const row = this.#state.tables[this.#name]?.[key] ?? {};
    return this.#plan.called?.(key, row) ?? row.called ?? key;
  }

  // A field holds words until it is typed into: then it has what stands in the file.
  #left(input) {
    if (input.value === input.dataset.was) input.value = input.dataset.words;
    this.#tellUnder(input, null);
  }

  // Somebody else changed what is being typed over: told beside the field, until it is left.
  #tellUnder(input, words) {
    const holder = input.parentElement;
    if (words) holder.dataset.under = words;
    else if (input !== document.activeElement) delete holder.dataset.under;
    if (holder.dataset.under) input.setAttribute("aria-describedby", "changed-under");
    else input.removeAttribute("aria-describedby");
  }

  async #changed(key, field, input) {
    if (input.value === input.dataset.was) return;
    const place = { table: this.#name, key, field: field.name };
    if (field.of_link) Object.assign(place, { table: "links", key: this.#state.tables[this.#name][key].link, field: field.of_link });
    const isTaken = await this.#does.step({ do: "field", ...place, text: input.value });
    if (!isTaken || input !== document.activeElement) input.value = input === document.activeElement ? input.dataset.was : input.dataset.words;
  }

  // Up, down and Enter go to the same field of another row; Escape takes back what was typed.
  #moved(event) {
    const { target, key, shiftKey } = event;
    const isField = target.matches("input");
    if (key === "Escape" && isField) target.value = target.dataset.was;
    const down = { ArrowDown: 1, ArrowUp: -1 }[key] ?? (key === "Enter" && isField ? (shiftKey ? -1 : 1) : 0);
    if (!down || event.altKey || event.ctrlKey) return;
    const line = target.closest("tr");
    const next = down > 0 ? line.nextElementSibling : line.previousElementSibling;
    event.preventDefault();
    if (next) next.querySelector(`[name="${target.name}"]`)?.focus();
    else if (isField) target.dispatchEvent(new Event("change"));
  }

  #adder() {
    const fields = this.#plan.add.map((field, index) => {
      const id = `add-${this.#name}-${index}`;
      const input = el("input", { id, autocomplete: "off", spellcheck: "false" });
      this.#offer(input, field);
      return el("p", {}, el("label", { for: id }, field.title), input);
    });
    const form = el("form", { class: "adder" }, ...fields, el("button", { type: "submit" }, "Add"));
    form.addEventListener("submit", async (event) => {
      event.preventDefault();
      const texts = [...form.querySelectorAll("input")].map((input) => input.value.trim());
      if (!texts[0] || !(await this.#does.step({ do: "add", table: this.#name, texts }, "Added."))) return;
      form.reset();
      form.querySelector("input").focus();
    });
    return form;
  }
}
