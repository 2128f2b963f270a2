// Where a plug goes: the sockets that are free, each tried on a copy, best first; for an output also gear that is brought.

import { button, el, refusal, verdict, why } from "./dom.js";

export class Sockets {
  #dialog;
  #does;
  #plug = null; // {output, title, back, words: whether gear may be brought, link: its plug now}
  #asked = 0;
  #brought = ""; // the words that brought something last: the right side is often as the left one
  #list = el("ul", { class: "ways" });

  // does: {ask(question), apply(edits, words), drop(key)}
  constructor(dialog, does) {
    this.#dialog = dialog;
    this.#does = does;
    dialog.addEventListener("close", () => this.#plug?.back(this.#plug.isDone));
    this.#list.addEventListener("keydown", (event) => this.#stepped(event));
  }

  open(plug) {
    this.#plug = plug;
    const close = button("Close", () => this.#dialog.close(), { class: "plain" });
    const unplug = plug.link && button("Unplug it", () => this.#unplug(), { class: "plain" });
    this.#dialog.replaceChildren(el("h2", { id: "sockets-title" }, plug.title), plug.words ? this.#asker() : "", this.#list, unplug || "", " ", close);
    this.#dialog.showModal();
    this.#dialog.querySelector("input")?.select();
    this.#look("");
  }

  // What is not there yet: a few words bring it.
  #asker() {
    const field = el("input", { id: "bring", name: "bring", autocomplete: "off", spellcheck: "false", placeholder: "powered speaker, amplifier" });
    field.value = this.#brought;
    const form = el("form", { class: "bring" }, el("label", { for: "bring" }, "Into something new"), field, el("button", { type: "submit" }, "Try it"));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.#brought = field.value.trim();
      this.#look(this.#brought, { take: true });
    });
    return form;
  }

  async #look(text, { take = false } = {}) {
    const number = (this.#asked += 1);
    this.#list.replaceChildren(el("li", { class: "quiet", role: "status" }, text ? `Trying ${text}.` : "Trying the sockets that are free."));
    const find = this.#plug.words ? "ways-out" : "sockets";
    try {
      const found = await this.#does.ask({ find, output: this.#plug.output, text });
      if (number === this.#asked) this.#show(found, take);
    } catch (error) {
      if (number === this.#asked) this.#list.replaceChildren(el("li", { class: "refusal", role: "alert" }, error.parts ? refusal(error.parts) : error.message));
    }
  }

  #show(found, take) {
    const nothing = el("li", { class: "quiet" }, "Nothing that is there has a free socket for it.");
    this.#list.replaceChildren(...(found.length ? found.map((each) => this.#socket(each)) : [nothing]));
    if (take || !this.#plug.words) this.#list.querySelector("button:not([disabled])")?.focus();
  }

  #socket(each) {
    const into = each.into.map((port) => port.label).join(" and ");
    const words = each.is_here ? `${into}, where it is now` : into;
    const press = button(words, () => this.#pick(each, into), { disabled: each.is_here });
    return el("li", { class: each.verdict }, verdict(each.verdict), press, el("p", {}, why(each)));
  }

  #stepped(event) {
    const down = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (!down) return;
    const ways = [...this.#list.querySelectorAll("button:not([disabled])")];
    ways[ways.indexOf(document.activeElement) + down]?.focus();
    event.preventDefault();
  }

  async #pick(each, into) {
    if (!(await this.#does.apply(each.edits, `Plugged into ${into}.`))) return;
    this.#plug.isDone = true;
    this.#dialog.close();
  }

  async #unplug() {
    if (await this.#does.drop(this.#plug.link)) this.#dialog.close();
  }
}
