// The keyboard on the drawing: arrows go along the signal, from a box to its lead and on to the next box.

export class SignalKeys {
  #ground;
  #does;
  #drawn = { boxes: [], leads: [] };
  #at = null; // {item} or {lead}

  // does: {press(node), reveal(node), closer(factor), whole(), move(right, down)}
  constructor(ground, does) {
    this.#ground = ground;
    this.#does = does;
    ground.addEventListener("keydown", (event) => this.#pressed(event));
    ground.addEventListener("focusin", (event) => this.#came(event.target.closest("[role=button]")));
  }

  // Another drawing: the same place takes the keyboard there, else the first box that gives something.
  put(drawn, hadKeyboard) {
    this.#drawn = drawn;
    const first = drawn.boxes.find((box) => drawn.leads.some((lead) => lead.from === box.id)) ?? drawn.boxes[0];
    const node = (this.#at && this.#node(this.#at)) ?? this.#node({ item: first?.id });
    if (!node) return;
    node.setAttribute("tabindex", "0");
    if (hadKeyboard) node.focus({ preventScroll: true });
  }

  go(place) {
    const node = this.#node(place);
    if (!node) return;
    node.focus({ preventScroll: true });
    this.#does.reveal(node);
  }

  #came(node) {
    if (!node) return;
    for (const each of this.#ground.querySelectorAll('[tabindex="0"]')) each.setAttribute("tabindex", "-1");
    node.setAttribute("tabindex", "0");
    this.#at = node.dataset.lead ? { lead: node.dataset.lead } : { item: node.dataset.item };
  }

  #node({ item, lead }) {
    const [name, value] = lead ? ["lead", lead] : ["item", item];
    return value ? this.#ground.querySelector(`g[data-${name}="${CSS.escape(value)}"]`) : null;
  }

  #pressed(event) {
    const node = event.target.closest("[role=button]");
    if (!node || event.ctrlKey || event.metaKey || event.altKey) return;
    const pans = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    if (event.shiftKey && pans[event.key]) this.#does.move(...pans[event.key]);
    else if (pans[event.key]) this.#step(event.key);
    else if (event.key === "Enter" || event.key === " ") this.#does.press(node);
    else if (event.key === "+" || event.key === "=") this.#does.closer(1.25);
    else if (event.key === "-") this.#does.closer(0.8);
    else if (event.key === "0") this.#does.whole();
    else if (event.key === "Home") this.go({ item: this.#drawn.boxes[0].id });
    else if (event.key === "End") this.go({ item: this.#drawn.boxes.at(-1).id });
    else return;
    event.preventDefault();
  }

  #step(key) {
    const next = this.#at.lead ? this.#fromLead(key) : this.#fromBox(key);
    if (next) this.go(next);
  }

  #fromBox(key) {
    const { item } = this.#at;
    if (key === "ArrowRight") return this.#leads((each) => each.from === item, "first")[0];
    if (key === "ArrowLeft") return this.#leads((each) => each.to === item, "last")[0];
    return this.#beside(item, key === "ArrowDown" ? 1 : -1);
  }

  #fromLead(key) {
    const lead = this.#drawn.leads.find((each) => each.id === this.#at.lead);
    if (!lead) return null;
    if (key === "ArrowRight") return { item: lead.to };
    if (key === "ArrowLeft") return { item: lead.from };
    const out = this.#leads((each) => each.from === lead.from, "first");
    const beside = out.length > 1 ? out : this.#leads((each) => each.to === lead.to, "last");
    const at = beside.findIndex((each) => each.lead === lead.id);
    return beside[at + (key === "ArrowDown" ? 1 : -1)];
  }

  // Leads from the uppermost socket down.
  #leads(isOne, end) {
    const height = (lead) => {
      const line = this.#node({ lead }).querySelector(".lead");
      return line.getPointAtLength(end === "first" ? 0 : line.getTotalLength()).y;
    };
    const found = this.#drawn.leads.filter(isOne).map((each) => ({ lead: each.id, y: height(each.id) }));
    return found.sort((one, other) => one.y - other.y);
  }

  // The next box in the column, else the next one in the order of the signal.
  #beside(item, down) {
    const place = (name) => this.#node({ item: name }).querySelector(".box").getBBox();
    const own = place(item);
    const column = this.#drawn.boxes.filter((each) => place(each.id).x === own.x);
    const index = column.findIndex((each) => each.id === item) + down;
    const order = this.#drawn.boxes;
    const next = column[index] ?? order[order.findIndex((each) => each.id === item) + down];
    return next ? { item: next.id } : null;
  }
}
