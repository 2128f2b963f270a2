// Long work: how far it is, and a way to stop it.

import { button, el } from "./dom.js";

const SOON_MS = 1000;

export class Work {
  #place;
  #does;
  #key = "";
  #timer = 0;

  // does: {say(message) -> Promise}
  constructor(place, does) {
    this.#place = place;
    this.#does = does;
  }

  draw({ progress, may, revision, isUp }) {
    const isOver = !isUp || !progress || progress.done >= progress.of || progress.revision !== revision;
    this.#show(!isOver);
    const key = isOver ? "" : JSON.stringify([progress, may]);
    if (key === this.#key) return;
    this.#key = key;
    const hadKeyboard = this.#place.contains(document.activeElement);
    this.#place.replaceChildren(...(isOver ? [] : this.#parts(progress, may)));
    if (hadKeyboard) this.#place.querySelector("button")?.focus();
  }

  // What is done in a moment needs no line that comes and goes.
  #show(isOn) {
    if (!isOn) {
      clearTimeout(this.#timer);
      this.#timer = 0;
      this.#place.hidden = true;
    } else this.#timer ||= setTimeout(() => (this.#place.hidden = false), SOON_MS);
  }

  #parts({ done, of, stopped }, may) {
    const words = stopped ? `Ways out were tried for ${done} of ${of - 1} findings, then stopped.` : `Trying ways out: ${done} of ${of - 1} findings.`;
    const bar = stopped ? "" : el("progress", { value: done, max: of, "aria-label": "Ways out tried" });
    const press = stopped ? ["Go on", "go-on"] : ["Stop", "stop-work"];
    const way = may === "look" ? "" : button(press[0], () => this.#does.say({ do: press[1] }), { class: "plain" });
    return [el("span", {}, words), bar, way];
  }
}
