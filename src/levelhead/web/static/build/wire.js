// The one socket of this page: messages out with a promise each, news in, and coming back after a drop.

const SHORTEST_WAIT_MS = 300;
const LONGEST_WAIT_MS = 5000;
const LOADED = Date.now().toString(36); // numbers begin anew with each load of the page

// A name of this page that outlives a reload, so that its own steps are never taken for another's.
function pageId() {
  let id = sessionStorage.getItem("levelhead-page");
  if (!id) {
    const bytes = crypto.getRandomValues(new Uint8Array(8));
    id = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    sessionStorage.setItem("levelhead-page", id);
  }
  return id;
}

export class Refused extends Error {
  constructor(news) {
    super(`${news.error.what}; expected ${news.error.expected}. ${news.error.remedy}`);
    this.reason = news.reason;
    this.parts = news.error;
  }
}

export class Wire {
  #socket = null;
  #asked = new Map(); // number -> {message, resolve, reject}, until it is answered
  #number = 0;
  #wait = SHORTEST_WAIT_MS;
  #hear;
  #isOpen = false;

  // hear(news) takes snapshots, patches and results; news of kind "up" or "down" come from here.
  constructor(hear) {
    this.#hear = hear;
    this.#connect();
  }

  get isOpen() {
    return this.#isOpen;
  }

  // Steps and questions that nobody has acknowledged yet.
  get unsent() {
    return this.#asked.size;
  }

  send(message) {
    const ask = `${LOADED}-${(this.#number += 1)}`;
    return new Promise((resolve, reject) => {
      const whole = { ...message, ask };
      this.#asked.set(ask, { message: whole, resolve, reject });
      if (this.#isOpen) this.#socket.send(JSON.stringify(whole));
      else this.#hear({ kind: "waiting" });
    });
  }

  #connect() {
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    const socket = new WebSocket(`${scheme}://${location.host}${location.pathname}/live?page=${pageId()}`);
    this.#socket = socket;
    socket.addEventListener("message", (event) => this.#heard(JSON.parse(event.data)));
    socket.addEventListener("close", () => this.#dropped());
  }

  #dropped() {
    this.#isOpen = false;
    this.#hear({ kind: "down" });
    setTimeout(() => this.#connect(), this.#wait);
    this.#wait = Math.min(this.#wait * 2, LONGEST_WAIT_MS);
  }

  #heard(news) {
    if (news.kind === "snapshot") this.#came(news);
    else if (news.kind === "done" || news.kind === "answer" || news.kind === "refused") this.#settle(news);
    else this.#hear(news);
  }

  // What was not acknowledged goes out again: the server knows each number of this page once.
  #came(news) {
    this.#isOpen = true;
    this.#wait = SHORTEST_WAIT_MS;
    this.#hear(news);
    this.#hear({ kind: "up" });
    for (const { message } of this.#asked.values()) this.#socket.send(JSON.stringify(message));
  }

  #settle(news) {
    const asked = this.#asked.get(news.ask);
    if (!asked) return;
    this.#asked.delete(news.ask);
    if (news.kind === "refused") asked.reject(new Refused(news));
    else asked.resolve(news.found);
    this.#hear({ kind: "settled" });
  }
}
