// Questions that take a while: a line that says so, with a way to stop, and one to ask again.

import { button, el } from "./dom.js";

const SOON_MS = 400; // what is answered before that needs no button that comes and goes
let asked = 0;

// does: {ask(question)}; the line stands first in a place, again() asks anew. A step that comes between lets go of what is asked: then it is
// asked anew here, unless whoever asks does so with the next results anyway.
export class Waiting {
  #line = el("p", { class: "work", role: "status" });
  #does;
  #again;
  #isAskedAnew;
  #timer = 0;

  constructor(does, again, { anew = true } = {}) {
    this.#does = does;
    this.#again = again;
    this.#isAskedAnew = anew;
  }

  // -> the answer; nothing where it was let go
  async ask(place, words, question) {
    const name = `${Date.now().toString(36)}-${(asked += 1)}`;
    this.#say(place, words, button("Stop", () => this.#does.ask({ find: "stop", text: name }).catch(() => {}), { class: "plain", hidden: "" }));
    try {
      const answer = await this.#does.ask({ ...question, name });
      if (answer && "stopped" in answer) return this.#stopped(place, answer.stopped);
      this.#line.remove();
      return answer;
    } finally {
      clearTimeout(this.#timer);
    }
  }

  // In an empty place the words come at once; over what stands there already, only if it takes a while.
  #say(place, words, press) {
    const hadKeyboard = this.#line.contains(document.activeElement);
    clearTimeout(this.#timer);
    this.#line.replaceChildren(el("span", {}, words), press);
    if (!place.children.length) place.prepend(this.#line);
    const show = () => {
      if (this.#line.parentElement !== place) place.prepend(this.#line);
      press.hidden = false;
      if (hadKeyboard) press.focus();
    };
    if (hadKeyboard || !press.hidden) show();
    else this.#timer = setTimeout(show, SOON_MS);
  }

  #stopped(place, isStopped) {
    if (!isStopped && this.#isAskedAnew) setTimeout(() => this.#again());
    if (isStopped) this.#say(place, "Stopped.", button("Begin again", () => this.#again(), { class: "plain" }));
    return null;
  }
}
