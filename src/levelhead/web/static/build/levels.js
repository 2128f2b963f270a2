// The level picture of one way, live: a gain or fader that is turned moves every point after it; let go, it is a step.

import { el, figure, refusal } from "./dom.js";
import { Lane } from "./lane.js";

const FIGURES = ["floor", "nominal", "peak", "ceiling"];
const KEYS_REST_MS = 700; // after the last arrow key what was turned is kept

export class Levels {
  #place;
  #state;
  #does;
  #choice = el("form", { class: "lane-choice" });
  #told = el("div", { class: "quiet", role: "status" });
  #lanes = el("ol", { class: "lanes" });
  #shown = null;
  #want = { source: "", goal: "", band: null };
  #turned = new Map(); // control -> setting that is tried
  #isAsking = false;
  #isStale = false;
  #byKeys = false;
  #rest = null;
  #isWanted = false;

  // does: {ask(question), apply(edits, words) -> Promise of whether it was taken}
  constructor(place, state, does) {
    this.#place = place;
    this.#state = state;
    this.#does = does;
    place.replaceChildren(this.#choice, this.#told, this.#lanes);
    this.#choice.addEventListener("change", () => this.#chosen());
    this.#choice.addEventListener("submit", (event) => event.preventDefault());
    this.#lanes.addEventListener("input", (event) => this.#turn(event.target));
    this.#lanes.addEventListener("change", () => this.#letGo());
    this.#lanes.addEventListener("keydown", (event) => this.#pressed(event));
    this.#lanes.addEventListener("pointerdown", () => (this.#byKeys = false));
    this.#lanes.addEventListener("focusout", () => this.#byKeys && this.#keep());
  }

  get #isSeen() {
    return !this.#place.closest("[data-view]").hidden;
  }

