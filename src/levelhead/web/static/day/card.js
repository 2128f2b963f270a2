// One card: who, where, what the meter reads, and what was noted about it. Nothing is worked out here.

import { el, figure } from "../build/dom.js";

const part = (id) => document.getElementById(id);

export class Card {
  #walk;

  constructor({ walk }) {
    this.#walk = walk;
  }

  // The hour of an ISO time, as this device writes it.
  time(iso) {
    return new Date(iso).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
  }

  nothing(isKnown) {
    part("card").setAttribute("aria-busy", String(!isKnown));
    part("card-title").textContent = isKnown ? "Nothing is plugged into an input" : "\u00a0";
    part("card-part").textContent = isKnown ? "" : "being worked out";
  }

  draw(card, mark, { isPending, number, of }) {
    part("card").setAttribute("aria-busy", "false");
    part("card-part").textContent = `${number} of ${of}, ${card.part}`;
    part("card-title").textContent = card.title;
    part("card-place").textContent = card.place;
    this.#meter(card);
    part("card-lines").replaceChildren(...card.lines.map((line) => el("li", {}, line)));
    part("card-caution").hidden = !card.caution;
    part("card-caution").textContent = card.caution ?? "";
    part("card-marks").replaceChildren(...this.#marks(card, mark, isPending));
    const wrong = part("wrong");
    wrong.href = card.walk ? `${this.#walk}?at=${encodeURIComponent(card.walk)}` : this.#walk;
    part("write-reading").disabled = !card.metered;
  }

  #meter(card) {
    const place = part("card-meter");
    place.hidden = !card.meter;
    const right = card.between ? `, right from ${figure(card.between)}` : "";
    place.replaceChildren("Meter reads ", el("b", {}, figure(card.meter)), right);
  }

  #marks(card, mark, isPending) {
    const rows = [];
    const { tick, note, readings } = mark;
    if (isPending) rows.push(el("li", { class: "stale" }, "not sent yet"));
    else if (tick) rows.push(el("li", { class: "ticked" }, `✓ ${tick.by}, ${this.time(tick.at)}`));
    if (tick && tick.content !== card.content) rows.push(el("li", { class: "stale" }, "Changed since it was ticked: look again."));
    if (note) rows.push(el("li", {}, `${note.text} (${note.by}, ${this.time(note.at)})`));
    for (const each of readings) rows.push(el("li", {}, `Meter read ${figure(each.text)} (${each.by}, ${this.time(each.at)})`));
    return rows;
  }
}
