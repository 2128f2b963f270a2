// Everything that can hurt, fails or wants care: harms first, each with its way out, one press each.

import { button, el, verdict } from "./dom.js";

const ORDER = ["harm", "fails", "depends", "care"];

export class Findings {
  #place;
  #state;
  #does;

  // does: {apply(edits, words), go(address)}
  constructor(place, state, does) {
    this.#place = place;
    this.#state = state;
    this.#does = does;
  }

  draw() {
    const { results } = this.#state;
    if (!results) return this.#place.replaceChildren(el("p", { class: "quiet" }, "Being worked out."));
    if (results.error) return this.#place.replaceChildren(el("p", { class: "refusal" }, results.error));
    const open = new Set([...this.#place.querySelectorAll("details[open]")].map((each) => each.dataset.id));
    const focused = document.activeElement?.closest("[data-id]")?.dataset.id;
    const found = [...results.findings].sort((a, b) => ORDER.indexOf(a.severity) - ORDER.indexOf(b.severity));
    const list = el("ol", { class: "findings" }, ...found.map((each) => this.#one(each, open)));
    const nothing = el("p", {}, "Nothing here needs anybody's attention.");
    this.#place.replaceChildren(this.#ends(results), found.length ? list : nothing);
    if (focused && !this.#place.contains(document.activeElement)) this.#focus(focused);
  }

  // Show what stands against a row: the first finding that touches one of these names.
  show(names) {
    const hit = this.#state.results?.findings?.find((each) =>
      [each.where, ...each.ports].some((place) => names.some((name) => place === name || place.startsWith(`${name}.`))),
    );
    if (hit) this.#focus(hit.id);
    return Boolean(hit);
  }

  #focus(id) {
    const node = [...this.#place.querySelectorAll("li")].find((each) => each.dataset.id === id);
    node?.querySelector("details")?.setAttribute("open", "");
    node?.focus();
    node?.scrollIntoView({ block: "nearest" });
  }

  #ends(results) {
    const lines = (results.depends_on ?? []).map((each) => {
      const ways = (each.branches ?? []).map((way) => `${way.value}: ${way.verdict}`).join(", ");
      return el("li", {}, `${each.ask ?? each.input} ${ways}`);
    });
    return lines.length ? el("section", {}, el("h3", {}, "Questions"), el("ul", {}, ...lines)) : "";
  }

  #one(finding, open) {
    const caution = finding.caution && el("p", { class: "caution" }, finding.caution);
    const rows = finding.why.map((each) => el("tr", {},
      el("th", { scope: "row" }, each.name), el("td", {}, number(each.value, each.unit)), el("td", {}, limit(each))));
    const figures = rows.length > 0 && el("table", { class: "why" }, ...rows);
    const more = el("details", { "data-id": finding.id, open: open.has(finding.id) }, el("summary", {}, "Figures"), figures,
      el("p", { class: "quiet" }, [finding.settle_by && `Settle it: ${finding.settle_by}`, finding.source].filter(Boolean).join(". ")));
    return el("li", { "data-id": finding.id, class: finding.severity, tabindex: "-1" },
      verdict(finding.severity),
      el("p", { class: "what" }, finding.what),
      button(`Go to ${finding.where}`, () => this.#does.go(finding), { class: "place" }),
      caution, this.#remedies(finding), more);
  }

  #remedies(finding) {
    if (finding.remedies === null) return el("p", { class: "quiet" }, "Ways out are being tried.");
    if (!finding.remedies.length) return el("p", { class: "quiet" }, "No change of the plan that was tried mends it.");
    const items = finding.remedies.map((remedy) =>
      el("li", {}, button(remedy.do, () => this.#does.apply(remedy.edits, remedy.do)), el("span", { class: "after" }, "then ", verdict(remedy.verdict_after))));
    return el("ul", { class: "remedies" }, ...items);
  }
}

function number(value, unit) {
  if (value === null) return "–";
  return `${String(value).replace("-", "−")}${unit && unit !== "1" ? ` ${unit}` : ""}`;
}

function limit(each) {
  return each.limit === null ? "" : `limit ${number(each.limit, each.unit)}`;
}
