// The text of the file itself, with its errors at their lines.

import { el } from "./dom.js";

const PLACE = /:(\d+):(\d+)/;

export class TextView {
  #field;
  #numbers;
  #errors;
  #state;
  #wire;
  #base = -1;
  #was = "";

  constructor(place, state, wire, done) {
    this.#state = state;
    this.#wire = wire;
    this.#field = place.querySelector("textarea");
    this.#numbers = place.querySelector(".numbers");
    this.#errors = place.querySelector(".errors");
    place.querySelector("form").addEventListener("submit", (event) => {
      event.preventDefault();
      this.#take(done);
    });
    place.querySelector("[name=again]").addEventListener("click", () => this.load({ force: true }));
    this.#field.addEventListener("input", () => this.#count());
    this.#field.addEventListener("scroll", () => (this.#numbers.scrollTop = this.#field.scrollTop));
  }

  get isTyped() {
    return this.#field.value !== this.#was;
  }

  // What somebody has typed here stays until it is taken, or given up.
  async load({ force = false } = {}) {
    if (this.isTyped && !force) return;
    const { text, revision } = await this.#wire.send({ find: "text" });
    this.#base = revision;
    this.#was = this.#field.value = text;
    this.#errors.replaceChildren();
    this.#count();
    this.tell(this.#state.head.problem);
  }

  async #take(done) {
    try {
      await this.#wire.send({ do: "text", base: this.#base, text: this.#field.value });
      this.#was = this.#field.value;
      this.#base = this.#state.revision;
      this.#errors.replaceChildren();
      done("The text is taken.");
    } catch (error) {
      this.tell(error.parts ?? { errors: [{ what: error.message }] });
    }
  }

  tell(problem) {
    if (!problem) return;
    const items = problem.errors.map((each) => {
      const at = PLACE.exec(each.where ?? "");
      const words = [each.what, each.expected && `expected ${each.expected}`].filter(Boolean).join("; ");
      const place = at ? `Line ${at[1]}, column ${at[2]}` : each.where;
      const go = el("button", { type: "button" }, place || "Text");
      go.addEventListener("click", () => at && this.#go(Number(at[1]), Number(at[2])));
      return el("li", {}, go, el("p", {}, `${words}. ${each.remedy ?? ""}`));
    });
    this.#errors.replaceChildren(...items);
    this.#mark(problem.errors.map((each) => Number(PLACE.exec(each.where ?? "")?.[1])));
    this.#errors.querySelector("button")?.focus();
  }

  #go(line, column) {
    const lines = this.#field.value.split("\n").slice(0, line - 1);
    const at = lines.reduce((sum, each) => sum + each.length + 1, 0) + column - 1;
    this.#field.focus();
    this.#field.setSelectionRange(at, at + 1);
    const height = parseFloat(getComputedStyle(this.#field).lineHeight);
    this.#field.scrollTop = Math.max(0, (line - 4) * height);
  }

  #count() {
    const lines = this.#field.value.split("\n").length;
    if (this.#numbers.childElementCount === lines) return;
    this.#numbers.replaceChildren(...Array.from({ length: lines }, (_, index) => el("span", {}, String(index + 1))));
  }

  #mark(lines) {
    [...this.#numbers.children].forEach((node, index) => node.classList.toggle("wrong", lines.includes(index + 1)));
  }
}
