// The input list as a real table. Cells are patched one by one; the body is never swapped.

import { COLUMNS, spoken, stateNodes } from "./columns.js";
import { el, under } from "./dom.js";

export class Grid {
  #table;
  #bodies = new Map(); // item -> tbody
  #rows = new Map(); // row id -> tr
  #state;

  constructor(table, state) {
    this.#table = table;
    this.#state = state;
    const heads = COLUMNS.map((column) => el("th", { scope: "col", class: column.name }, column.title));
    table.tHead.rows[0].append(...heads);
  }

  get order() {
    return this.#state.orders.rows ?? [];
  }

  cell(row, column) {
    return this.#rows.get(row)?.cells[COLUMNS.findIndex((each) => each.name === column)];
  }

  // Where a cell stands: {row, column} by name, or null outside the list.
  placeOf(node) {
    const cell = node?.closest?.("td[data-column]");
    return cell ? { row: cell.parentElement.dataset.row, column: cell.dataset.column } : null;
  }

  // Where the keyboard begins in a list that stands at its top: the first free microphone input, before lines and digital
  // ones, where it is in sight; else the first row, over a free one that takes no microphone.
  beginning() {
    const takes = (id) => this.#state.row(id).phantom;
    const microphones = this.order.find((id) => this.#state.isFree(id) && takes(id));
    const free = microphones ?? this.#state.nextFree(null);
    if (free && isInSight(this.#rows.get(free))) return free;
    return this.order.find((id) => !this.#state.isFree(id) || takes(id)) ?? this.order[0];
  }

  // change: {changed, reordered} of the rows
  patch({ changed, reordered }) {
    for (const id of changed) this.#fill(id);
    if (reordered) this.#arrange();
    this.#reachable();
  }

  patchStates() {
    for (const id of this.#rows.keys()) this.#fillState(id);
  }

  #arrange() {
    const stays = new Set(this.order);
    for (const [id, row] of this.#rows) {
      if (stays.has(id)) continue;
      row.remove();
      this.#rows.delete(id);
    }
    let last = null;
    for (const id of this.order) {
      const row = this.#rows.get(id);
      const body = this.#bodyOf(this.#state.row(id).item);
      const next = last?.parentElement === body ? last.nextElementSibling : body.rows[1];
      if (next !== row) body.insertBefore(row, next ?? null);
      last = row;
    }
    for (const [item, body] of this.#bodies) {
      if (body.rows.length > 1) continue;
      body.remove();
      this.#bodies.delete(item);
    }
  }

  #bodyOf(item) {
    let body = this.#bodies.get(item);
    const called = this.#state.tables.items[item]?.label || item;
    if (!body) {
      const heading = el("th", { scope: "rowgroup", colspan: COLUMNS.length }, called);
      body = el("tbody", {}, el("tr", { class: "band" }, heading));
      this.#bodies.set(item, body);
      this.#table.append(body);
    }
    return body;
  }

  #fill(id) {
    const row = this.#state.row(id);
    if (!this.#rows.has(id)) this.#rows.set(id, this.#make(id));
    const line = this.#rows.get(id);
    line.classList.toggle("free", !row.at?.length);
    const draft = this.#state.typed(id);
    COLUMNS.forEach((column, index) => {
      if (column.name === "state") return;
      const cell = line.cells[index];
      if (cell.querySelector("input")) return this.#changedUnder(cell, column, row);
      const typed = draft[column.name];
      const nodes = typed ? [el("i", { class: "draft" }, typed)] : column.show(row);
      this.#put(cell, nodes, typed ?? `${column.text(row)}|${row.gain_set}|${row.need}|${column.name === "socket" && row.at}`);
      const words = spoken(column, row);
      if (words) cell.setAttribute("aria-label", words);
      else cell.removeAttribute("aria-label");
      if (column.name === "phantom") cell.classList.toggle("wanting", Boolean(row.phantom_needed) && row.phantom !== "on");
    });
    this.#fillState(id);
  }

  #fillState(id) {
    const row = this.#state.row(id);
    const cell = this.cell(id, "state");
    if (!row || !cell) return;
    const found = this.#state.verdictOf(id);
    const draft = this.#state.drafts.has(id) && !row.at?.length;
    this.#put(cell, stateNodes(row, found, draft), `${found?.verdict}|${draft}|${row.at}`);
    cell.title = found?.what ?? "";
  }

  // The cell is being typed into: what came from elsewhere is told beside it, never put over it.
  #changedUnder(cell, column, row) {
    const editor = cell.querySelector("input");
    if (editor.dataset.began === column.text(row)) return;
    editor.setAttribute("aria-describedby", "changed-under");
    cell.dataset.under = under(this.#state, column.text(row));
  }

  #put(cell, nodes, mark) {
    if (cell.dataset.mark === mark) return;
    cell.dataset.mark = mark;
    cell.replaceChildren(...nodes);
  }

  #make(id) {
    const line = el("tr", { "data-row": id });
    for (const column of COLUMNS) {
      const first = column.name === "socket";
      line.append(el("td", { class: column.name, "data-column": column.name, tabindex: "-1", role: first ? "rowheader" : "gridcell" }));
    }
    return line;
  }

  // One cell of the table is reached by Tab; the arrows go on from there.
  #reachable() {
    if (this.#table.querySelector('td[tabindex="0"]') || !this.order.length) return;
    this.cell(this.order[0], "source").tabIndex = 0;
  }
}

function isInSight(row) {
  const { top, bottom } = row.getBoundingClientRect();
  const holder = row.closest(".scroll").getBoundingClientRect();
  return top >= holder.top && bottom <= Math.min(holder.bottom, innerHeight);
}
