// Show day: cards of a list one at a time, ticks and notes on every device, the lock of the plan.

import { el, refusal, say } from "../build/dom.js";
import { Wire } from "../build/wire.js";
import { Card } from "./card.js";
import { Readings } from "./readings.js";

const LISTS = ["line-check", "sound-check"];
const show = document.body.dataset.show;
const part = (id) => document.getElementById(id);
const told = part("told");
const cards = new Map(); // list -> its cards, once they came
let marks = {}; // list -> key -> {tick, note, readings}
let lock = null;
let may = "change";
let revision = -1;
let asked = "";
const pending = new Map(); // "list key" -> whether it is ticked, until the server has it

const card = new Card({ walk: `${show}/walk` });
const wire = new Wire(hear, () => ({ run: "", seen: -1 }));
const readings = new Readings({ wire, current: () => current(), list: () => list(), note: (words) => mark("note", { text: words }), told });

// --- where one is: #line-check or #line-check/KEY

const list = () => LISTS.find((name) => location.hash.slice(1).startsWith(name)) ?? LISTS[0];
const keyOf = () => decodeURIComponent(location.hash.split("/")[1] ?? "");
const all = () => cards.get(list()) ?? [];
const at = () => Math.max(0, all().findIndex((each) => each.key === keyOf()));
const current = () => all()[at()];

function go(number) {
  const to = all()[Math.min(Math.max(number, 0), all().length - 1)];
  if (!to) return;
  history.replaceState(null, "", `#${list()}/${encodeURIComponent(to.key)}`);
  readings.close();
  draw();
  scrollTo(0, 0);
  say(`${to.title}, ${to.place}`);
}

// --- news

function hear(news) {
  if (news.kind === "snapshot") ({ may, revision } = news);
  if (news.kind === "patch") revision = news.revision;
  if (news.kind === "marks") ({ marks, lock } = news);
  if (news.kind === "patch" && news.marks) marks = news.marks;
  if (news.kind === "snapshot" || news.kind === "patch") load();
  if (news.kind === "unsaved") refuse(news.error);
  if (["marks", "up", "down", "waiting", "settled"].includes(news.kind)) draw();
}

async function load() {
  const of = list();
  const name = `${of} ${revision}`;
  if (name === asked) return;
  asked = name;
  try {
    const found = await wire.send({ find: "day", text: of });
    if (found.cards) cards.set(found.list, found.cards);
    document.body.dataset.ready = "";
  } catch (error) {
    refuse(error.parts ?? { what: error.message });
  }
  draw();
}

// --- ticks, notes, the lock

const markOf = (key, of = list()) => marks[of]?.[key] ?? { tick: null, note: null, readings: [] };

function isTicked(key) {
  const name = `${list()} ${key}`;
  return pending.has(name) ? pending.get(name) : Boolean(markOf(key).tick);
}

async function mark(kind, more = {}) {
  const it = current();
  const name = `${list()} ${it.key}`;
  if (kind === "tick" || kind === "untick") pending.set(name, kind === "tick");
  const sent = send({ do: kind, list: list(), item: it.key, content: it.content, ...more });
  draw();
  await sent;
  pending.delete(name);
  draw();
}

async function send(message) {
  try {
    await wire.send(message);
    told.replaceChildren();
  } catch (error) {
    refuse(error.parts ?? { what: error.message });
  }
}

function refuse(error) {
  told.replaceChildren(el("div", { class: "refusal", role: "alert" }, refusal(error)));
}

function tick() {
  const it = current();
  if (!it) return;
  if (isTicked(it.key)) return mark("untick");
  mark("tick");
  if (at() < all().length - 1) go(at() + 1);
}

function press() {
  if (lock) part("unlock").showModal();
  else send({ do: "lock" });
}

// --- drawing

function draw() {
  const it = current();
  const done = all().filter((each) => isTicked(each.key)).length;
  part("wire").textContent = wire?.isOpen ? "" : wire?.unsent ? `no connection; ${wire.unsent} not sent yet` : "no connection";
  part("wire").classList.toggle("down", !wire?.isOpen);
  for (const link of document.querySelectorAll(".lists a[href^='#']")) {
    if (link.hash.startsWith(`#${list()}`)) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  drawLock();
  part("count").textContent = `${done} of ${all().length}`;
  part("previous").disabled = at() === 0;
  part("next").disabled = at() >= all().length - 1;
  part("tick").disabled = !it || may !== "change";
  if (!it) return card.nothing(cards.has(list()));
  const ticked = isTicked(it.key);
  part("tick").textContent = ticked ? "Done. Take the tick off" : "Tick, next";
  part("tick").setAttribute("aria-pressed", String(ticked));
  card.draw(it, markOf(it.key), { isPending: pending.has(`${list()} ${it.key}`), number: at() + 1, of: all().length });
  drawAll(it);
}

function drawLock() {
  const button = part("lock");
  button.disabled = may !== "change" || !wire?.isOpen;
  button.textContent = lock ? "Unlock" : "Lock the plan";
  const words = lock && `The plan is locked for the show, by ${lock.by}, ${card.time(lock.at)}.`;
  part("locked").hidden = !lock;
  if (part("locked").textContent !== (words || "")) part("locked").textContent = words || "";
}

function drawAll(it) {
  const focused = document.activeElement?.dataset?.key;
  const rows = all().map((each, number) => {
    const box = el("span", { class: "box", "aria-hidden": "true" }, isTicked(each.key) ? "✓" : "");
    const words = el("span", {}, each.title, el("span", { class: "where" }, each.place || each.part));
    const row = el("button", { type: "button", "data-key": each.key, "aria-current": each === it && "step", "aria-label": `${each.title}, ${each.place || each.part}${isTicked(each.key) ? ", ticked" : ""}` }, box, words);
    row.addEventListener("click", () => { go(number); if (!matchMedia("(min-width: 60rem)").matches) toggle(false); });
    return el("li", {}, row);
  });
  part("all").querySelector("ol").replaceChildren(...rows);
  if (focused) part("all").querySelector(`[data-key="${CSS.escape(focused)}"]`)?.focus();
}

function toggle(isOpen = part("all").hidden) {
  part("all").hidden = !isOpen;
  part("card").hidden = isOpen && !matchMedia("(min-width: 60rem)").matches;
  part("count").setAttribute("aria-expanded", String(isOpen));
}

// --- what is pressed

part("tick").addEventListener("click", tick);
part("previous").addEventListener("click", () => go(at() - 1));
part("next").addEventListener("click", () => go(at() + 1));
part("count").addEventListener("click", () => toggle());
part("lock").addEventListener("click", press);
part("unlock").addEventListener("close", (event) => event.target.returnValue === "unlock" && send({ do: "unlock" }));
window.addEventListener("hashchange", () => { load(); draw(); });
document.addEventListener("keydown", (event) => {
  if (event.target.matches("input") || event.altKey || event.ctrlKey || event.metaKey) return;
  if (event.key === "ArrowLeft") go(at() - 1);
  if (event.key === "ArrowRight") go(at() + 1);
});

const light = part("light");
function shine(isLight) {
  document.documentElement.toggleAttribute("data-light", isLight);
  light.textContent = isLight ? "Dark" : "Light";
}
light.addEventListener("click", () => {
  const isLight = !document.documentElement.hasAttribute("data-light");
  shine(isLight);
  try { localStorage.setItem("levelhead-light", isLight ? "1" : ""); } catch { /* nothing is kept here */ }
});
try { shine(localStorage.getItem("levelhead-light") === "1"); } catch { shine(false); }
