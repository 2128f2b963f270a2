// Typing with one thumb: a note, or what a meter reads and what that says of the source.

import { button, el, figure, refusal, say } from "../build/dom.js";

const part = (id) => document.getElementById(id);

export class Readings {
  #does;

  // does: {wire, current(), list(), note(words), told}
  constructor(does) {
    this.#does = does;
    part("write-note").addEventListener("click", () => this.#open("note"));
    part("write-reading").addEventListener("click", () => this.#open("reading"));
    part("note").addEventListener("submit", (event) => this.#note(event));
    part("reading").addEventListener("submit", (event) => this.#ask(event));
    part("sign").addEventListener("click", () => this.#turnSign());
  }

  close() {
    for (const name of ["note", "reading"]) this.#show(name, false);
    part("card-answer").replaceChildren();
  }

  #show(name, isOpen) {
    part(name).hidden = !isOpen;
    part(`write-${name}`).setAttribute("aria-expanded", String(isOpen));
  }

  #open(name) {
    const isOpen = part(name).hidden;
    this.close();
    this.#show(name, isOpen);
    part("reading-unit").textContent = this.#does.current()?.unit ?? "";
    if (isOpen) part(`${name}-field`).focus();
  }

  // Keypads of phones have no minus.
  #turnSign() {
    part("sign").textContent = part("sign").textContent === "−" ? "+" : "−";
    part("reading-field").focus();
  }

  #note(event) {
    event.preventDefault();
    const field = part("note-field");
    this.#does.note(field.value.trim());
    field.value = "";
    this.#show("note", false);
    part("write-note").focus();
  }

  #typed() {
    const text = part("reading-field").value.trim().replace(",", ".").replace("−", "-");
    if (!/^[+-]?\d+(\.\d+)?$/.test(text)) return null;
    const sign = /^[+-]/.test(text) || Number(text) === 0 ? "" : part("sign").textContent.replace("−", "-");
    return `${sign}${text} ${this.#does.current().unit}`;
  }

  async #ask(event) {
    event.preventDefault();
    const card = this.#does.current();
    const words = this.#typed();
    const answer = part("card-answer");
    if (!words) return answer.replaceChildren(el("p", { role: "alert" }, "A number, such as 12 or 9.5; the button before it turns the sign."));
    const text = `${card.metered}: ${words}`;
    answer.replaceChildren(el("p", { class: "quiet", role: "status" }, "Being worked out."));
    try {
      const found = await this.#does.wire.send({ find: "day-reading", text });
      this.#answer(card, text, words, found);
    } catch (error) {
      answer.replaceChildren(el("div", { class: "refusal", role: "alert" }, error.parts ? refusal(error.parts) : error.message));
    }
  }

  #answer(card, text, words, found) {
    const write = async () => {
      await this.#does.wire.send({ do: "seen", list: this.#does.list(), item: card.key, reading: text, text: words }).then(
        () => { this.close(); say("Written into the show."); },
        (error) => part("card-answer").append(el("div", { class: "refusal", role: "alert" }, error.parts ? refusal(error.parts) : error.message)),
      );
    };
    const keep = async () => {
      await this.#does.wire.send({ do: "reading", list: this.#does.list(), item: card.key, text: words });
      this.close();
    };
    const moves = found.moves.length ? el("ul", {}, ...found.moves.map((each) => el("li", {}, each))) : "";
    part("card-answer").replaceChildren(
      el("h3", { tabindex: "-1" }, `Meter reads ${figure(words)}`),
      ...found.says.map((each) => el("p", {}, each)),
      moves,
      found.edits.length ? button("Write it into the show, gain turned", write) : "",
      button("Keep the reading only", keep, { class: "plain" }),
    );
    const head = part("card-answer").querySelector("h3");
    head.focus({ preventScroll: true });
    head.scrollIntoView({ block: "start" });
  }
}
