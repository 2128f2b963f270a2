// The one socket of this page: messages out with a promise each, news in, and coming back after a drop.

const SHORTEST_WAIT_MS = 300;
const LONGEST_WAIT_MS = 5000;
const QUIET_MS = 4000; // without a word from the server, while the page is looked at: ask whether it is there
const ANSWER_MS = 3000; // then it is lost; a dead network says nothing by itself
const NO_PASS = 403;
const KEPT = `levelhead-unsent ${location.pathname}`; // steps that nobody has acknowledged: they outlive a page that the phone put away
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

function kept() {
  try {
    return JSON.parse(sessionStorage.getItem(KEPT)) ?? [];
  } catch {
    return [];
  }
}

export class Refused extends Error {
  constructor(news, isLate) {
    super(`${news.error.what}; expected ${news.error.expected}. ${news.error.remedy}`);
    this.reason = news.reason;
    this.parts = news.error;
    this.isLate = isLate; // told where it stays
  }
}

export class Wire {
  #socket = null;
  #asked = new Map(); // number -> {message, resolve, reject}, until it is answered
  #number = 0;
  #wait = SHORTEST_WAIT_MS;
  #hear;
  #isOpen = false;
  #known = null; // () -> {run, seen}: what the page knows already
  #heardAt = 0;
  #askedAt = 0; // whether anybody is there; 0 while nobody was asked
  #timer = 0;

  // hear(news) takes snapshots, patches and results; news of kind "up" or "down" come from here.
  constructor(hear, known) {
    this.#hear = hear;
    this.#known = known;
    for (const message of kept()) this.#asked.set(message.ask, { message, isLate: true, resolve() {}, reject() {} });
    this.#connect();
    setInterval(() => this.#watch(), 1000);
    for (const name of ["online", "pageshow"]) window.addEventListener(name, () => this.#wake());
    document.addEventListener("visibilitychange", () => document.hidden || this.#wake());
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
      this.#asked.set(ask, { message: whole, isLate: !this.#isOpen, resolve, reject });
      if (message.do) this.#keep();
      if (this.#isOpen) this.#socket.send(JSON.stringify(whole));
      else this.#hear({ kind: "waiting" });
    });
  }

  #keep() {
    const steps = [...this.#asked.values()].map(({ message }) => message).filter((each) => each.do);
    sessionStorage.setItem(KEPT, JSON.stringify(steps));
  }

  // Begin anew: what came does not follow on what is known here.
  restart() {
    this.#socket?.close();
    this.#dropped(this.#socket);
  }

  #connect() {
    clearTimeout(this.#timer);
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    const { run, seen } = this.#known();
    const address = `${scheme}://${location.host}${document.body.dataset.show ?? location.pathname}/live?page=${pageId()}&run=${run}&seen=${seen}`;
    const socket = new WebSocket(address);
    this.#socket = socket;
    this.#heardAt = Date.now();
    socket.addEventListener("message", (event) => socket === this.#socket && this.#heard(JSON.parse(event.data)));
    socket.addEventListener("close", () => this.#dropped(socket));
  }

  #dropped(socket) {
    if (!socket || socket !== this.#socket) return; // given up long ago
    if (!this.#isOpen) this.#askWhy();
    this.#socket = null;
    this.#isOpen = false;
    this.#askedAt = 0;
    for (const asked of this.#asked.values()) asked.isLate = true;
    this.#hear({ kind: "down" });
    this.#timer = setTimeout(() => this.#connect(), this.#wait);
    this.#wait = Math.min(this.#wait * 2, LONGEST_WAIT_MS);
  }

  // A socket that never opened says nothing of the reason; the page itself does.
  async #askWhy() {
    const answer = await fetch(location.pathname, { method: "HEAD" }).catch(() => null);
    if (answer?.status === NO_PASS) this.#hear({ kind: "shut-out" });
  }

  // A page that is hidden sleeps: nothing is asked of it.
  #watch() {
    if (document.hidden || !this.#socket) return;
    const now = Date.now();
    if (this.#askedAt && this.#heardAt < this.#askedAt) {
      if (now - this.#askedAt > ANSWER_MS) this.restart();
    } else if (now - this.#heardAt > QUIET_MS) this.#greet();
  }

  #greet() {
    this.#askedAt = Date.now();
    if (this.#isOpen) this.#socket.send(JSON.stringify({ find: "hello", ask: "hello" }));
  }

  // Looked at again, or the network is back: at once, not when the timer says so.
  #wake() {
    if (!this.#socket) this.#connect();
    else if (!this.#askedAt || this.#heardAt > this.#askedAt) this.#greet();
  }

  #heard(news) {
    this.#heardAt = Date.now();
    if (news.kind === "snapshot" || news.kind === "caught-up") this.#came(news);
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
    if (asked.message.do) this.#keep();
    if (news.kind === "refused") asked.reject(new Refused(news, asked.isLate));
    else asked.resolve(news.found);
    if (news.kind === "refused" && asked.isLate && news.reason !== "needs-gear") this.#hear({ kind: "refused-late", message: asked.message, error: news.error });
    this.#hear(news);
  }
}
