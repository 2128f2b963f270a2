// "One more...": what is named joins the show by one pick; and where a plug may go, each socket judged.

import { button, el, refusal, verdict } from "./dom.js";

export class More {
  #form;
  #place;
  #does;
  #number = 0;

  // does: {ask(question), apply(edits, words)}
  constructor(form, place, does) {
    this.#form = form;
    this.#place = place;
    this.#does = does;
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.#ask(new FormData(form).get("more").trim());
    });
  }

  async #ask(text) {
    if (!text) return this.#place.replaceChildren();
    const number = (this.#number += 1);
    this.#place.replaceChildren(el("p", { class: "quiet", role: "status" }, `Trying ${text} in the sockets that are free.`));
    try {
      const found = await this.#does.ask({ find: "more", text });
      if (number === this.#number) this.#show(found);
    } catch (error) {
      if (number === this.#number) this.#place.replaceChildren(el("div", { class: "refusal", role: "alert" }, error.parts ? refusal(error.parts) : error.message));
    }
  }

  #show(found) {
    const close = button("Close", () => this.#close(), { class: "plain" });
    const heading = el("h2", { tabindex: "-1" }, `One more: ${found.understood.join(" or ") || found.asked}`);
    const ways = found.proposals.map((each) => this.#way(each, each.edits));
    const frees = found.frees.map((each) => this.#way(each.then, [...each.edits, ...each.then.edits], each.do));
    const why = found.why_not && el("p", {}, found.why_not);
    this.#place.replaceChildren(el("div", { class: "offer" }, heading, close, why, el("ul", { class: "ways" }, ...ways, ...frees)));
    heading.focus();
  }

  #way(each, edits, before = "") {
    const into = each.into.map((port) => port.label).join(" and ");
    const needs = [...each.needs, ...each.not_in_stock.map((thing) => `not in stock: ${thing}`)];
    const elsewhere = each.worse_elsewhere.map((finding) => `worse elsewhere: ${finding.what}`);
    const words = `${before ? `${before}, then ` : ""}${each.what} into ${into}`;
    return el("li", { class: each.verdict }, verdict(each.verdict),
      button(words, () => this.#pick(edits, words)),
      el("p", {}, [each.why, needs.length && `Needs ${needs.join(", ")}.`, ...elsewhere].filter(Boolean).join(" ")));
  }

  async #pick(edits, words) {
    if (await this.#does.apply(edits, words)) this.#close();
  }

  #close() {
    this.#place.replaceChildren();
    this.#form.elements.more.value = "";
    this.#form.elements.more.focus();
  }
}

// Where the plug of a row goes: every kind of socket that is free, tried on a copy, best first.
export class Sockets {
  #dialog;
  #does;

  constructor(dialog, does) {
    this.#dialog = dialog;
    this.#does = does;
    dialog.addEventListener("close", () => this.back?.());
  }

  async open(row, output) {
    const list = el("ul", { class: "ways" }, el("li", { class: "quiet" }, "Trying the sockets that are free."));
    const close = button("Close", () => this.#dialog.close(), { class: "plain" });
    this.#dialog.replaceChildren(el("h2", { id: "sockets-title" }, `Where ${row.source || row.name} is plugged in`), close, list);
    this.#dialog.showModal();
    try {
      const found = await this.#does.ask({ find: "sockets", output });
      list.replaceChildren(...found.map((each) => this.#socket(each)));
      list.querySelector("button")?.focus();
    } catch (error) {
      list.replaceChildren(el("li", { class: "refusal" }, error.message));
    }
  }

  #socket(each) {
    const into = each.into.map((port) => port.label).join(" and ");
    const words = each.is_here ? `${into}, where it is now` : into;
    const press = button(words, () => this.#pick(each, into), { disabled: each.is_here });
    const needs = each.needs.length ? ` Needs ${each.needs.join(", ")}.` : "";
    return el("li", { class: each.verdict }, verdict(each.verdict), press, el("p", {}, `${each.why}${needs}`));
  }

  async #pick(each, into) {
    if (await this.#does.apply(each.edits, `Plug into ${into}`)) this.#dialog.close();
  }
}
