// The drawing of the show: as the signal flows, as it is wired, or as a list in the order of the signal.

import { button, el, refusal, say, verdict } from "./dom.js";
import { PanZoom } from "./panzoom.js";
import { Part } from "./part.js";
import { SignalKeys } from "./signal_keys.js";

const SHAPES = { flow: "Flow", wiring: "Wiring", list: "List" };
const BEFORE = "before "; // heads the name of a box into which something is folded

export class Drawing {
  #state;
  #does;
  #place;
  #ground = el("div", { class: "ground" });
  #list = el("ol", { class: "signal-list" });
  #told = el("div", { class: "status quiet", role: "status" });
  #folds = el("span");
  #panZoom = new PanZoom(this.#ground);
  #keys;
  #part;
  #shape = matchMedia("(max-width: 50rem)").matches ? "list" : "flow";
  #fold = new Set();
  #drawn = null;
  #print = "";
  #isAsking = false;
  #isStale = false;
  #isWanted = false;

  // does: {ask(question), list(names of what findings are at), levels(point)}
  constructor(place, state, does) {
    this.#place = place;
    this.#state = state;
    this.#does = does;
    const side = el("section", { class: "part", hidden: true, "aria-label": "What was pressed" });
    place.classList.add("drawing");
    place.replaceChildren(this.#tools(), this.#told, this.#ground, this.#list, side);
    this.#keys = new SignalKeys(this.#ground, {
      press: (node) => this.#pressed(node), reveal: (node) => this.#panZoom.reveal(node), closer: (factor) => this.#panZoom.closer(factor),
      whole: () => this.#panZoom.whole(), move: (right, down) => this.#panZoom.move(right, down),
    });
    this.#part = new Part(side, state, {
      ask: does.ask, list: does.list, levels: does.levels, close: () => this.#closed(), go: (at) => this.#go(at),
      fold: (item, isFolded) => this.#folded(item, isFolded), foldable: (item) => this.#foldable(item),
    });
    this.#ground.addEventListener("click", (event) => event.target.closest("[role=button]") && this.#pressed(event.target.closest("[role=button]")));
    new ResizeObserver(() => this.#isSeen && this.#fill()).observe(document.body);
    this.#show();
  }

  get #isSeen() {
    return !this.#place.closest("[data-view]").hidden;
  }

  hear(news) {
    if (!["snapshot", "caught-up", "patch", "results"].includes(news.kind)) return;
    if (this.#isSeen) this.load();
    else this.#isStale = true;
  }

  // When the view opens, and when the show has changed while it is open; one question at a time.
  async load() {
    if (this.#isAsking) return void (this.#isStale = true);
    this.#isAsking = true;
    this.#isStale = false;
    this.#fill();
    if (!this.#drawn) this.#told.textContent = "Being drawn.";
    try {
      const view = this.#shape === "wiring" ? "wiring" : "flow";
      const drawn = await this.#does.ask({ find: "drawing", view, fold: [...this.#fold], has: this.#print });
      this.#put(drawn);
    } catch (error) {
      this.#told.replaceChildren(error.parts ? refusal(error.parts) : error.message);
    }
    this.#isAsking = false;
    if (this.#isStale && this.#isSeen) this.load();
  }

  // The keyboard comes along once something is drawn.
  focus() {
    this.#isWanted = !this.#drawn;
    if (this.#shape === "list") this.#list.querySelector("button")?.focus();
    else this.#ground.querySelector('[tabindex="0"]')?.focus({ preventScroll: true });
  }

  // --- what is drawn ---

  #put(drawn) {
    if (!drawn.boxes) return void (this.#told.textContent = "There is nothing to draw until the errors in the text are mended.");
    this.#drawn = drawn;
    this.#told.textContent = drawn.boxes.length ? "" : "Nothing is in the show yet.";
    const hadKeyboard = this.#ground.contains(document.activeElement);
    if (drawn.svg) {
      const svg = document.importNode(new DOMParser().parseFromString(drawn.svg, "image/svg+xml").documentElement, true);
      this.#ground.replaceChildren(svg);
      this.#panZoom.put(svg);
      this.#keys.put(drawn, hadKeyboard);
      this.#print = drawn.print;
    }
    this.#drawFolds();
    this.#drawList();
    this.#mark();
    if (this.#isWanted) this.focus();
    const { shown } = this.#part;
    if (!shown) return;
    if (this.#has(shown)) this.#part.show(shown, { focus: false });
    else this.#closed();
  }

  #has({ item, lead, name }) {
    return lead ? this.#drawn.leads.some((each) => each.id === lead) : this.#drawn.boxes.some((each) => each.id === (name ?? item));
  }

  // As high as the window leaves room, above what is left.
  #fill() {
    const top = this.#ground.getBoundingClientRect().top + scrollY;
    const below = document.querySelector(".left-over").offsetHeight + 12;
    if (top > 0) this.#place.style.setProperty("--room", `${Math.max(innerHeight - top - below, 320)}px`);
  }

  #tools() {
    const shapes = Object.entries(SHAPES).map(([name, words]) => button(words, () => this.#turn(name), { class: "plain", "data-shape": name }));
    const zoom = [["Closer", () => this.#panZoom.closer(1.25)], ["Further", () => this.#panZoom.closer(0.8)], ["Whole", () => this.#panZoom.whole()]];
    return el("div", { class: "tools" }, el("span", { class: "choice", role: "group", "aria-label": "Drawn as" }, ...shapes), this.#folds,
      el("span", { class: "apart", role: "group", "aria-label": "Size" }, ...zoom.map(([words, press]) => button(words, press, { class: "plain" }))));
  }

  #turn(shape) {
    if (this.#shape === shape) return;
    this.#shape = shape;
    this.#panZoom.first();
    this.#show();
    this.load();
  }

  #show() {
    const isList = this.#shape === "list";
    for (const node of this.#place.querySelectorAll("[data-shape]")) node.setAttribute("aria-pressed", node.dataset.shape === this.#shape);
    this.#ground.hidden = isList;
    this.#list.hidden = !isList;
    this.#folds.hidden = isList;
    this.#place.querySelector(".apart").hidden = isList;
  }

  // --- folding ---

  #drawFolds() {
    const most = [...this.#drawn.foldable].sort((one, other) => other.count - one.count)[0];
    const open = [...this.#fold].filter((item) => this.#drawn.folded.includes(item));
    if (open.length) this.#folds.replaceChildren(button(open.length > 1 ? "Unfold all" : "Unfold", () => this.#unfoldAll(), { class: "plain" }));
    else if (most) this.#folds.replaceChildren(button(`Fold the ${most.count} before ${most.label}`, () => this.#folded(most.item, true), { class: "plain" }));
    else this.#folds.replaceChildren();
  }

  #foldable(item) {
    const may = this.#drawn.foldable.find((each) => each.item === item);
    return may && { count: may.count, isFolded: this.#fold.has(item) };
  }

  #folded(item, isFolded) {
    if (isFolded) this.#fold.add(item);
    else this.#fold.delete(item);
    this.load();
  }

  #unfoldAll() {
    this.#fold.clear();
    this.load();
  }

  // --- what is pressed ---

  #pressed(node) {
    const { item, lead, links } = node.dataset;
    if (lead) this.#part.show({ lead, links: links.split(" "), title: node.getAttribute("aria-label").split(".")[0] });
    else this.#open(item);
    this.#opened();
  }

  #open(name, options) {
    const box = this.#drawn.boxes.find((each) => each.id === name);
    if (box?.items.length) this.#part.show({ name, items: box.items, title: box.title, before: name.slice(BEFORE.length) }, options);
    else this.#part.show({ item: name }, options);
  }

  #opened() {
    this.#panZoom.hold();
    this.#place.classList.add("has-part");
    this.#mark();
    const { item, lead, name } = this.#part.shown;
    const node = this.#ground.querySelector(lead ? `g[data-lead="${CSS.escape(lead)}"]` : `g[data-item="${CSS.escape(name ?? item)}"]`);
    if (node && this.#shape !== "list") requestAnimationFrame(() => this.#panZoom.reveal(node));
  }

  #closed() {
    const { shown } = this.#part;
    this.#part.close();
    this.#place.classList.remove("has-part");
    this.#panZoom.letGo();
    this.#mark();
    if (!shown) return;
    if (this.#shape === "list") this.#list.querySelector(`[data-item="${CSS.escape(shown.item ?? "")}"] button`)?.focus();
    else this.#keys.go(shown.lead ? { lead: shown.lead } : { item: shown.name ?? shown.item });
  }

  // Another thing, from the words about this one: what holds it, if it is folded away.
  #go({ item }) {
    const holder = this.#drawn.boxes.find((each) => each.id === item || each.items.includes(item));
    if (!holder) return;
    this.#open(holder.id);
    this.#opened();
    say(holder.title);
  }

  #mark() {
    const { item, lead, name } = this.#part.shown ?? {};
    const box = name ?? item;
    for (const node of this.#ground.querySelectorAll(".is-chosen, .is-near")) node.classList.remove("is-chosen", "is-near");
    if (lead) this.#ground.querySelector(`g[data-lead="${CSS.escape(lead)}"]`)?.classList.add("is-chosen");
    if (!box) return;
    this.#ground.querySelector(`g[data-item="${CSS.escape(box)}"]`)?.classList.add("is-chosen");
    for (const each of this.#drawn?.leads ?? []) {
      if (each.from === box || each.to === box) this.#ground.querySelector(`g[data-lead="${CSS.escape(each.id)}"]`)?.classList.add("is-near");
    }
  }

  // --- the list ---

  #drawList() {
    const held = this.#list.contains(document.activeElement) && document.activeElement.textContent;
    this.#list.replaceChildren(...this.#drawn.boxes.map((box) => this.#line(box)));
    if (held) [...this.#list.querySelectorAll("button")].find((each) => each.textContent === held)?.focus();
  }

  #line(box) {
    const thing = button("", () => (this.#open(box.id), this.#opened()), { class: "thing" });
    thing.append(el("span", {}, box.title, box.notes.length > 0 && el("span", { class: "sub" }, box.notes.join(", "))), box.mark ? verdict(box.mark) : "");
    const ways = this.#drawn.leads.filter((each) => each.from === box.id);
    const lines = ways.map((each) => el("li", {}, button(`to ${each.to_words}${each.links.length > 1 ? ` and ${each.links.length - 1} more` : ""}`, () => this.#jump(each.to)), each.mark ? verdict(each.mark) : ""));
    return el("li", { "data-item": box.id }, thing, lines.length > 0 && el("ul", { class: "ways" }, ...lines));
  }

  #jump(name) {
    const line = this.#list.querySelector(`[data-item="${CSS.escape(name)}"]`);
    line?.scrollIntoView({ block: "center" });
    line?.querySelector("button").focus();
  }
}
