// What the air makes of the layout: the map's legend, what is at a seat, a line each on areas and feedback.

import { button, el, figure, refusal, verdict } from "../build/dom.js";
import { Waiting } from "../build/waiting.js";

const SETTLE_MS = 300; // after a step, before it is asked for
const UNITS = { level: "dB(A)", speech: "" };
const RATED = ["bad, ", "poor, ", "fair, ", "good, ", "excellent, "];
const MARKS = { fails: "Fails", care: "Care" };

const unit = (shown) => UNITS[shown] ?? "dB SPL";

export class PlanSeats {
  map = null;
  shown = "level";
  #parts;
  #does;
  #asked = 0;
  #timer = 0;
  #wanted = null; // revision that was asked for last

  // parts: {legend, read, lines, moves, found}; does: {ask(question), apply(edits, words), redraw()}
  constructor(parts, does) {
    this.#parts = parts;
    this.#does = does;
  }

  // The map of a state, once it stays as it is for a moment.
  want(revision) {
    if (this.#wanted === `${revision} ${this.shown}`) return;
    this.#wanted = `${revision} ${this.shown}`;
    clearTimeout(this.#timer);
    this.#parts.lines.setAttribute("aria-busy", "true");
    this.#timer = setTimeout(() => this.#ask(), this.map ? SETTLE_MS : 0);
  }

  async #ask() {
    const asked = (this.#asked += 1);
    try {
      const map = await this.#does.ask({ find: "seats-map", text: this.shown === "none" ? "level" : this.shown });
      if (asked !== this.#asked) return;
      this.map = map.areas ? map : null;
      this.#tell(map);
    } catch (error) {
      if (asked !== this.#asked) return;
      this.map = null;
      this.#parts.lines.replaceChildren(el("div", { class: "refusal", role: "alert" }, error.parts ? refusal(error.parts) : error.message));
    }
    this.#parts.lines.removeAttribute("aria-busy");
    this.#does.redraw();
  }

  get areas() {
    return this.shown === "none" ? [] : (this.map?.areas ?? []);
  }

  #tell(map) {
    this.#legend(map);
    this.#parts.moves.replaceChildren();
    if (!map.areas) return this.#parts.lines.replaceChildren();
    const lines = map.lines.map(said);
    const remarks = map.remarks.filter((each) => each.severity === "fails" || !map.lines.length);
    const assumed = map.remarks.filter((each) => !remarks.includes(each));
    this.#parts.lines.replaceChildren(
      ...remarks.map((each) => el("p", { class: "remark" }, el("b", {}, `${MARKS[each.severity] ?? ""}: `), `${each.what}.`)),
      ...lines, ...(map.feedback ? [said(map.feedback), this.#buys()] : []),
      assumed.length ? el("details", {}, el("summary", {}, `Assumed: ${assumed.length}`), el("ul", {}, ...assumed.map((each) => el("li", {}, each.what)))) : "");
  }

  #buys() {
    const press = button("Try what buys most before feedback", async () => {
      press.disabled = true;
      const waiting = new Waiting(this.#does, () => press.click());
      const moves = await waiting.ask(this.#parts.moves, "Trying single moves.", { find: "ring-moves" }).catch(() => []);
      press.disabled = false;
      if (!moves) return;
      const items = moves.map((each) => el("li", {}, el("b", {}, `${each.buys_db.toFixed(1)} dB `), each.edits.length ? button(each.do, () => this.#does.apply(each.edits, each.do)) : each.do));
      this.#parts.moves.replaceChildren(items.length ? el("ul", { class: "remedies" }, ...items) : el("p", {}, "No single move that was tried buys anything."));
    }, { class: "plain" });
    return press;
  }

  // What was judged of the air: each with the ways out that were tried.
  found(findings) {
    const air = findings.filter((each) => each.family === "air");
    this.#parts.found.replaceChildren(...air.map((each) => el("li", {}, verdict(each.severity), el("p", { class: "what" }, each.what), this.#waysOut(each))));
  }

  #waysOut(finding) {
    const items = (finding.remedies ?? []).map((way) => el("li", {}, button(way.do, () => this.#does.apply(way.edits, way.do)), el("span", { class: "after" }, "then ", verdict(way.verdict_after))));
    return items.length ? el("ul", { class: "remedies" }, ...items) : "";
  }

  #legend({ limits = [], areas = [] }) {
    const hidden = this.shown === "none" || !areas.some((area) => area.steps.length);
    const ranges = limits.length ? [`below ${limits[0]}`, ...limits.slice(1).map((high, index) => `${limits[index]} to ${high}`), `${limits.at(-1)} and more`] : ["all alike"];
    const items = ranges.map((text, step) => el("li", {}, el("span", { class: `tone s${step}`, "aria-hidden": "true" }), `${this.shown === "speech" ? RATED[step] : ""}${text}`));
    this.#parts.legend.replaceChildren(...(hidden ? [] : [el("span", {}, this.shown === "speech" ? "Speech transmission index" : `Level, ${unit(this.shown)}`), el("ul", {}, ...items)]));
  }

  // What is heard at the seat nearest to a place of the plan; nothing away from seats.
  at([right, into]) {
    for (const area of this.areas) {
      const index = nearest(area, right, into);
      if (index >= 0) return seat(area, index, this.shown);
    }
    return "";
  }
}

function said({ what, next }) {
  return el("p", {}, what, next ? el("span", { class: "next" }, el("b", {}, " Next: "), next) : "");
}

function nearest(area, right, into) {
  const [wide, deep] = area.size ?? [1.5, 1.5];
  return area.right.findIndex((each, index) => Math.abs(each - right) <= wide / 2 && Math.abs(area.into[index] - into) <= deep / 2);
}

export function seat(area, index, shown) {
  const told = [`${area.level[index].toFixed(1)} dB(A)`];
  if (!["level", "speech", "none"].includes(shown)) told.push(`${area.figures[index]} dB SPL at ${shown} Hz`);
  if (area.direct) told.push(`straight over reverberant sound ${figure(area.direct[index].toFixed(1))} dB`);
  if (area.sti) told.push(`STI ${area.sti[index].toFixed(2)}`);
  const where = `${Math.abs(area.right[index]).toFixed(1)} m ${area.right[index] < 0 ? "left" : "right"}, ${area.into[index].toFixed(1)} m into the hall`;
  return `${area.name}, ${where}: ${told.join("; ")}`;
}
