// What stands behind a box or a lead of the drawing: findings first, then plugs, settings, levels, figures.

import { button, el, figure, refusal, verdict } from "./dom.js";

export class Part {
  #place;
  #state;
  #does;
  #shown = null; // {item} or {lead, links, title}, or {folded, items, title}
  #asked = 0;
  #isWanted = false; // whether the keyboard goes there once it stands

  // does: {ask(question), close(), go(place), list(names), fold(item, isFolded), levels(point), foldable(item) -> {count, isFolded} or null}
  constructor(place, state, does) {
    this.#place = place;
    this.#state = state;
    this.#does = does;
    place.addEventListener("keydown", (event) => {
      if (event.key !== "Escape") return;
      event.preventDefault();
      does.close();
    });
  }

  get shown() {
    return this.#shown;
  }

  close() {
    this.#shown = null;
    this.#isWanted = false;
    this.#asked += 1;
    this.#place.hidden = true;
    this.#place.replaceChildren();
  }

  async show(what, { focus = true } = {}) {
    this.#shown = what;
    const asked = (this.#asked += 1);
    this.#isWanted ||= focus;
    const open = new Set([...this.#place.querySelectorAll("details[open]")].map((each) => each.dataset.name));
    let content;
    try {
      content = what.items ? this.#folded(what) : what.lead ? await this.#lead(what) : await this.#item(what);
    } catch (error) {
      content = [this.#head(what.title ?? what.item), el("div", { class: "refusal", role: "alert" }, error.parts ? refusal(error.parts) : error.message)];
    }
    if (asked !== this.#asked) return;
    const held = this.#place.contains(document.activeElement) && document.activeElement.textContent;
    this.#place.hidden = false;
    this.#place.replaceChildren(...content.filter(Boolean));
    for (const each of this.#place.querySelectorAll("details")) each.open = open.has(each.dataset.name);
    if (this.#isWanted) this.#place.querySelector("h2").focus({ preventScroll: true });
    else if (held) ([...this.#place.querySelectorAll("button, summary")].find((each) => each.textContent === held) ?? this.#place.querySelector("h2")).focus();
    this.#isWanted = false;
  }

  #head(title, type) {
    const close = button("Close", () => this.#does.close(), { class: "plain" });
    return el("header", {}, el("div", {}, el("h2", { tabindex: "-1" }, title), type && type !== title && el("p", { class: "quiet" }, type)), close);
  }

  // --- what was pressed ---

  async #item({ item }) {
    const part = await this.#does.ask({ find: "part", item });
    const may = this.#does.foldable(item);
    const fold = may && button(may.isFolded ? "Unfold what feeds it" : `Fold the ${may.count} that feed it alone`, () => this.#does.fold(item, !may.isFolded), { class: "plain" });
    return [
      this.#head(part.title, part.type), this.#findings([item]), fold && el("p", {}, fold), this.#plugs(part), this.#settings(part.settings),
      this.#levels(part), this.#figures(part.figures),
    ];
  }

  async #lead({ links, title }) {
    const { cables } = await this.#does.ask({ find: "lead", links });
    const places = cables.flatMap((each) => each.ends.map((end) => end.at));
    const lines = cables.map((each) => el("li", {},
      el("b", {}, `Lead ${each.number}: `), each.cable, each.lost_db !== null && el("span", { class: "quiet" }, `, ${each.lost_db} dB lost`), el("br"),
      ...each.ends.flatMap((end, index) => [index ? " to " : "", this.#way(end.words, { item: end.item })])));
    const levels = cables.length === 1 && cables[0].levels.length > 0 && this.#levelTable(cables[0].levels);
    return [this.#head(title), this.#findings(places), el("h3", {}, cables.length > 1 ? "Cables" : "Cable"), el("ul", {}, ...lines), levels && el("h3", {}, "Levels"), levels];
  }

  #folded({ items, title, before }) {
    const open = button("Unfold", () => this.#does.fold(before, false), { class: "plain" });
    const labels = this.#state.tables.items ?? {};
    return [this.#head(title), this.#findings(items), el("p", {}, open), el("ul", {}, ...items.map((item) => el("li", {}, labels[item]?.label || item)))];
  }

  // --- its parts ---

  #findings(names) {
    const touches = (place) => names.some((name) => place === name || place.startsWith(`${name}.`));
    const found = (this.#state.results?.findings ?? []).filter((each) => [each.where, ...each.ports].some(touches));
    const lines = found.map((each) => el("li", {}, verdict(each.severity), el("br"), each.what, el("br"),
      button("Show it in the list of findings", () => this.#does.list([each.where]), { class: "way" })));
    return lines.length ? el("ul", { "aria-label": "Findings" }, ...lines) : el("p", { class: "quiet" }, "Nothing here needs attention.");
  }

  #way(words, place) {
    return button(words, () => this.#does.go(place), { class: "way" });
  }

  #plugs({ plugs, free }) {
    const lines = plugs.map((each) => {
      const ends = each.others.flatMap((end) => [this.#way(end.words, { item: end.item }), " "]);
      return el("li", {}, el("b", {}, each.socket), each.gives ? " to " : " from ", ...ends, el("br"), el("span", { class: "quiet" }, `${each.cable}, lead ${each.lead}`));
    });
    const rest = free > 0 && el("p", { class: "quiet" }, `${free} ${free === 1 ? "socket is" : "sockets are"} free.`);
    return el("section", {}, el("h3", {}, "Plugged in"), el("ul", {}, ...lines), rest);
  }

  #settings(rows) {
    if (!rows.length) return null;
    const lines = rows.map((each) => el("tr", {}, el("th", { scope: "row" }, each.control),
      el("td", { class: each.is_set ? "" : "is-usual" }, figure(each.value), each.is_locked && " (locked)", each.hand && el("span", { class: "sub" }, each.hand))));
    const set = rows.filter((each) => each.is_set).length;
    return el("details", { "data-name": "settings" }, el("summary", {}, `Settings: ${set} set, ${rows.length - set} as they come`), el("table", {}, ...lines));
  }

  #levels({ id, levels }) {
    if (!levels.length) return el("p", { class: "quiet" }, "No signal passes here.");
    const open = button("The level picture through it", () => this.#does.levels(id), { class: "way" });
    return el("details", { "data-name": "levels" }, el("summary", {}, `Levels at ${levels.length} ${levels.length === 1 ? "point" : "points"}`), this.#levelTable(levels), el("p", {}, open));
  }

  #levelTable(levels) {
    const heads = ["Point", "Nominal", "Peak", "Ceiling", "Headroom [dB]"];
    const head = el("tr", {}, ...heads.map((title, index) => el("th", { scope: "col", class: index ? "figure" : "" }, title)));
    const rows = levels.map((each) => el("tr", {}, el("th", { scope: "row" }, each.at, el("span", { class: "sub" }, each.unit)),
      ...["nominal", "peak", "ceiling", "headroom"].map((name) => el("td", { class: "figure" }, each[name]))));
    return el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Levels" }, el("table", {}, el("thead", {}, head), el("tbody", {}, ...rows)));
  }

  #figures(rows) {
    if (!rows.length) return null;
    const lines = rows.map((each) => el("tr", {}, el("th", { scope: "row" }, each.socket), el("td", {}, `${each.figure}: ${each.value}`, el("span", { class: "sub" }, each.source))));
    return el("details", { "data-name": "figures" }, el("summary", {}, "Figures of the sockets in use"), el("table", {}, ...lines));
  }
}
