// Places and aims as numbers, beside the plan: what is typed is the same edit as a drag.

import { button, el, prose } from "../build/dom.js";

const FIELDS = [
  ["at", 0, "Right"], ["at", 1, "Into hall"], ["at", 2, "Up"],
  ["aim", 0, "Aim right"], ["aim", 1, "Aim into"], ["aim", 2, "Aim up"],
];

export class PlanNumbers {
  node = el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Places in metres" });
  #body = el("tbody");
  #does;

  // does: {select(id), type(id, field, text) -> Promise of whether it was taken, place(id)}
  constructor(does) {
    this.#does = does;
    const heads = ["Metres", ...FIELDS.map(([, , title]) => title)];
    const head = el("thead", {}, el("tr", {}, ...heads.map((title) => el("th", { scope: "col" }, title))));
    this.node.append(el("table", { class: "plain places" }, head, this.#body));
    this.#body.addEventListener("keydown", (event) => this.#moved(event));
  }

  draw({ things, selected, order }) {
    const lines = new Map([...this.#body.rows].map((line) => [line.dataset.key, line]));
    for (const [id, line] of lines) if (!things[id]) line.remove();
    order.forEach((id, index) => {
      const line = lines.get(id) ?? this.#line(id);
      this.#fill(line, things[id], id === selected);
      if (this.#body.rows[index] !== line) this.#body.insertBefore(line, this.#body.rows[index] ?? null);
    });
  }

  show(id) {
    const line = [...this.#body.rows].find((each) => each.dataset.key === id);
    if (!line) return;
    const [frame, place] = [this.node.getBoundingClientRect(), line.getBoundingClientRect()];
    const over = place.top < frame.top + 40 ? place.top - frame.top - 40 : Math.max(0, place.bottom - frame.bottom);
    this.node.scrollTop += over;
  }

  #line(id) {
    const cells = FIELDS.map(([field, axis, title]) => {
      const input = el("input", { name: `${field}${axis}`, inputmode: "decimal", autocomplete: "off" });
      input.addEventListener("focus", () => this.#does.select(id));
      input.addEventListener("change", () => this.#changed(id, field, axis, input));
      return el("td", { "data-title": title }, input);
    });
    const name = button("", () => this.#does.place(id), { class: "pick" });
    return el("tr", { "data-key": id }, el("th", { scope: "row" }, name), ...cells);
  }

  #fill(line, thing, isSelected) {
    const name = line.querySelector(".pick");
    name.textContent = thing.called;
    name.title = thing.at ? `Show ${thing.called} on the plan` : `Give ${thing.called} a place`;
    line.classList.toggle("chosen", isSelected);
    line.classList.toggle("nowhere", !thing.at);
    FIELDS.forEach(([field, axis, title]) => {
      const input = line.querySelector(`[name="${field}${axis}"]`);
      input.dataset.was = thing[field]?.[axis] ?? "";
      input.setAttribute("aria-label", `${title} of ${thing.called}, metres`);
      input.disabled = field === "aim" && (thing.front == null || !thing.at);
      if (input !== document.activeElement) input.value = prose(String(input.dataset.was));
    });
  }

  // One number with the two beside it; what is not known yet counts from the middle of the stage's edge.
  async #changed(id, field, axis, input) {
    const typed = input.value.trim().replace(",", ".").replace("−", "-").replaceAll(" ", "");
    const line = input.closest("tr");
    const whole = [0, 1, 2].map((each) => (each === axis ? typed : line.querySelector(`[name="${field}${each}"]`).dataset.was || "0"));
    if (typed === input.dataset.was) return;
    if (!(await this.#does.type(id, field, typed ? whole.join(", ") : ""))) input.value = input.dataset.was;
  }

  #moved(event) {
    const { target, key } = event;
    if (!target.matches("input") || event.altKey || event.ctrlKey) return;
    if (key === "Escape") target.value = target.dataset.was;
    const down = { ArrowDown: 1, ArrowUp: -1, Enter: event.shiftKey ? -1 : 1 }[key];
    if (!down) return;
    event.preventDefault();
    const line = target.closest("tr");
    const next = (down > 0 ? line.nextElementSibling : line.previousElementSibling)?.querySelector(`[name="${target.name}"]`);
    if (next && !next.disabled) next.focus();
    else target.dispatchEvent(new Event("change"));
  }
}
