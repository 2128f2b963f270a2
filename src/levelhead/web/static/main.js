// The page: two fields that suggest, a form that asks, a place for the answer.

import { Combobox } from "./combobox.js";
import { addressOf, ask, findCandidates, questionOf } from "./question.js";

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
let asked = endsNow(); // the ends of the answer in view: settings belong to them alone

form.addEventListener("submit", (event) => {
  event.preventDefault();
  askNow({ isNew: !place.contains(document.activeElement) });
});

form.addEventListener("picked", () => {
  if (isComplete()) askNow();
});

// A change of anything but the two ends moves the answer at once; so does one in the answer itself.
for (const part of [form, place]) {
  part.addEventListener("change", (event) => {
    const isEnd = event.target.id in ends;
    if (!isEnd && event.target.form === form && isComplete()) askNow();
  });
}

window.addEventListener("popstate", () => location.reload());

function endsNow() {
  return { from: ends.from.value, to: ends.to.value };
}

function isComplete() {
  return Boolean(ends.from.value && ends.to.value);
}

function questionNow() {
  const question = questionOf(endsNow(), form);
  const isNew = question.from !== asked.from || question.to !== asked.to;
  return isNew ? { ...question, settings: {} } : question;
}

async function askNow({ isNew = false } = {}) {
  running?.abort();
  const mine = (running = new AbortController());
  const question = questionNow();
  place.setAttribute("aria-busy", "true");
  try {
    show(await ask(question, mine.signal), { isNew });
    remember(question);
    asked = { from: question.from, to: question.to };
  } catch (error) {
    if (error.name !== "AbortError") showSilence();
  } finally {
    if (mine === running) place.removeAttribute("aria-busy");
  }
}

// A new answer takes the keyboard to its verdict; one that only moved leaves it where it was.
function show(html, { isNew }) {
  const before = parts();
  const focused = before.indexOf(document.activeElement);
  const opened = before.map((part) => part.parentElement.open);
  const piece = new DOMParser().parseFromString(html, "text/html");
  place.replaceChildren(...piece.body.childNodes);
  const title = place.querySelector("[data-said]");
  said.textContent = title.dataset.said || title.textContent;
  document.title = `${title.textContent} - levelhead`;
  if (isNew) return title.focus();
  const after = parts();
  if (after.length !== before.length) return focused < 0 || title.focus();
  after.forEach((part, index) => {
    if (part.matches("summary")) part.parentElement.open = opened[index];
  });
  after[focused]?.focus();
}

// What the keyboard can reach in the answer.
function parts() {
  return [...place.querySelectorAll("input, summary, [tabindex='0']")];
}

function remember(question) {
  const address = addressOf(question);
  if (address === location.pathname + location.search) return;
  history.pushState(null, "", address);
}

function showSilence() {
  const words = document.createElement("p");
  words.className = "refusal";
  words.textContent =
    "The app does not answer. Look at the window where it was started; start it again if it has ended, then ask once more.";
  place.replaceChildren(words);
  said.textContent = words.textContent;
}
