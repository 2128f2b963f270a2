// The gain plan beside what is set now, control by control; one press takes it over.

import { button, el, figure, refusal } from "./dom.js";
import { Waiting } from "./waiting.js";

export class Gains {
  #place;
  #does;
  #asked = 0;
  #waiting;

  // does: {ask(question), apply(edits, words)}
  constructor(place, does) {
    this.#place = place;
    this.#does = does;
    this.#waiting = new Waiting(does, () => this.load(), { anew: false });
  }

  // When the view opens, and when the show has changed while it is open.
  async load() {
    const asked = (this.#asked += 1);
    try {
      const plan = await this.#waiting.ask(this.#place, "Planning every gain.", { find: "gains" });
      if (plan && asked === this.#asked) this.#show(plan);
    } catch (error) {
      if (asked === this.#asked) this.#place.replaceChildren(el("div", { class: "refusal", role: "alert" }, error.parts ? refusal(error.parts) : error.message));
    }
  }

  #show(plan) {
    const moved = plan.edits?.length ?? 0;
    if (!plan.strips?.length) return this.#place.replaceChildren(el("p", { class: "quiet" }, "No control passes a signal yet."));
    const take = moved
      ? button(`Take over ${moved} ${moved === 1 ? "control" : "controls"}`, () => this.#does.apply(plan.edits, "The gain plan was taken over."), { id: "take-gains" })
      : el("p", { role: "status" }, "Everything stands where it goes.");
    const goals = plan.goals.map((each) => el("li", {}, el("b", {}, `${each.goal}: `), each.state, ...this.#list(each.mends)));
    const caution = plan.caution ? [el("p", { class: "caution" }, plan.caution)] : [];
    const first = plan.balance.map((each) => el("p", { class: "remark" }, el("b", {}, "First: "), each));
    const turns = plan.turns_on.length ? [el("h2", {}, "What it turns on"), ...this.#list(plan.turns_on)] : [];
    const how = el("p", { class: "sub" }, "Drawn: the ring is now, the disc and the pointer are the plan.");
    this.#place.replaceChildren(
      el("p", {}, plan.anchor), ...first, ...caution, take, how, this.#table(plan.strips),
      el("h2", {}, "Goals, each as far as those above it allow"), el("ol", {}, ...goals), ...turns);
  }

  #list(texts) {
    return texts.length ? [el("ul", {}, ...texts.map((text) => el("li", {}, text)))] : [];
  }

  #table(strips) {
    const titles = ["Control", "Set now", "Goes to", "Where a hand puts it", "Drawn", "Held by"];
    const head = el("thead", {}, el("tr", {}, ...titles.map((title) => el("th", { scope: "col" }, title))));
    const bodies = strips.map((each) => el("tbody", {},
      el("tr", {}, el("th", { scope: "rowgroup", colspan: 6 }, each.strip)),
      ...each.controls.map((row) => this.#row(row, each.strip))));
    return el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Gain plan" }, el("table", { class: "plain", id: "gains-table" }, head, ...bodies));
  }

  #row(row, strip) {
    const goes = row.moved ? el("b", {}, figure(row.planned)) : row.locked ? "stays, locked" : "stays";
    return el("tr", { "data-key": row.control },
      el("th", { scope: "row", "aria-label": `${strip}, ${row.label}` }, row.label),
      el("td", { "data-title": "Set now" }, figure(row.now)),
      el("td", { "data-title": "Goes to" }, goes),
      el("td", { "data-title": "By hand" }, row.hand),
      el("td", { class: "drawn" }, row.drawing && drawn(row.drawing)),
      el("td", { "data-title": "Held by" }, row.held));
  }
}

// The drawing of a control, as the server made it.
function drawn(svg) {
  return new DOMParser().parseFromString(svg, "text/html").body.firstElementChild;
}
