// Everything that can hurt, fails or wants care: harms first, each with its way out, one press each.

import { button, el, verdict } from "./dom.js";

const ORDER = ["harm", "fails", "depends", "care"];

// Rooms and areas stand in the plan, supplies with the stock, not in the list.
export const isOfThePlace = (finding) => /^(areas|room)(\.|$)/.test(finding.where);
export const isOfThePower = (finding) => finding.where.startsWith("supplies.");
const whither = (finding) => isOfThePlace(finding) ? "the plan" : isOfThePower(finding) ? "the supplies" : finding.place;

export class Findings {
  #place;
  #state;
  #does;
  #found = [];

  // does: {apply(edits, words), go(finding)}
  constructor(place, state, does) {
    this.#place = place;
    this.#state = state;
    this.#does = does;
  }

  draw() {
    const { results } = this.#state;
    if (!results) return this.#place.replaceChildren(el("p", { class: "quiet" }, "Being worked out."));
    if (results.error) return this.#place.replaceChildren(el("p", { class: "refusal" }, results.error));
    const [held, at] = this.#held();
    const open = new Set([...this.#place.querySelectorAll("details[open]")].map((each) => each.dataset.id));
    const found = [...results.findings].sort((a, b) => ORDER.indexOf(a.severity) - ORDER.indexOf(b.severity));
    this.#found = found;
    const list = el("ol", { class: "findings" }, ...found.map((each) => this.#one(each, open)));
    const nothing = el("p", {}, results.notes?.length ? "What was judged needs nobody's attention." : "Nothing here needs anybody's attention.");
    const notes = (results.notes ?? []).map((note) => el("p", { class: "unjudged" }, note));
    this.#place.replaceChildren(...notes, this.#ends(results), found.length ? list : nothing);
    if (held && !this.#hold(held)) this.focus(at);
  }

  // What the keyboard is on: the finding, its button, and how far down the list it stands.
  #held() {
    const line = this.#place.contains(document.activeElement) && document.activeElement.closest("li[data-id]");
    if (!line) return [null, 0];
    const press = document.activeElement.closest("button");
    return [{ id: line.dataset.id, words: press?.textContent }, [...line.parentElement.children].indexOf(line)];
  }

  #hold({ id, words }) {
    const line = [...this.#place.querySelectorAll("li[data-id]")].find((each) => each.dataset.id === id);
    const press = [...(line?.querySelectorAll("button") ?? [])].find((each) => each.textContent === words);
    (press ?? line)?.focus();
    return Boolean(line);
  }

  // The first way out of a finding, by its place in the list: that is what an empty hand takes next.
  focus(at = 0) {
    const lines = [...this.#place.querySelectorAll("li[data-id]")];
    const line = lines[Math.min(at, lines.length - 1)];
    (line?.querySelector(".remedies button") ?? line?.querySelector(".place"))?.focus();
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
      el("p", { class: "quiet" }, [`Address: ${finding.where}`, finding.settle_by && `Settle it: ${finding.settle_by}`, finding.source].filter(Boolean).join(". ")));
    return el("li", { "data-id": finding.id, class: finding.severity, tabindex: "-1" },
      verdict(finding.severity),
      el("p", { class: "what" }, finding.what),
      button(`Go to ${whither(finding)}`, () => this.#does.go(finding), { class: "place", title: finding.where }),
      caution, this.#remedies(finding), more);
  }

  #remedies(finding) {
    const untried = this.#state.progress?.stopped ? "Ways out were not tried: stopped." : "Ways out are being tried.";
    if (finding.remedies === null) return el("p", { class: "quiet" }, untried);
    if (!finding.remedies.length) return el("p", { class: "quiet" }, "No change of the plan that was tried mends it.");
    const items = finding.remedies.map((remedy) =>
      el("li", {}, button(remedy.said, () => this.#does.apply(remedy.edits, remedy.said), { title: remedy.do }), el("span", { class: "after" }, "then ", verdict(remedy.verdict_after))));
    return el("ul", { class: "remedies" }, ...items, this.#alike(finding) ?? "");
  }

  // Findings of one kind go together: the first way out of each of them, as one step that is taken back as one.
  #alike(finding) {
    const alike = this.#found.filter((each) => each.code === finding.code && each.severity === finding.severity && each.remedies?.length);
    if (alike.length < 2 || alike[0] !== finding) return null;
    const edits = together(alike.map((each) => each.remedies[0].edits));
    const words = `Do the first of each for all ${alike.length} findings like this`;
    return el("li", {}, button(words, () => this.#does.apply(edits, words)));
  }
}

// Edits of several ways out, each once; of two that set one thing differently the first stays.
function together(ways) {
  const place = (edit) => (edit.edit === "set" ? `set ${edit.address}` : JSON.stringify(edit));
  const kept = new Map();
  for (const edit of ways.flat()) if (!kept.has(place(edit))) kept.set(place(edit), edit);
  return [...kept.values()];
}

function number(value, unit) {
  if (value === null) return "–";
  return `${String(value).replace("-", "−")}${unit && unit !== "1" ? ` ${unit}` : ""}`;
}

function limit(each) {
  return each.limit === null ? "" : `limit ${number(each.limit, each.unit)}`;
}
