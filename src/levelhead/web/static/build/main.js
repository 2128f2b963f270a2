// The page of an open show: news from the socket into the views, what people do into messages.

import { say } from "./dom.js";
import { Findings, isOfThePlace, isOfThePower } from "./findings.js";
import { Gains } from "./gains.js";
import { Grid } from "./grid.js";
import { Head } from "./head.js";
import { Keys } from "./keys.js";
import { Later } from "./later.js";
import { BandList } from "./list.js";
import { More } from "./more.js";
import { Nav } from "./nav.js";
import { drawPeople } from "./people.js";
import { PLANS } from "./plans.js";
import { TypingQueue } from "./queue.js";
import { Sockets } from "./sockets.js";
import { State } from "./state.js";
import { PlainTable } from "./tables.js";
import { TextView } from "./text.js";
import { Told } from "./told.js";
import { Wire } from "./wire.js";
import { Work } from "./work.js";

const state = new State();
const table = document.getElementById("inputs-table");
const grid = new Grid(table, state);
const told = new Told(document.getElementById("told"), state);
const queue = new TypingQueue(state, type);
const views = [...document.querySelectorAll("[data-view]")];
const wire = new Wire(hear, () => ({ run: state.run, seen: state.revision }));
const head = new Head(state, { undo: () => back("undo"), redo: () => back("redo"), settle, go: (row) => goTo(row) });
const findings = new Findings(document.getElementById("findings-list"), state, { apply, go: goToFinding });
const tables = { step, known: (list) => wire.send({ find: "known", text: list }), open: plugOutput };
const plain = new Map(Object.keys(PLANS).map((name) => [name, new PlainTable(document.getElementById(`${name}-table`), name, state, tables)]));
const text = new TextView(document.getElementById("text"), state, wire, say);
const drop = (key) => step({ do: "drop", table: "links", key }, "Unplugged.");
const sockets = new Sockets(document.getElementById("sockets"), { ask: (question) => wire.send(question), apply, drop });
const gains = new Gains(document.getElementById("gains-plan"), { ask: (question) => wire.send(question), apply });
const later = new Later({
  drawing: async () => new (await import("./drawing.js")).Drawing(document.getElementById("drawing"), state, { ask: (question) => wire.send(question), list: (names) => listed(names), levels: lookAtLevels }),
  levels: async () => new (await import("./levels.js")).Levels(document.getElementById("levels"), state, { ask: (question) => wire.send(question), apply }),
});
const nav = new Nav(document.querySelector("nav.views"), () => show());
let plan = null; // fetched when it is first looked at, as those are
const keys = new Keys(table, grid, state, {
  type: typeLater, paste, open, find: (column, words, row) => wire.send({ find: column, text: words, row }),
  clear: (rows) => step({ do: "clear", rows: rows.filter((id) => state.row(id).at) }, "Cleared."),
  insert: (row) => step({ do: "insert", row }, "A row was put in."),
  remove: (row) => step({ do: "delete", row }, "The row was deleted."),
  move: (row, to) => step({ do: "move", row, to }, "Moved."),
});
const work = new Work(document.getElementById("work"), { say: (message) => wire.send(message).catch(() => {}) });
new More(document.getElementById("more"), document.getElementById("offers"), { ask: (question) => wire.send(question), apply });
new BandList(document.getElementById("band"), document.getElementById("band-found"), { ask: (question) => wire.send(question), apply });

function hear(news) {
  if (!state.follows(news)) return wire.restart();
  const changes = state.take(news);
  if (changes.items) for (const id of grid.order) changes.rows ??= { changed: [], reordered: false };
  for (const { cells, base } of changes.rows ? state.ripe() : []) queue.type(cells, false, base).catch(() => {});
  if (changes.rows) grid.patch(changes.rows);
  if (["up", "down", "waiting"].includes(news.kind)) grid.patch({ changed: [...state.pending.keys()], reordered: false });
  for (const [name, view] of plain) if (changes[name]) view.changed();
  if (news.kind === "snapshot" || news.kind === "patch") plan?.changed();
  if (news.kind === "results") grid.patchStates();
  if (news.kind === "results" && location.hash === "#gains") gains.load();
  later.hear(news);
  if (["results", "mended", "open-ends"].includes(news.kind) || news.stopped) findings.draw(), plan?.judged();
  if (news.kind === "snapshot") document.title = `${state.head.name} - levelhead`;
  if (news.kind === "snapshot") ready();
  if (news.kind === "patch" && news.by && news.by !== state.you) say(`${news.by}: ${news.what}.`);
  if (news.kind === "patch" || news.kind === "here") drawPeople(state);
  if (news.kind === "refused-late") told.refuseLate(news.message, news.error);
  if (news.kind === "unsaved") told.refuse(news.error, "The file could not be written. Everything is kept in the history beside it.");
  if (news.kind === "snapshot" && state.head.problem) location.hash = "#text";
  head.draw({ isUp: wire?.isOpen ?? false, unsent: (wire?.unsent ?? 0) + queue.waiting });
  head.drawWhole();
  work?.draw(state);
}

// The list takes the keyboard once it is there, if nothing else has it.
function ready() {
  const isFirst = document.body.dataset.ready === undefined;
  document.body.dataset.ready = "";
  const isIdle = document.activeElement === document.body && !matchMedia("(pointer: coarse)").matches;
  if (isFirst && isIdle && !location.hash.replace("#inputs", "")) arrive("inputs");
}

