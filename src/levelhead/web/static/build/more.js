// "One more...": what is named joins the show by one pick.

import { button, el, refusal, verdict, why } from "./dom.js";
import { Waiting } from "./waiting.js";

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
    this.#place.replaceChildren();
    try {
      const waiting = new Waiting(this.#does, () => this.#ask(text));
      const found = await waiting.ask(this.#place, `Trying ${text} in the sockets that are free.`, { find: "more", text });
      if (found && number === this.#number) this.#show(found);
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
    this.#place.replaceChildren(el("div", { class: "offer" }, heading, why, el("ul", { class: "ways" }, ...ways, ...frees), close));
    (this.#place.querySelector(".ways button") ?? heading).focus();
  }

  #way(each, edits, before = "") {
    const into = each.into.map((port) => port.label).join(" and ");
    const words = `${before ? `${before}, then ` : ""}${each.what} into ${into}`;
    return el("li", { class: each.verdict }, verdict(each.verdict),
      button(words, () => this.#pick(edits, words)),
      el("p", {}, why(each)));
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
