// The keyboard and the pointer on the input list: move, choose a block, edit, fill down, copy, paste, undo.

import { COLUMNS, EDITED } from "./columns.js";
import { Editor } from "./editor.js";
import { asText, cellsOf, parsed } from "./paste.js";

const STEPS = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] };
const NAMES = COLUMNS.map((column) => column.name);

export class Keys {
  #table;
  #grid;
  #state;
  #does;
  #at = null; // {row, column}
  #anchor = null; // the other corner of a block
  #began = null; // the column in which a row was begun, while Tab goes along it

  // does: {type(cells, wasFree), clear(rows), insert(row), remove(row), move(row, to), undo(), redo(), open(what, row), find(column, text, row)}
  constructor(table, grid, state, does) {
    this.#table = table;
    this.#grid = grid;
    this.#state = state;
    this.#does = does;
    table.addEventListener("keydown", (event) => this.#pressed(event));
    table.addEventListener("mousedown", (event) => this.#touched(event));
    table.addEventListener("dblclick", (event) => this.#grid.placeOf(event.target) && this.edit());
    table.addEventListener("focusin", (event) => this.#came(event.target));
    document.addEventListener("copy", (event) => this.#copy(event));
    document.addEventListener("paste", (event) => this.#paste(event));
  }

  get row() {
    return this.#at?.row;
  }

  // Go to a cell; with keep the block grows from where it began.
  go(row, column, { keep = false, inSight = true } = {}) {
    const cell = this.#grid.cell(row, column);
    if (!cell) return;
    if (!keep) this.#anchor = null;
    else this.#anchor ??= this.#at;
    this.#table.querySelector('td[tabindex="0"]')?.setAttribute("tabindex", "-1");
    cell.tabIndex = 0;
    this.#at = { row, column };
    cell.focus({ preventScroll: true });
    if (inSight) cell.scrollIntoView({ block: "nearest", inline: "nearest" });
    this.#show();
  }

  edit(first = null) {
    const { row, column } = this.#at;
    const plan = COLUMNS.find((each) => each.name === column);
    if (plan.opens) return this.#does.open(plan.opens, row);
    const values = this.#state.row(row);
    if (plan.edit === "toggle") return this.#toggle(row, values);
    const draft = this.#state.newest(row)[column];
    const began = plan.text(values);
    const find = plan.edit === "text" ? null : (text) => this.#does.find(plan.edit, text, row);
    const wasFree = this.#state.isFree(row);
    const end = (text, key) => this.#edited({ row, column, began: draft ?? began, text, key, wasFree });
    const name = `${plan.title}, ${values.name}`;
    const editor = new Editor(this.#grid.cell(row, column), { text: draft ?? began, label: name, find, end, began });
    if (first !== null) editor.begin(first);
  }

  #edited({ row, column, began, text, key, wasFree }) {
    this.#grid.patch({ changed: [row], reordered: false }); // what came under the field while it was open
    if (key !== "blur") this.go(row, column);
    if (text !== null && text.trim() !== began) this.#typed([[row, column, text]], wasFree);
    if (key === "Enter") this.#nextRow();
    if (key === "ShiftEnter") this.#step([-1, 0]);
    if (key === "Tab") this.#began ??= column;
    if (key === "Tab") this.#step([0, 1]);
    if (key === "ShiftTab") this.#step([0, -1]);
  }

  // What stereo gear takes of the rows below is skipped, if the keyboard went there meanwhile.
  async #typed(cells, wasFree) {
    const free = new Set(this.#grid.order.filter((id) => this.#state.isFree(id)));
    const went = await this.#does.type(cells, wasFree);
    const { row, column } = this.#at;
    if (row === cells[0][0] && went !== row && this.#isHere) return this.go(went, column);
    if (row === cells[0][0] || !free.has(row) || this.#state.isFree(row) || !this.#isHere) return;
    const next = this.#state.nextFree(row);
    if (next) this.go(next, column);
  }

  // Enter goes on below the cell from which Tab went along the row.
  #nextRow() {
    const column = this.#began ?? this.#at.column;
    this.#began = null;
    this.#step([1, NAMES.indexOf(column) - NAMES.indexOf(this.#at.column)]);
  }

  #toggle(row, values) {
    if (values.phantom) this.#does.type([[row, "phantom", values.phantom === "on" ? "off" : "on"]]);
  }

  #came(target) {
    const place = this.#grid.placeOf(target);
    if (!place || target.matches("input")) return;
    if (this.#at?.row !== place.row || this.#at?.column !== place.column) {
      this.#at = place;
      this.#anchor = null;
      this.#show();
    }
  }

  #touched(event) {
    this.#began = null;
    const place = this.#grid.placeOf(event.target);
    if (!place || event.target.closest("input, ul")) return;
    event.preventDefault();
    const again = this.#at?.row === place.row && this.#at?.column === place.column && document.activeElement?.matches("td");
    this.go(place.row, place.column, { keep: event.shiftKey });
    const plan = COLUMNS.find((each) => each.name === place.column);
    if (plan.opens || again || matchMedia("(pointer: coarse)").matches) this.edit();
  }

  #pressed(event) {
    if (!this.#at || event.target.matches("input")) return;
    const command = event.ctrlKey || event.metaKey;
    if (command || event.altKey) return this.#commanded(event, command);
    if (STEPS[event.key]) this.#began = null;
    if (STEPS[event.key]) this.#step(STEPS[event.key], event.shiftKey);
    else if (event.key === "Enter" || event.key === "F2") this.edit();
    else if (event.key === "Home") this.go(this.#at.row, NAMES[0], { keep: event.shiftKey });
    else if (event.key === "End") this.go(this.#at.row, NAMES.at(-1), { keep: event.shiftKey });
    else if (event.key === "PageDown") this.#step([12, 0], event.shiftKey);
    else if (event.key === "PageUp") this.#step([-12, 0], event.shiftKey);
    else if (event.key === "Escape" && this.#anchor) this.go(this.#at.row, this.#at.column);
    else if (event.key === "Delete" || event.key === "Backspace") this.#clear();
    else if (event.key === " ") this.edit();
    else if (event.key.length === 1 && EDITED.includes(this.#at.column) && this.#at.column !== "phantom") this.edit(event.key);
    else return;
    event.preventDefault();
  }

  #commanded(event, command) {
    const key = event.key.toLowerCase();
    const { row } = this.#at;
    if (command && key === "d") this.#fillDown();
    else if (command && (event.key === "+" || (event.shiftKey && event.key === "="))) this.#does.insert(row);
    else if (command && event.key === "-") this.#does.remove(row);
    else if (event.altKey && STEPS[event.key]?.[0]) this.#move(STEPS[event.key][0]);
    else if (command && event.key === "Home") this.go(this.#grid.order[0], NAMES[0]);
    else if (command && event.key === "End") this.go(this.#grid.order.at(-1), NAMES[0]);
    else return;
    event.preventDefault();
  }

  #step([down, right], keep = false) {
    const order = this.#grid.order;
    const row = Math.min(Math.max(order.indexOf(this.#at.row) + down, 0), order.length - 1);
    const column = Math.min(Math.max(NAMES.indexOf(this.#at.column) + right, 0), NAMES.length - 1);
    this.go(order[row], NAMES[column], { keep });
  }

  async #move(down) {
    const order = this.#grid.order;
    const to = order[order.indexOf(this.#at.row) + down];
    const { row, column } = this.#at;
    if (to && (await this.#does.move(row, to))) this.go(to, column);
  }

  // The block: rows and columns between its corners, in order.
  #block() {
    const other = this.#anchor ?? this.#at;
    const span = (list, one, two) => {
      const [first, last] = [list.indexOf(one), list.indexOf(two)].sort((a, b) => a - b);
      return list.slice(first, last + 1);
    };
    return { rows: span(this.#grid.order, this.#at.row, other.row), columns: span(NAMES, this.#at.column, other.column) };
  }

  #show() {
    for (const cell of this.#table.querySelectorAll(".in-block")) cell.classList.remove("in-block");
    if (!this.#anchor) return;
    const { rows, columns } = this.#block();
    for (const row of rows) for (const column of columns) this.#grid.cell(row, column)?.classList.add("in-block");
  }

  #clear() {
    const { rows, columns } = this.#block();
    if (columns.includes("gear") || columns.includes("socket")) return this.#does.clear(rows);
    const typed = columns.filter((column) => EDITED.includes(column));
    this.#does.type(rows.flatMap((row) => typed.map((column) => [row, column, ""])));
  }

  #fillDown() {
    const { rows, columns } = this.#block();
    const [first, ...below] = rows.length > 1 ? rows : [this.#above(), this.#at.row];
    if (!first) return;
    const typed = columns.filter((column) => EDITED.includes(column));
    const last = this.#state.newest(first);
    const text = (column) => last[column] ?? COLUMNS.find((each) => each.name === column).text(this.#state.row(first));
    this.#does.type(below.flatMap((row) => typed.map((column) => [row, column, text(column)])));
  }

  #above() {
    return this.#grid.order[this.#grid.order.indexOf(this.#at.row) - 1];
  }

  get #isHere() {
    return this.#at && this.#table.contains(document.activeElement) && !document.activeElement.matches("input");
  }

  #copy(event) {
    if (!this.#isHere) return;
    const { rows, columns } = this.#block();
    const plans = columns.map((name) => COLUMNS.find((each) => each.name === name));
    event.clipboardData.setData("text/plain", asText(rows.map((row) => plans.map((plan) => plan.text(this.#state.row(row))))));
    event.preventDefault();
  }

  #paste(event) {
    if (!this.#isHere) return;
    event.preventDefault();
    const block = parsed(event.clipboardData.getData("text/plain"));
    const start = this.#grid.order.indexOf(this.#at.row);
    this.#does.paste(cellsOf(block, this.#grid.order.slice(start), this.#at.column), block);
  }
}
