// The page: two fields that suggest, a form that asks, a place for the answer that follows every change.

import { Combobox } from "./combobox.js";
import { figuresIn, markMoved } from "./moved.js";
import { addressOf, ask, findCandidates, questionOf } from "./question.js";

const TYPING_PAUSE_MS = 350;
const form = document.getElementById("ask");
const place = document.getElementById("answer");
const said = document.getElementById("said");
const ends = Object.fromEntries(
  ["from", "to"].map((side) => {
    const field = document.getElementById(side);
    return [side, new Combobox(field, (text) => findCandidates(text, side))];
  }),
);
let running = null;
let typing = 0;
let asked = endsNow(); // the ends of the answer in view: what was changed belongs to them alone
let shown = ""; // the question whose answer is in view

form.addEventListener("submit", (event) => {
  event.preventDefault();
  askNow({ isNew: !place.contains(document.activeElement) });
});

form.addEventListener("picked", () => {
  if (isComplete()) askNow();
});

// A change in the answer moves it at once, while typing after a short rest.
place.addEventListener("input", (event) => {
  if (event.target.form !== form) return;
  clearTimeout(typing);
  typing = setTimeout(askAgain, event.target.matches("select") ? 0 : TYPING_PAUSE_MS);
});
place.addEventListener("change", (event) => {
  if (event.target.form === form) askAgain();
});

window.addEventListener("popstate", () => location.reload());

function endsNow() {
  return { from: ends.from.value, to: ends.to.value };
}

function isComplete() {
  return Boolean(ends.from.value && ends.to.value);
}

function askAgain() {
  clearTimeout(typing);
  if (isComplete() && JSON.stringify(questionNow()) !== shown) askNow();
}

function questionNow() {
  const now = endsNow();
  const isNew = now.from !== asked.from || now.to !== asked.to;
  return isNew ? { ...now, settings: {} } : questionOf(now, form);
}

async function askNow({ isNew = false } = {}) {
  clearTimeout(typing);
  running?.abort();
  const mine = (running = new AbortController());
  const question = questionNow();
  const isSame = question.from === asked.from && question.to === asked.to && Boolean(place.querySelector("#tries"));
  shown = JSON.stringify(question);
  place.setAttribute("aria-busy", "true");
  try {
    show(await ask(question, mine.signal), { isNew, isSame });
    remember(question, isSame);
    asked = { from: question.from, to: question.to };
  } catch (error) {
    if (error.name !== "AbortError") showSilence();
  } finally {
    if (mine === running) place.removeAttribute("aria-busy");
  }
}

// A new answer takes the keyboard to its verdict; one that only moved leaves it where it was.
function show(html, { isNew, isSame }) {
  const before = figuresIn(place);
  const tries = isSame ? place.querySelector("#tries") : null; // its fields stay as they are being typed
  const held = heldNow();
  const piece = new DOMParser().parseFromString(html, "text/html");
  const nodes = [...piece.body.childNodes];
  const newTries = piece.querySelector("#tries");
  if (tries && newTries) newTries.replaceWith(tries);
  else if (tries) nodes.push(tries);
  place.replaceChildren(...nodes);
  const title = place.querySelector("[data-said]");
  const moved = tries ? markMoved(place, before) : "";
  said.textContent = [title.dataset.said || title.textContent, moved].filter(Boolean).join(" ");
  document.title = `${title.textContent} - levelhead`;
  if (isNew) title.focus();
  else letHold(held);
}

// What the keyboard was on, and what was unfolded.
function heldNow() {
  const summaries = [...place.querySelectorAll("summary")];
  const { id, value } = document.activeElement;
  return {
    id: place.contains(document.activeElement) ? id : "",
    value,
    summary: summaries.indexOf(document.activeElement),
    opened: summaries.map((part) => part.parentElement.open),
  };
}

function letHold({ id, value, summary, opened }) {
  const summaries = [...place.querySelectorAll("summary")];
  if (summaries.length === opened.length) {
    summaries.forEach((part, at) => (part.parentElement.open = opened[at]));
    summaries[summary]?.focus();
  }
  const field = id ? document.getElementById(id) : null;
  if (!field || field === document.activeElement) return;
  if (field.matches("input")) field.value = value; // what was typed meanwhile is not lost
  field.focus();
}

function remember(question, isSame) {
  const address = addressOf(question);
  if (address === location.pathname + location.search) return;
  if (isSame) history.replaceState(null, "", address);
  else history.pushState(null, "", address);
}

function showSilence() {
  const words = document.createElement("p");
  words.className = "refusal";
  words.textContent =
    "The app does not answer. Look at the window where it was started; start it again if it has ended, then ask once more.";
  place.replaceChildren(words);
  said.textContent = words.textContent;
}