// --- steps ---

async function step(message, done) {
  try {
    await wire.send({ base: state.revision, ...message });
    told.clear();
    if (done) say(done);
    return true;
  } catch (error) {
    if (error.reason !== "needs-gear" && !error.isLate) told.refuse(error.parts ?? { what: error.message });
    return false;
  }
}

function apply(edits, words = "Done.") {
  return step({ do: "edits", edits }, words);
}

function back(verb) {
  const last = state[verb];
  return last ? step({ do: verb, step: last.step }, `${verb === "undo" ? "Taken back" : "Taken again"}: ${last.words}`) : null;
}

function settle(which) {
  return step({ do: "settle", take: which }, "Settled.");
}

function typeLater(cells, wasFree) {
  const done = queue.type(cells, wasFree);
  if (!state.isUp) hear({ kind: "waiting" });
  return done;
}

// Cells go out with what was typed into their rows before there was gear.
async function type(cells, base) {
  if (!cells.length) return;
  const rows = [...new Set(cells.map(([row]) => row))];
  const kept = rows.flatMap((row) => Object.entries(state.drafts.get(row) ?? {}).map(([column, words]) => [row, column, words]));
  const all = [...kept, ...cells];
  rows.forEach((row) => state.sending.add(row));
  if (await step({ do: "cells", cells: all, base })) rows.forEach((row) => state.drafts.delete(row));
  else state.draft(cells);
  rows.forEach((row) => state.sending.delete(row));
  grid.patch({ changed: rows, reordered: false });
}

async function paste(cells, block) {
  if (await step({ do: "cells", cells }, `${block.length} rows pasted.`)) return;
  say("Nothing was pasted.");
}

// --- ways ---

function open(what, row) {
  const values = state.row(row);
  if (what === "sockets") return values.at?.length ? plugInput(row, values) : document.getElementById("more-field").focus();
  if (state.results) listed([row, ...(values.chain ?? [])]);
}

// The findings that touch one of these names, in their list.
function listed(names) {
  turnTo("#findings");
  findings.show(names);
}

// A view that something leads into: shown at once, so that its place can take the keyboard.
function turnTo(hash) {
  location.hash = hash;
  show({ isAsked: false });
}

// What is at the strip itself is set there; what is before it is another piece of gear.
function columnOf(finding, row) {
  if (finding.family === "phantom") return "phantom";
  return finding.where.startsWith(row) ? "gain" : "gear";
}

function plugInput(row, values) {
  const back = () => keys.go(keys.row ?? row, "socket");
  sockets.open({ output: values.giver, title: `Where ${values.source || values.name} is plugged in`, back });
}

function plugOutput(key, row) {
  const back = (isDone) => plain.get("outs").focus(key, "to", isDone);
  sockets.open({ output: key, title: `Where ${row.label} goes`, link: row.link, words: true, back });
}

function goTo(row, column = "source") {
  turnTo("#inputs");
  keys.go(row, column);
}

function goToFinding(finding) {
  const places = [finding.where, ...finding.ports];
  const strip = places.map((place) => (state.row(place) ? place : place.replace(/\.[^.]*$/, ""))).find((id) => state.row(id));
  const items = places.map((place) => place.split(".")[0]);
  const row = strip ?? grid.order.find((id) => state.row(id).chain?.some((item) => items.includes(item)));
  if (isOfThePlace(finding)) location.hash = "#plan";
  else if (isOfThePower(finding)) location.hash = "#stock";
  else if (row) goTo(row, columnOf(finding, row));
  else location.hash = "#gear";
}

function show({ isAsked = true } = {}) {
  const name = location.hash.slice(1) || "inputs";
  for (const view of views) view.hidden = view.dataset.view !== name;
  for (const table of plain.values()) table.look();
  nav.mark(name);
  if (name === "text" && wire.isOpen) text.load();
  if (plan || name === "plan") lookAtPlan(name === "plan");
  if (name === "gains") gains.load();
  later.open(name, isAsked && Boolean(state.head));
  if (isAsked && state.head && !document.querySelector("dialog[open]")) arrive(name);
}

async function lookAtLevels(item) {
  const levels = await later.view("levels");
  levels.open(item);
  turnTo("#levels");
  levels.focus();
}

async function lookAtPlan(isOpen) {
  const { Plan } = await import("../plan/plan.js");
  plan ??= new Plan(state, { ask: (question) => wire.send(question), step, apply });
  plan.open(isOpen);
}

// The keyboard goes along into the view that was asked for.
function arrive(name) {
  if (views.find((view) => view.dataset.view === name)?.contains(document.activeElement)) return;
  if (name === "inputs" && grid.order.length) keys.go(keys.row ?? grid.beginning(), "source", { inSight: Boolean(keys.row) });
  else if (name === "findings") findings.focus();
  else if (name === "outputs") plain.get("outs").focus();
}

window.addEventListener("hashchange", () => show());
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.target.matches("input, textarea")) return;
  const key = event.key.toLowerCase();
  if (key === "z" || key === "y") {
    event.preventDefault();
    back(key === "y" || event.shiftKey ? "redo" : "undo");
  }
});
window.addEventListener("beforeunload", (event) => {
  if (wire.unsent || queue.waiting || state.drafts.size || text.isTyped) event.preventDefault();
});
show({ isAsked: false });
