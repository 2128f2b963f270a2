// What is above and below the list: the verdict, undo and redo, the state of the file, what is left.

import { button, el, verdict } from "./dom.js";

const counted = (each) => `${each.label} × ${each.count}`;

const all = (entries) => entries.reduce((sum, each) => sum + each.count, 0);

const said = (count, one, many) => `${count} ${count === 1 ? one : many}`;

// One line of it, for narrow screens.
function brief(left) {
  return `Left: ${said(all(left.inputs), "input", "inputs")}, ${left.phantom_inputs} with 48 V, ${said(all(left.outputs), "output", "outputs")}, ${said(all(left.boxes), "box", "boxes")}, ${said(all(left.leads), "lead", "leads")}`;
}

// Told where it stays in sight, however far down the page somebody is.
function lost(unsent, isShutOut) {
  const waits = unsent ? ` ${unsent} not sent yet.` : "";
  if (isShutOut) return `This device's pass has ended: the program was started anew. Scan the code on the desk's screen again; this page keeps what you typed.${waits}`;
  return `No connection: this is what stood here before.${waits} What you type is kept, and sent when it is back.`;
}

export class Head {
  #state;
  #does;
  #parts = Object.fromEntries(
    ["whole", "undo", "redo", "file", "left", "notes", "clash", "brief", "lost"].map((id) => [id, document.getElementById(id)]),
  );

  // does: {undo(), redo(), settle(which), go(row)}
  constructor(state, does) {
    this.#state = state;
    this.#does = does;
    this.#parts.undo.addEventListener("click", () => does.undo());
    this.#parts.redo.addEventListener("click", () => does.redo());
  }

  draw({ isUp, unsent }) {
    const { head } = this.#state;
    if (!head) return;
    this.#step(this.#parts.undo, "Undo", this.#state.undo);
    this.#step(this.#parts.redo, "Redo", this.#state.redo);
    this.#file(head, isUp, unsent);
    this.#left(head.left);
    const mayLook = this.#state.may === "look" ? ["This device may look, not change."] : [];
    this.#parts.notes.replaceChildren(...[...mayLook, ...head.notes].map((note) => el("p", {}, note)));
    this.#clash(head.clash);
  }

  drawWhole() {
    const { results } = this.#state;
    if (!results) return;
    const found = results.findings ?? [];
    const worst = ["harm", "fails", "care"].map((name) => [name, found.filter((each) => each.severity === name).length]);
    const counts = worst.filter(([, count]) => count).map(([name, count]) => `${count} ${name}`);
    const stale = results.revision !== this.#state.revision ? " (being worked out anew)" : "";
    this.#parts.whole.replaceChildren(verdict(results.verdict ?? "depends"), el("span", { class: "sub" }, `${counts.join(", ")}${stale}`));
  }

  #step(node, name, step) {
    node.disabled = !step;
    const words = step ? `${name}: ${step.words}` : name;
    node.title = words;
    node.setAttribute("aria-label", words);
  }

  #file(head, isUp, unsent) {
    let words = head.saved ? "in the file" : "kept, not in the file yet";
    if (!isUp) words = unsent ? `no connection; ${unsent} not sent yet` : "no connection";
    this.#parts.lost.hidden = isUp;
    this.#parts.lost.textContent = isUp ? "" : lost(unsent, this.#state.isShutOut);
    this.#parts.file.textContent = [words, head.fingerprint].filter(Boolean).join(", ");
    this.#parts.file.classList.toggle("down", !isUp);
  }

  #left(left) {
    if (!left) return this.#parts.left.replaceChildren();
    const groups = [
      ["Free inputs", left.inputs.map((each) => button(counted(each), () => this.#does.go(each.next), { class: "plain" }))],
      ["With 48 V", [String(left.phantom_inputs)]],
      ["Free sends and outputs", left.outputs.map(counted)],
      ["Boxes in stock", left.boxes.map(counted)],
      ["Leads in stock", left.leads.map(counted)],
    ];
    const lines = groups.map(([title, entries]) => {
      const shown = entries.length ? entries : ["none"];
      return el("div", {}, el("dt", {}, title), el("dd", {}, ...shown.flatMap((each, index) => (index ? [", ", each] : [each]))));
    });
    this.#parts.left.replaceChildren(...lines);
    this.#parts.brief.textContent = brief(left);
  }

  #clash(clash) {
    const place = this.#parts.clash;
    place.hidden = !clash;
    if (!clash) return place.replaceChildren();
    const rows = clash.cells.map((each) => el("tr", {}, el("th", { scope: "row" }, each.cell), el("td", {}, each.here), el("td", {}, each.file)));
    const table = rows.length > 0 && el("table", {}, el("tr", {}, el("th", { scope: "col" }, "Place"), el("th", { scope: "col" }, "Here"), el("th", { scope: "col" }, "In the file")), ...rows);
    place.replaceChildren(
      el("h2", {}, "The file was changed by somebody else"),
      el("p", {}, clash.error ?? "Both changed the same places. Nothing is written until you choose; what loses is kept."),
      table || "",
      button("Keep what is here", () => this.#does.settle("here")),
      clash.error ? "" : button("Take the file", () => this.#does.settle("file")),
    );
  }
}
