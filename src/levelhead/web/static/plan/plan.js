// The plan of the show from above: things are dragged, moved by keys or by numbers; the air answers beside it.

import { button, el, prose } from "../build/dom.js";
import { Drawing, spoken } from "./draw.js";
import { Ground } from "./ground.js";
import { PlanHand } from "./hand.js";
import { PlanNumbers } from "./numbers.js";
import { SeatReader } from "./reader.js";
import { PlanSeats, seat } from "./seats.js";

document.head.append(el("link", { rel: "stylesheet", href: "/static/plan/plan.css" }));
const STAGE_M = 2; // into the hall: what stands up to there is on the stage or before it
const LOWEST = 360; // pixels of the drawing
const part = (name) => document.getElementById(`plan-${name}`);

export class Plan {
  #state;
  #does;
  #drawing = new Drawing();
  #ground = new Ground();
  #numbers;
  #reader;
  #seats;
  #held = new Map(); // what is being moved here: id -> {at, aim}, "area ..." -> corners
  #seen = { ground: this.#ground, selected: null, corners: false };
  #isOpen = false;

  // does: {ask(question), step(message, words) -> Promise of whether it was taken, apply(edits, words)}
  constructor(state, does) {
    this.#state = state;
    this.#does = does;
    this.#numbers = new PlanNumbers({ select: (id) => this.#select(id), type: (id, field, text) => this.#type(id, field, text), place: (id) => this.#pick(id) });
    this.#seats = new PlanSeats({ legend: part("legend"), read: part("read"), lines: part("lines"), moves: part("moves"), found: part("found") }, { ...does, redraw: () => this.#draw() });
    const hand = { may: () => state.may === "change", select: (id) => this.#select(id), hold: (id, held) => this.#hold(id, held), drop: (id) => this.#drop(id), redraw: () => this.#draw() };
    new PlanHand(this.#drawing, this.#seen, { ...hand, holdCorner: (...corner) => this.#holdCorner(...corner), dropCorner: (key) => this.#dropCorner(key), point: (place) => this.#read(this.#seats.at(place)) });
    this.#reader = new SeatReader({ tell: (area, index) => area && this.#read(seat(area, index, this.#seats.shown)) });
    this.#drawing.read(this.#reader.node);
    part("drawing").append(this.#drawing.node);
    part("numbers").append(this.#numbers.node);
    this.#tools();
    new ResizeObserver(() => this.#isOpen && this.#fit()).observe(part("drawing"));
  }

  #tools() {
    const zoom = (by) => () => (this.#ground.scale(by), this.#draw());
    const tools = { larger: zoom(1.5), smaller: zoom(1 / 1.5), whole: () => (this.#ground.whole(), this.#draw()), stage: () => this.#stage(), turn: () => ((this.#ground.isTurned = !this.#ground.isTurned), this.#draw()) };
    for (const [name, press] of Object.entries(tools)) part(name).addEventListener("click", press);
    part("corners").addEventListener("change", (event) => ((this.#seen.corners = event.target.checked), this.#draw()));
    part("map").addEventListener("change", (event) => {
      this.#seats.shown = event.target.value;
      this.#seats.want(this.#state.revision);
      this.#draw();
    });
  }

  #stage() {
    const places = Object.values(this.#seen.things).map((each) => each.at).filter((at) => at && at[1] < STAGE_M);
    this.#ground.look(places);
    this.#draw();
  }

  // The view was opened, or left.
  open(isOpen) {
    this.#isOpen = isOpen;
    if (isOpen && this.#state.head) this.changed();
  }

  // Something of the show is another.
  changed() {
    if (!this.#isOpen) return;
    this.#seats.want(this.#state.revision);
    this.#first();
    this.judged();
    this.#fit();
  }

  // Something was judged, or a way out of it was tried.
  judged() {
    if (this.#isOpen) this.#seats.found(this.#state.results?.findings ?? []);
  }

  #fit() {
    const { plan, ground } = this.#state.tables;
    if (!plan) return;
    const places = [...Object.values(plan).map((each) => each.at), ...Object.values(ground).flatMap((each) => [...(each.corners ?? []), each.at])];
    const width = part("drawing").clientWidth;
    if (!width || this.#held.size) return this.#draw();
    this.#ground.fit(places.filter(Boolean), width, [300, Math.max(LOWEST, Math.min(this.#room(), width * 1.6))]);
    this.#draw();
  }

  // Pixels between what is above the drawing and what always stands below: it is seen whole.
  #room() {
    const top = part("drawing").getBoundingClientRect().top + scrollY;
    return innerHeight - top - document.querySelector(".left-over").offsetHeight - 8;
  }

  #draw() {
    const { plan, people, ground } = this.#state.tables;
    const things = Object.fromEntries(Object.entries(plan).map(([id, thing]) => [id, { ...thing, ...this.#held.get(id) }]));
    const areas = Object.fromEntries(Object.entries(ground).map(([key, area]) => [key, { ...area, ...this.#held.get(key) }]));
    const order = (this.#state.orders.plan ?? []).filter((id) => things[id]);
    Object.assign(this.#seen, { things, people, areas, order, map: { areas: this.#seats.areas } });
    this.#drawing.draw(this.#seen);
    this.#numbers.draw(this.#seen);
    this.#reader.draw(this.#seats.areas, this.#ground);
    if (document.activeElement !== this.#reader.node) this.#read(this.#about());
  }

  #about() {
    const thing = this.#seen.things[this.#seen.selected];
    return thing?.at ? spoken(thing) : "";
  }

  #read(text) {
    const words = prose(text) || prose(this.#about()) || "Press a thing to move it; point at a seat to read it.";
    if (part("read").textContent !== words) part("read").textContent = words;
  }

  #select(id) {
    if (this.#seen.selected === id) return;
    this.#seen.selected = id;
    this.#draw();
    if (id && !part("numbers").contains(document.activeElement)) this.#numbers.show(id);
  }

  // --- moves ---

  #hold(id, held) {
    if (held) this.#held.set(id, { ...this.#held.get(id), ...held });
    else this.#held.delete(id);
    this.#draw();
  }

  async #drop(id) {
    const held = this.#held.get(id);
    if (!held) return;
    const edits = Object.entries(held).map(([field, place]) => ({ edit: field === "at" ? "move" : "aim", item: id, [field]: place }));
    await this.#does.step({ do: "edits", edits });
    this.#hold(id, null);
  }

  #holdCorner(key, index, place) {
    const corners = (this.#held.get(key) ?? this.#state.tables.ground[key]).corners.map((each, number) => (number === index ? place : each));
    this.#held.set(key, { corners });
    this.#draw();
  }

  async #dropCorner(key) {
    const text = this.#held.get(key).corners.map((corner) => corner.join(", ")).join("; ");
    const [table, name] = key === "room" ? ["room", "room"] : ["areas", key.slice(5)];
    await this.#does.step({ do: "field", table, key: name, field: "corners", text });
    this.#held.delete(key);
    this.#fit();
  }

  #type(id, field, text) {
    return this.#does.step({ do: "field", table: "items", key: id, field, text });
  }

  // A name in the table: shown on the plan; what has no place is given one.
  async #pick(id) {
    if (!this.#state.tables.plan[id].at) await this.#begin(id, "It has a place now.");
    this.#select(id);
    this.#drawing.focus(id);
  }

  async #begin(item, words) {
    const { edits } = await this.#does.ask({ find: "first-places", text: item });
    if (edits.length) await this.#does.apply(edits, words);
  }

  // --- what to do first ---

  #first() {
    const { plan, ground } = this.#state.tables;
    const things = Object.values(plan);
    const without = Object.entries(plan).filter(([, thing]) => !thing.at);
    const speaks = things.some((thing) => thing.at && ["loudspeaker", "subwoofer"].includes(thing.symbol));
    const lines = [];
    if (!things.length) lines.push(el("p", {}, "There is no gear in the show yet. Put it into the input list or the gear table, then it can be placed here."));
    else if (without.length && !speaks) lines.push(this.#offer("Say first where the loudspeakers stand; levels at the seats follow from that.", "Place everything to begin with", "Loudspeakers left and right at the stage's edge, voices along it, the desk opposite; what has a place stays.", ""));
    else if (without.length) lines.push(el("p", {}, "Without a place: ", ...without.map(([id, thing]) => button(`Place ${thing.called}`, () => this.#pick(id), { class: "plain" }))));
    if (things.length && !ground.room) lines.push(el("p", { class: "quiet" }, "No room is told: only straight sound counts. Type its corners and its height below; the plan draws it."));
    if (things.length && !Object.keys(ground).some((key) => key !== "room")) lines.push(el("p", { class: "quiet" }, "No listening area is told. Add one below, with its corners, and the map covers it."));
    part("first").replaceChildren(...lines);
  }

  #offer(why, press, what, item) {
    return el("div", { class: "offer" }, el("p", {}, why), button(press, () => this.#begin(item, "Everything has a place to begin with."), { id: "plan-begin" }), el("p", { class: "sub" }, what));
  }
}
