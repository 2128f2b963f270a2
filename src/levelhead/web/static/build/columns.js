// The columns of the input list: what stands in a cell, what its editor begins with, how it is read out.

import { el, figure, verdict } from "./dom.js";

const shown = (...parts) => parts.filter(Boolean);
const quiet = (text) => text && el("span", { class: "sub" }, text);

// A length stays with its unit.
const together = (text) => text.replace(/(\d) (c?m)\b/g, "$1\u00a0$2");

function port(row) {
  const at = row.at?.[0] ?? row.ports[0][0];
  return row.ports.find(([address]) => address === at)[1];
}

function phantomWords(row) {
  if (!row.phantom) return "";
  if (row.phantom_needed) return row.phantom === "on" ? "on" : "needed";
  return row.phantom === "on" ? "(on)" : "–";
}

// name, heading, text(row): plain text of the cell, also for copying; show(row): its nodes; edit: what the editor takes
export const COLUMNS = [
  { name: "socket", title: "Socket", opens: "sockets", text: (row) => row.name,
    show: (row) => shown(el("b", {}, row.name), port(row) !== row.name && quiet(port(row))) },
  { name: "source", title: "Source", edit: "text", text: (row) => row.source ?? "",
    show: (row) => shown(row.source, row.need === "nice" && quiet("nice to have")) },
  { name: "gear", title: "Gear", edit: "gear", text: (row) => shown(row.gear, row.through).join(" > "),
    show: (row) => shown(row.gear, row.through && quiet(`through ${row.through}`)) },
  { name: "cable", title: "Cable", edit: "cable", text: (row) => (row.cable_labels ?? []).join(" > "),
    show: (row) => (row.cable_labels ?? []).flatMap((label, index) => shown(index > 0 && el("br"), together(label))) },
  { name: "phantom", title: "48 V", edit: "toggle", text: phantomWords,
    show: (row) => [phantomWords(row)] },
  { name: "gain", title: "Gain", edit: "text", text: (row) => row.gain ?? "",
    show: (row) => (row.gain ? [el("span", { class: row.gain_set ? "" : "unset" }, figure(row.gain))] : []) },
  { name: "note", title: "Notes", edit: "text", text: (row) => row.note ?? "", show: (row) => shown(row.note) },
  { name: "state", title: "State", opens: "findings", text: () => "", show: () => [] },
];

export const EDITED = COLUMNS.filter((column) => column.edit).map((column) => column.name);

export function stateNodes(row, found, draft) {
  if (draft) return [el("span", { class: "sub" }, "needs gear")];
  if (!row.at?.length) return [el("span", { class: "sub" }, "free")];
  return [found ? verdict(found.verdict) : el("span", { class: "sub" }, "…")];
}

// How a cell is called by a screen reader that meets only a picture or a dash.
export function spoken(column, row) {
  if (column.name === "phantom" && row.phantom) {
    const all = row.phantom_shared ? ", one switch for all" : "";
    return `phantom ${row.phantom}${row.phantom_needed ? ", needed" : ""}${all}`;
  }
  if (column.name === "gain" && row.gain) return `gain ${row.gain}${row.gain_set ? "" : ", as it stands by default"}`;
  return null;
}
