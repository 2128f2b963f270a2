// The page of an open show: news from the socket into the views, what people do into messages.

import { say, refusal, el } from "./dom.js";
import { Findings } from "./findings.js";
import { Gains } from "./gains.js";
import { Grid } from "./grid.js";
import { Head } from "./head.js";
import { Keys } from "./keys.js";
import { BandList } from "./list.js";
import { More, Sockets } from "./more.js";
import { State } from "./state.js";
import { PlainTable, PLANS } from "./tables.js";
import { TextView } from "./text.js";
import { Wire } from "./wire.js";

const state = new State();
const table = document.getElementById("inputs-table");
const grid = new Grid(table, state);
const told = document.getElementById("told");
const views = [...document.querySelectorAll("[data-view]")];
const wire = new Wire(hear);
const head = new Head(state, { undo: () => back("undo"), redo: () => back("redo"), settle, go: (row) => goTo(row) });
const findings = new Findings(document.getElementById("findings-list"), state, { apply, go: goToFinding });
const plain = Object.keys(PLANS).map((name) => [name, new PlainTable(document.getElementById(`${name}-table`), name, state, apply)]);
const text = new TextView(document.getElementById("text"), state, wire, say);
const sockets = new Sockets(document.getElementById("sockets"), { ask: (question) => wire.send(question), apply });
const gains = new Gains(document.getElementById("gains-plan"), { ask: (question) => wire.send(question), apply });
const keys = new Keys(table, grid, state, {
  type, paste, open, find: (column, words, row) => wire.send({ find: column, text: words, row }),
  clear: (rows) => step({ do: "clear", rows: rows.filter((id) => state.row(id).at) }, "Cleared."),
  insert: (row) => step({ do: "insert", row }, "A row was put in."),
  remove: (row) => step({ do: "delete", row }, "The row was deleted."),
  move: (row, to) => step({ do: "move", row, to }, "Moved."),
});
new More(document.getElementById("more"), document.getElementById("offers"), { ask: (question) => wire.send(question), apply });
new BandList(document.getElementById("band"), document.getElementById("band-found"), { ask: (question) => wire.send(question), apply });
sockets.back = () => keys.row && keys.go(keys.row, "socket");

function hear(news) {
  const changes = state.take(news);
  if (changes.items) for (const id of grid.order) changes.rows ??= { changed: [], reordered: false };
  if (changes.rows) grid.patch(changes.rows);
  for (const [name, view] of plain) if (changes[name]) view.draw();
  if (news.kind === "results") grid.patchStates();
  if (news.kind === "results" && location.hash === "#gains") gains.load();
  if (["results", "mended", "open-ends"].includes(news.kind)) findings.draw();
  if (news.kind === "snapshot") document.title = `${state.head.name} - levelhead`;
  if (news.kind === "snapshot") document.body.dataset.ready = "";
  if (news.kind === "patch" && news.by && news.by !== state.you) say(`Changed by ${news.by}.`);
  if (news.kind === "unsaved") refuse(news.error, "The file could not be written. Everything is kept in the history beside it.");
  if (news.kind === "snapshot" && state.head.problem) location.hash = "#text";
  head.draw({ isUp: wire?.isOpen ?? false, unsent: wire?.unsent ?? 0 });
  head.drawWhole();
}

// --- steps ---

async function step(message, done) {
  try {
    await wire.send({ ...message, base: state.revision });
    told.replaceChildren();
    if (done) say(done);
    return true;
  } catch (error) {
    if (error.reason !== "needs-gear") refuse(error.parts ?? { what: error.message });
    return false;
  }
}

function apply(edits, words = "Done.") {
  return step({ do: "edits", edits }, words);
}

function back(verb) {
  const last = state.head?.[verb];
  return last ? step({ do: verb, step: last.step }, `${verb === "undo" ? "Taken back" : "Taken again"}: ${last.words}`) : null;
}

function settle(which) {
  return step({ do: "settle", take: which }, "Settled.");
}

// Cells go out with what was typed into their rows before there was gear.
async function type(cells) {
  if (!cells.length) return;
  const rows = [...new Set(cells.map(([row]) => row))];
  const kept = rows.flatMap((row) => Object.entries(state.drafts.get(row) ?? {}).map(([column, words]) => [row, column, words]));
  const all = [...kept, ...cells];
  if (await step({ do: "cells", cells: all })) rows.forEach((row) => state.drafts.delete(row));
  else keep(cells);
  grid.patch({ changed: rows, reordered: false });
}

function keep(cells) {
  for (const [row, column, words] of cells) {
    if (state.row(row)?.at?.length || rowHasGear(cells, row)) continue;
    const draft = state.drafts.get(row) ?? {};
    if (words.trim()) draft[column] = words;
    else delete draft[column];
    if (Object.keys(draft).length) state.drafts.set(row, draft);
    else state.drafts.delete(row);
  }
}

function rowHasGear(cells, row) {
  return cells.some(([id, column, words]) => id === row && column === "gear" && words.trim());
}

async function paste(cells, block) {
  if (await step({ do: "cells", cells }, `${block.length} rows pasted.`)) return;
  say("Nothing was pasted.");
}

function refuse(error, before = "") {
  told.replaceChildren(el("div", { class: "refusal", role: "alert" }, before, refusal(error)));
}

// --- ways ---

function open(what, row) {
  const values = state.row(row);
  if (what === "sockets") return values.at ? sockets.open(values, values.giver) : document.getElementById("more-field").focus();
  if (!state.results) return;
  location.hash = "#findings";
  requestAnimationFrame(() => findings.show([row, ...(values.chain ?? [])]));
}

function goTo(row, column = "source") {
  location.hash = "#inputs";
  requestAnimationFrame(() => keys.go(row, column));
}

function goToFinding(finding) {
  const places = [finding.where, ...finding.ports];
  const strip = places.map((place) => (state.row(place) ? place : place.replace(/\.[^.]*$/, ""))).find((id) => state.row(id));
  const items = places.map((place) => place.split(".")[0]);
  const row = strip ?? grid.order.find((id) => state.row(id).chain?.some((item) => items.includes(item)));
  if (row) goTo(row, finding.family === "phantom" ? "phantom" : "gain");
  else location.hash = "#gear";
}

function show() {
  const name = location.hash.slice(1) || "inputs";
  for (const view of views) view.hidden = view.dataset.view !== name;
  for (const link of document.querySelectorAll("nav a")) {
    if (link.hash === `#${name}`) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  if (name === "text" && wire.isOpen) text.load();
  if (name === "gains") gains.load();
}

window.addEventListener("hashchange", show);
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.target.matches("input, textarea")) return;
  const key = event.key.toLowerCase();
  if (key === "z" || key === "y") {
    event.preventDefault();
    back(key === "y" || event.shiftKey ? "redo" : "undo");
  }
});
window.addEventListener("beforeunload", (event) => {
  if (wire.unsent || state.drafts.size || text.isTyped) event.preventDefault();
});
show();