  hear(news) {
    if (!["snapshot", "caught-up", "patch"].includes(news.kind)) return;
    if (this.#isSeen) this.load();
  }

  // The way through an item, or the one that was looked at last.
  open(source) {
    this.#want = { ...this.#want, source, goal: "" };
    this.#shown = null;
  }

  focus() {
    const first = this.#lanes.querySelector("input") ?? this.#choice.querySelector("select");
    this.#isWanted = !first;
    first?.focus();
  }

  // One question at a time: the newest of what was turned meanwhile is asked next.
  async load() {
    if (this.#isAsking) return void (this.#isStale = true);
    this.#isAsking = true;
    this.#isStale = false;
    const edits = [...this.#turned].map(([address, value]) => ({ edit: "set", address, value }));
    try {
      const found = await this.#does.ask({ find: "levels", ...this.#want, edits });
      if (!edits.length === !this.#turned.size) this.#show(found, edits.length > 0);
    } catch (error) {
      this.#told.replaceChildren(error.parts ? refusal(error.parts) : error.message);
    }
    this.#isAsking = false;
    if (this.#isStale && this.#isSeen) this.load();
  }

  // --- what is turned ---

  #turn(input) {
    clearTimeout(this.#rest);
    const stops = this.#stops(input.dataset.control);
    const value = stops[Number(input.value)];
    this.#turned.set(input.dataset.control, value);
    this.#said(input, value);
    input.closest(".control").classList.add("is-tried");
    this.load();
  }

  #pressed(event) {
    this.#byKeys = event.target.matches("input");
    if (!this.#byKeys || !["Escape", "Enter"].includes(event.key)) return;
    event.preventDefault();
    if (event.key === "Enter") return this.#keep();
    clearTimeout(this.#rest);
    this.#turned.clear();
    this.#shown = null;
    this.load();
  }

  // A hand that lets go makes a step at once; keys do when they have rested.
  #letGo() {
    clearTimeout(this.#rest);
    if (this.#byKeys) this.#rest = setTimeout(() => this.#keep(), KEYS_REST_MS);
    else this.#keep();
  }

  async #keep() {
    clearTimeout(this.#rest);
    if (!this.#turned.size) return;
    const edits = [...this.#turned].map(([address, value]) => ({ edit: "set", address, value }));
    const words = edits.map((each) => `${each.address} ${figure(each.value)}`).join(", ");
    const isTaken = await this.#does.apply(edits, `Set: ${words}.`);
    for (const { address, value } of edits) if (this.#turned.get(address) === value) this.#turned.delete(address);
    if (!isTaken) this.#shown = null;
    this.load();
  }

  #stops(address) {
    return this.#shown.points.flatMap((each) => each.controls).find((each) => each.at === address).stops;
  }

  #said(input, value) {
    input.setAttribute("aria-valuetext", figure(value));
    input.closest(".control").querySelector("output").textContent = figure(value);
  }

  // --- what is shown ---

  #show(found, isTried) {
    const isSame = this.#shown && found.source === this.#shown.source && found.goal === this.#shown.goal && found.points.length === this.#shown.points.length;
    if (!found.points.length) {
      this.#shown = null;
      this.#choice.replaceChildren();
      this.#lanes.replaceChildren();
      this.#told.textContent = "No way carries a signal yet.";
      return;
    }
    this.#told.textContent = "";
    if (isTried && isSame) found.points.forEach((point, index) => (point.controls = keepStops(point.controls, this.#shown.points[index].controls)));
    this.#shown = found;
    this.#want = { source: found.source, goal: found.goal, band: found.band };
    this.#choices(found);
    if (!isSame) this.#draw(found);
    found.points.forEach((point) => this.#fill(point, isTried));
    if (this.#isWanted) this.focus();
    this.#isWanted = false;
  }

  #choices(found) {
    if (this.#choice.contains(document.activeElement) && this.#choice.children.length) return;
    const sources = found.sources.map((each) => [each.id, each.label]);
    const goals = found.goals.map((each) => [each.at, each.label]);
    const bands = [["", "all together"], ...found.bands.map((words, number) => [String(number), words])];
    this.#choice.replaceChildren(select("source", "From", sources, found.source), select("goal", "To", goals, found.goal), select("band", "Bands", bands, found.band ?? ""));
  }

  #chosen() {
    const value = (name) => this.#choice.elements[name].value;
    const goal = value("source") === this.#want.source ? value("goal") : "";
    this.#want = { source: value("source"), goal, band: value("band") === "" ? null : Number(value("band")) };
    this.#turned.clear();
    this.load();
  }

  #draw(found) {
    const rows = [];
    let [item, unit] = ["", ""];
    for (const point of found.points) {
      if (point.unit !== unit) rows.push(this.#scaleHead(point.unit, found.scales[point.unit]));
      if (point.item !== item) rows.push(el("li", {}, el("span", { class: "item" }, point.item)));
      [item, unit] = [point.item, point.unit];
      rows.push(this.#row(point));
    }
    this.#lanes.replaceChildren(...rows);
  }

  #scaleHead(unit, ticks) {
    const heads = el("span", { class: "figures" }, ...FIGURES.map((name) => el("span", {}, name)), el("span", {}, "headroom"));
    return el("li", { class: "scale-head" }, el("span", { class: "unit" }, unit), Lane.scale(ticks), heads);
  }

  #row(point) {
    const lane = new Lane();
    const figures = el("span", { class: "figures" }, ...FIGURES.map((name) => el("span", { "data-figure": name })), el("span", { class: "room" }));
    const controls = point.controls.map((control) => this.#control(control));
    const row = el("li", { "data-at": point.at }, el("span", { class: "named" }, point.point), lane.node, figures, ...controls);
    row.lane = lane;
    return row;
  }

  #control(control) {
    const id = `turn-${control.at}`;
    const input = el("input", { type: "range", id, min: "0", max: String(control.stops.length - 1), step: "1", "data-control": control.at, disabled: this.#state.may === "look" });
    return el("div", { class: "control" }, el("label", { for: id }, control.label, control.locked && el("span", { class: "sub" }, "locked for plans")), input, el("output", { for: id }));
  }

  #fill(point, isTried) {
    const row = [...this.#lanes.children].find((each) => each.dataset.at === point.at);
    row.lane.put(point.x);
    for (const name of FIGURES) row.querySelector(`[data-figure="${name}"]`).textContent = point[name];
    const room = row.querySelector(".room");
    room.textContent = point.room;
    room.classList.toggle("over", point.clips);
    for (const control of point.controls) {
      const input = row.querySelector(`[data-control="${CSS.escape(control.at)}"]`);
      if (this.#turned.has(control.at)) continue; // a hand is on it
      input.closest(".control").classList.remove("is-tried");
      if (!isTried) input.value = String(control.now);
      this.#said(input, control.value);
    }
  }
}

function select(name, title, options, chosen) {
  const id = `levels-${name}`;
  const nodes = options.map(([value, words]) => el("option", { value, selected: String(value) === String(chosen) }, words));
  return el("p", {}, el("label", { for: id }, title), el("select", { id, name }, ...nodes));
}

function keepStops(controls, before) {
  return controls.map((control, index) => ({ ...control, stops: before[index].stops }));
}
