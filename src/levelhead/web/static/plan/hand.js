// A pointer, a finger and the keyboard on the plan: what they move, and when it is a step of the show.

import { aimHeight, rounded, swung } from "./ground.js";

const NEAR = 24; // pixels between a pointer and what it takes
const SLIP = 4; // pixels that are no move yet
const PAUSE_MS = 450; // after the last key the whole way is one step
const STEP_M = 0.1;
const FAR_M = 1;
const TURN = 5;
const FAR_TURN = 30;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

export class PlanHand {
  #drawing;
  #seen;
  #does;
  #drag = null; // {what, from: [x, y], at: where it was, isMoved}
  #pending = null; // {id, timer} of keys that were not sent yet

  // seen: what is drawn; does: {may(), select(id), hold(id, {at, aim}), drop(id), holdCorner(key, index, place),
  // dropCorner(key), point(place), redraw()}
  constructor(drawing, seen, does) {
    this.#drawing = drawing;
    this.#seen = seen;
    this.#does = does;
    const { node } = drawing;
    node.addEventListener("pointerdown", (event) => this.#down(event));
    node.addEventListener("pointermove", (event) => this.#move(event));
    node.addEventListener("touchstart", (event) => this.#touch(event), { passive: false });
    node.addEventListener("pointerup", (event) => this.#up(event));
    node.addEventListener("pointercancel", () => this.#cancel());
    node.addEventListener("keydown", (event) => this.#key(event));
    node.addEventListener("focusin", (event) => this.#focused(event));
    node.addEventListener("focusout", () => this.send());
    node.addEventListener("wheel", (event) => this.#wheel(event), { passive: false });
  }

  #place(event) {
    const frame = this.#drawing.node.getBoundingClientRect();
    const scale = this.#seen.ground.width / frame.width;
    return [(event.clientX - frame.left) * scale, (event.clientY - frame.top) * scale];
  }

  // The nearest of what may be taken: the aim of the selected thing, a corner, a thing.
  #nearest([x, y]) {
    const { ground, things, selected, areas, corners } = this.#seen;
    const chosen = things[selected];
    const found = [];
    if (chosen?.at && chosen.front != null) found.push([{ kind: "aim", id: selected }, chosen.aim ?? swung(chosen, 0)]);
    for (const [key, area] of corners ? Object.entries(areas) : []) (area.corners ?? []).forEach((each, index) => found.push([{ kind: "corner", key, index }, each]));
    for (const [id, thing] of Object.entries(things)) if (thing.at) found.push([{ kind: "thing", id }, thing.at]);
    const far = ([, at]) => Math.hypot(...ground.point(at).map((each, axis) => each - [x, y][axis]));
    const best = found.map((each) => [far(each), each[0]]).sort((one, other) => one[0] - other[0])[0];
    return best && best[0] <= NEAR ? best[1] : null;
  }

  // A finger on something that moves does not scroll the page; elsewhere it does.
  #touch(event) {
    if (event.touches.length === 1 && this.#nearest(this.#place(event.touches[0]))) event.preventDefault();
  }

  #down(event) {
    if (event.button) return;
    const from = this.#place(event);
    const what = this.#nearest(from) ?? { kind: "ground" };
    if (what.kind === "ground") {
      this.#does.select(null);
      this.#does.point(this.#seen.ground.place(...from));
      if (this.#seen.ground.zoom === 1) return;
    }
    event.preventDefault();
    this.send();
    if (what.kind === "thing") {
      this.#does.select(what.id);
      this.#drawing.focus(what.id);
    }
    this.#drawing.node.setPointerCapture(event.pointerId);
    this.#drag = { what, from, last: from, was: this.#was(what), isMoved: false };
  }

  // Where it was that is taken, so that it moves by as much as the pointer does.
  #was({ kind, id, key, index }) {
    const thing = this.#seen.things[id];
    if (kind === "aim") return thing.aim ?? swung(thing, 0);
    return kind === "corner" ? this.#seen.areas[key].corners[index] : thing?.at;
  }

  #move(event) {
    const at = this.#place(event);
    if (!this.#drag) return this.#does.point(this.#seen.ground.place(...at));
    const { what, from, last, was } = this.#drag;
    if (!this.#drag.isMoved && Math.hypot(at[0] - from[0], at[1] - from[1]) < SLIP) return;
    this.#drag.isMoved = true;
    this.#drag.last = at;
    if (what.kind === "ground") {
      this.#seen.ground.shift(at[0] - last[0], at[1] - last[1]);
      return this.#does.redraw();
    }
    if (!this.#does.may()) return;
    const [start, here] = [from, at].map((each) => this.#seen.ground.place(...each));
    const place = here.map((each, axis) => rounded(was[axis] + each - start[axis], event.altKey ? 0.01 : 0.1));
    if (what.kind === "corner") return this.#does.holdCorner(what.key, what.index, place);
    const thing = this.#seen.things[what.id];
    this.#does.hold(what.id, what.kind === "aim" ? { aim: [...place, aimHeight(thing)] } : { at: [...place, thing.at[2]] });
  }

  #up() {
    const drag = this.#drag;
    this.#drag = null;
    if (!drag?.isMoved || drag.what.kind === "ground") return;
    if (drag.what.kind === "corner") this.#does.dropCorner(drag.what.key);
    else this.#does.drop(drag.what.id);
  }

  #cancel() {
    const drag = this.#drag;
    this.#drag = null;
    if (drag?.what.id) this.#does.hold(drag.what.id, null);
  }

  #wheel(event) {
    if (!event.ctrlKey) return;
    event.preventDefault();
    this.#seen.ground.scale(event.deltaY < 0 ? 1.25 : 0.8, this.#place(event));
    this.#does.redraw();
  }

  // --- keys ---

  #focused(event) {
    const id = event.target.closest?.("[data-id]")?.dataset.id;
    if (id && id !== this.#seen.selected) this.#does.select(id);
  }

  #key(event) {
    const { things, selected } = this.#seen;
    const thing = things[selected];
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    if (event.key === "PageDown" || event.key === "PageUp") return this.#next(event, event.key === "PageDown" ? 1 : -1);
    if (!thing?.at || !this.#does.may()) return;
    const moved = this.#moved(event, thing);
    if (!moved) return;
    event.preventDefault();
    this.#does.hold(selected, moved);
    clearTimeout(this.#pending?.timer);
    this.#pending = { id: selected, timer: setTimeout(() => this.send(), PAUSE_MS) };
  }

  #moved(event, thing) {
    const arrow = ARROWS[event.key];
    const far = event.shiftKey ? FAR_M : STEP_M;
    if (arrow) return { at: [...arrow.map((way, axis) => rounded(thing.at[axis] + this.#seen.ground.sign * way * far)), thing.at[2]] };
    const up = { "+": 1, "-": -1, "=": 1, _: -1, "*": 1 }[event.key];
    if (up) return { at: [thing.at[0], thing.at[1], rounded(thing.at[2] + up * far)] };
    const turn = { Comma: -1, Period: 1 }[event.code];
    if (turn && thing.front != null) return { aim: swung(thing, turn * (event.shiftKey ? FAR_TURN : TURN)) };
    return null;
  }

  #next(event, way) {
    event.preventDefault();
    this.send();
    const order = Object.entries(this.#seen.things).filter(([, thing]) => thing.at).map(([id]) => id);
    const id = order[(order.indexOf(this.#seen.selected) + way + order.length) % order.length];
    if (!id) return;
    this.#does.select(id);
    this.#drawing.focus(id);
  }

  // What keys moved goes out as one step.
  send() {
    if (!this.#pending) return;
    clearTimeout(this.#pending.timer);
    const { id } = this.#pending;
    this.#pending = null;
    this.#does.drop(id);
  }
}
