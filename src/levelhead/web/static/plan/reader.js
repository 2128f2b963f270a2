// The seats by keys: a frame that goes from seat to seat, and what is heard there.

import { svg } from "./svg.js";

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

export class SeatReader {
  node = svg("g", { class: "reader", role: "button", tabindex: "-1" }, svg("rect"));
  #does;
  #at = [0, -1]; // area, seat
  #areas = [];
  #ground;

  // does: {tell(area, seat) -> words that were shown}
  constructor(does) {
    this.#does = does;
    this.node.addEventListener("keydown", (event) => this.#key(event));
    this.node.addEventListener("focus", () => this.#show());
  }

  draw(areas, ground) {
    this.#areas = areas;
    this.#ground = ground;
    if (areas[this.#at[0]]?.right[this.#at[1]] === undefined) this.#at = this.#middle(0);
    this.node.setAttribute("tabindex", areas.length ? "0" : "-1");
    this.node.setAttribute("visibility", areas.length ? "visible" : "hidden");
    this.#put();
  }

  #middle(number) {
    const area = this.#areas[number];
    return [number, area ? Math.floor(area.right.length / 2) : -1];
  }

  #put() {
    const [number, index] = this.#at;
    const area = this.#areas[number];
    if (!area) return;
    const [wide, deep] = area.size?.map((each) => each * this.#ground.perMetre) ?? [44, 44];
    const [x, y] = this.#ground.point([area.right[index], area.into[index]]);
    const frame = { x: x - wide / 2, y: y - deep / 2, width: wide, height: deep };
    for (const [name, value] of Object.entries(frame)) this.node.firstChild.setAttribute(name, value.toFixed(1));
    this.node.setAttribute("aria-label", `Seats: arrows go from seat to seat, Page down to the next area. ${area.name}, ${area.figures[index] ?? ""}`);
  }

  #show() {
    this.#put();
    this.#does.tell(this.#areas[this.#at[0]], this.#at[1]);
  }

  #key(event) {
    const arrow = ARROWS[event.key];
    const next = { PageDown: 1, PageUp: -1 }[event.key];
    if (!arrow && !next) return;
    event.preventDefault();
    event.stopPropagation();
    if (next) this.#at = this.#middle((this.#at[0] + next + this.#areas.length) % this.#areas.length);
    else this.#at[1] = this.#beside(arrow);
    this.#show();
  }

  // The nearest seat in a direction of the drawing, or the same at the end of the row.
  #beside([across, up]) {
    const [number, index] = this.#at;
    const { right, into } = this.#areas[number];
    const way = [across, up].map((each) => each * this.#ground.sign);
    const ahead = right.map((each, other) => {
      const [along, aside] = way[0] ? [way[0] * (each - right[index]), into[other] - into[index]] : [way[1] * (into[other] - into[index]), each - right[index]];
      return along > 0.01 ? along + 3 * Math.abs(aside) : Infinity;
    });
    const best = Math.min(...ahead);
    return best === Infinity ? index : ahead.indexOf(best);
  }
}
