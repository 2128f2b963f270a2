// The other tables: outputs, gear, settings, supplies, stock. Each cell is a field; a change of it is an edit.

import { el, button } from "./dom.js";

const text = (value) => (value == null ? "" : Array.isArray(value) ? value.join(", ") : String(value));
const place = (value) => (value.trim() ? value.split(/[,;\s]+/).filter(Boolean).map(Number) : null);
const supplyOf = (id, row, change) => ({
  edit: "change-supply",
  supply: { id, outlet: row.outlet, circuit: row.circuit ?? null, label: row.label ?? "", note: row.note ?? "", earth: row.earth ?? "sound", rcd: row.rcd ?? null, ...change },
});

// name -> {heads, key: heading of the first column, fields: [{name, title, edit(id, text, row) -> edit}], add, remove}
export const PLANS = {
  items: {
    key: "Gear", called: (id, row) => row.label || id,
    fields: [
      { name: "label", title: "Label", edit: (id, value) => ({ edit: "relabel", item: id, label: value }) },
      { name: "type", title: "Type", edit: (id, value) => ({ edit: "retype", item: id, type: value }) },
      { name: "need", title: "Need", edit: (id, value) => ({ edit: "prioritise", item: id, need: value || null }) },
      { name: "at", title: "Place [m]", edit: (id, value) => ({ edit: "move", item: id, at: place(value) }) },
      { name: "aim", title: "Aim [m]", edit: (id, value) => ({ edit: "aim", item: id, aim: place(value) }) },
      { name: "supply", title: "Supply", edit: (id, value) => ({ edit: "power", item: id, supply: value || null }) },
      { name: "note", title: "Note", edit: (id, value) => ({ edit: "annotate", item: id, note: value }) },
    ],
    remove: (id) => ({ edit: "remove", item: id }),
  },
  outs: {
    key: "Output", called: (id, row) => `${id.split(".")[0]} ${row.name} ${row.label}`, 
    fields: [
      { name: "to", title: "Goes to" },
      { name: "cable", title: "Cable", needs: "to", edit: (id, value) => ({ edit: "recable", end: id, via: cables(value) }) },
    ],
  },
  settings: {
    key: "Control",
    fields: [{ name: "value", title: "Setting", edit: (id, value) => ({ edit: "set", address: id, value: value || null }) }],
    add: (id, value) => ({ edit: "set", address: id, value }), addTitle: ["Control, such as desk.ch1.pan", "Setting"],
    remove: (id) => ({ edit: "set", address: id, value: null }),
  },
  supplies: {
    key: "Supply",
    fields: ["outlet", "circuit", "label", "earth", "rcd", "note"].map((name) => ({
      name, title: name === "rcd" ? "Residual current device" : name[0].toUpperCase() + name.slice(1),
      edit: (id, value, row) => supplyOf(id, row, { [name]: value || (name === "circuit" || name === "rcd" ? null : "") }),
    })),
    add: (id, outlet) => ({ edit: "add-supply", supply: { id, outlet, circuit: null, label: "", note: "", earth: "sound", rcd: null } }),
    addTitle: ["Name, such as stage-left", "Outlet"],
    remove: (id) => ({ edit: "remove-supply", supply: id }),
  },
  stock: {
    key: "Thing",
    fields: [{ name: "count", title: "How many", edit: (id, value) => ({ edit: "set-stock", thing: id, count: value.trim() ? Number(value) : null }) }],
    add: (id, count) => ({ edit: "set-stock", thing: id, count: Number(count || 1) }), addTitle: ["Thing, such as cable-xlr 10 m", "How many"],
    remove: (id) => ({ edit: "set-stock", thing: id, count: null }),
  },
};

function cables(value) {
  return value.split("+").map((part) => part.trim()).filter(Boolean).map((part) => {
    const [type, ...length] = part.split(/\s+/);
    const metres = parseFloat(length.join(" ").replace(",", "."));
    return { type, length_m: Number.isFinite(metres) ? metres : null };
  });
}

export class PlainTable {
  #place;
  #name;
  #plan;
  #state;
  #apply;
  #body = el("tbody");

  // apply(edits, words) -> Promise of whether it was taken
  constructor(holder, name, state, apply) {
    this.#place = holder;
    this.#name = name;
    this.#plan = PLANS[name];
    this.#state = state;
    this.#apply = apply;
    const heads = [this.#plan.key, ...this.#plan.fields.map((field) => field.title)];
    const head = el("thead", {}, el("tr", {}, ...heads.map((title) => el("th", { scope: "col" }, title)), this.#plan.remove ? el("td") : null));
    holder.append(el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": this.#plan.key }, el("table", { class: "plain" }, head, this.#body)));
    if (this.#plan.add) holder.append(this.#adder());
  }

  draw() {
    const rows = this.#state.tables[this.#name] ?? {};
    const lines = new Map([...this.#body.rows].map((line) => [line.dataset.key, line]));
    const order = (this.#state.orders[this.#name] ?? []).filter((key) => rows[key]);
    for (const [key, line] of lines) if (!rows[key]) line.remove();
    order.forEach((key, index) => {
      const line = lines.get(key) ?? this.#line(key);
      this.#fill(line, key, rows[key]);
      if (this.#body.rows[index] !== line) this.#body.insertBefore(line, this.#body.rows[index] ?? null);
    });
  }

  #line(key) {
    const fields = this.#plan.fields.map((field) => {
      if (!field.edit) return el("td", { "data-field": field.name, "data-title": field.title });
      const input = el("input", { "aria-label": `${field.title} of ${key}`, name: field.name, autocomplete: "off" });
      input.addEventListener("change", () => this.#changed(key, field, input));
      input.addEventListener("keydown", (event) => {
        if (event.key === "Escape") input.value = input.dataset.was;
      });
      return el("td", { "data-title": field.title }, input);
    });
    const gone = this.#plan.remove && el("td", {}, button("Remove", () => this.#apply([this.#plan.remove(key)]), { class: "plain", "aria-label": `Remove ${key}` }));
    return el("tr", { "data-key": key }, el("th", { scope: "row" }), ...fields, gone);
  }

  #fill(line, key, row) {
    const called = this.#plan.called?.(key, row) ?? key;
    line.cells[0].replaceChildren(called, called === key ? "" : el("span", { class: "sub" }, key));
    for (const cell of line.querySelectorAll("[data-field]")) cell.textContent = text(row[cell.dataset.field]);
    for (const input of line.querySelectorAll("input")) {
      const field = this.#plan.fields.find((each) => each.name === input.name);
      input.disabled = Boolean(field.needs) && !row[field.needs]?.length;
      input.dataset.was = text(row[input.name]);
      if (input !== document.activeElement) input.value = input.dataset.was;
    }
  }

  async #changed(key, field, input) {
    if (input.value === input.dataset.was) return;
    const edit = field.edit(key, input.value, this.#state.tables[this.#name][key]);
    if (!(await this.#apply([edit]))) input.value = input.dataset.was;
  }

  #adder() {
    const [one, other] = this.#plan.addTitle.map((title, index) => {
      const id = `add-${this.#name}-${index}`;
      return el("p", {}, el("label", { for: id }, title), el("input", { id, autocomplete: "off" }));
    });
    const form = el("form", { class: "adder" }, one, other, el("button", { type: "submit" }, "Add"));
    form.addEventListener("submit", async (event) => {
      event.preventDefault();
      const [key, value] = [...form.querySelectorAll("input")].map((input) => input.value.trim());
      if (key && (await this.#apply([this.#plan.add(key, value)]))) form.reset();
    });
    return form;
  }
}
