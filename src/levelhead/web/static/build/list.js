// A band's list pasted into the open show: what was understood, what has to be asked, then one press.

import { button, el, refusal } from "./dom.js";

// An input with what it was taken for, and what of that the list does not say.
function understood({ numbers, name, gear, guesses }) {
  return el("li", {}, el("b", {}, `${numbers} ${name}`), `: ${gear.join("; ")}`, ...guesses.map((each) => el("span", { class: "sub" }, each)));
}

function aside(rows) {
  if (!rows.length) return "";
  const words = `${rows.length} ${rows.length === 1 ? "row is" : "rows are"} left out`;
  return el("details", {}, el("summary", {}, words), el("ul", {}, ...rows.map((each) => el("li", {}, each))));
}

export class BandList {
  #form;
  #place;
  #does;
  #answers = {};

  // does: {ask(question), apply(edits, words)}
  constructor(form, place, does) {
    this.#form = form;
    this.#place = place;
    this.#does = does;
    form.elements.list.addEventListener("paste", () => setTimeout(() => form.requestSubmit()));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.#answers = {};
      this.#ask();
    });
  }

  async #ask() {
    const text = new FormData(this.#form).get("list");
    if (!text.trim()) return this.#place.replaceChildren();
    try {
      this.#show(await this.#does.ask({ find: "list", text, answers: this.#answers }));
    } catch (error) {
      this.#place.replaceChildren(el("div", { class: "refusal", role: "alert" }, error.parts ? refusal(error.parts) : error.message));
    }
  }

  #show(found) {
    const heading = el("h3", { tabindex: "-1" }, `${found.inputs.length} inputs understood`);
    const names = el("ul", { class: "understood" }, ...found.inputs.map(understood));
    const told = [...found.guesses, ...found.notes].map((words) => el("li", {}, words));
    const asked = found.questions.map((question, index) => this.#question(question, index));
    const build = button(`Put ${found.inputs.length} inputs into the show`, () => this.#build(found), { disabled: !found.edits.length });
    this.#place.replaceChildren(heading, names, asked.length ? el("h3", {}, "To be asked") : "", ...asked,
      told.length ? el("ul", {}, ...told) : "", aside(found.aside), build);
    (this.#place.querySelector("input") ?? (build.disabled ? heading : build)).focus();
  }

  #question(question, index) {
    const id = `asked-${index}`;
    const field = el("input", { id, list: `${id}-likely`, autocomplete: "off" });
    const likely = el("datalist", { id: `${id}-likely` }, ...question.choices.map((each) => el("option", { value: each.answer }, each.label)));
    field.addEventListener("change", () => {
      this.#answers[question.key] = field.value;
      this.#ask();
    });
    return el("p", {}, el("label", { for: id }, question.ask), field, likely);
  }

  async #build(found) {
    if (!(await this.#does.apply(found.edits, `${found.inputs.length} inputs put in.`))) return;
    this.#place.replaceChildren();
    this.#form.reset();
    this.#form.closest("details").open = false;
  }
}
