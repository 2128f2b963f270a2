// Names on the plan: each beside its thing, or a line away from it; on no other name and on no symbol.

import { stageEdge } from "./ground.js";
import { svg, words } from "./svg.js";

const LINE = 18; // pixels of a line of type
const CLOSE = 12; // pixels of half a symbol
const STEP = 22; // how much farther out the next ring of places is
const RINGS = 5;
const PLAIN = "15px";
const pen = document.createElement("canvas").getContext("2d");

export const over = (a, b) => a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
const around = ([x, y], wide, high) => [x - wide / 2, y - high / 2, x + wide / 2, y + high / 2];
const line = ([x, y], wide) => around([x, y - 5], wide, LINE);

function width(text, weight) {
  pen.font = `${weight} ${PLAIN} ${getComputedStyle(document.body).fontFamily}`;
  return pen.measureText(text).width + 4;
}

// placed: [[id, thing]] with a place; heads: places of people -> {nodes, taken: boxes in which no number is read}
export function placed(things, heads, seen) {
  const { selected, ground } = seen;
  const places = Object.values(seen.areas).filter((area) => area.at).map((area) => ["", { at: area.at, called: area.label, symbol: "seat" }]);
  const symbols = [...[...things].map(([, thing]) => thing.at), ...heads].map((at) => around(ground.point(at), 2 * CLOSE, 2 * CLOSE));
  for (const [, { at }] of places) symbols.push(around(ground.point(at), 40, 40));
  const taken = [[0, ground.height - 24, 120, ground.height]]; // the rule of metres
  const order = [...things, ...places].sort(([one, a], [other, b]) => (other === selected) - (one === selected) || rank(a) - rank(b));
  const first = order[0]?.[0] === selected ? order.splice(0, 1) : [];
  const nodes = first.flatMap((each) => beside(each, seen, symbols, taken, true));
  nodes.push(...grounds(seen, symbols, taken));
  return { nodes: nodes.concat(order.flatMap((each) => beside(each, seen, symbols, taken, false))), taken: [...taken, ...symbols.slice(0, things.length + heads.length)] };
}

const RANKS = ["loudspeaker", "subwoofer", "wedge", "desk", "microphone", "instrument", "seat"];
const rank = (thing) => (RANKS.includes(thing.symbol) ? RANKS.indexOf(thing.symbol) : RANKS.length);

// The name of a thing; the one that is selected always has one.
function beside([id, thing], { ground }, symbols, taken, isChosen) {
  const from = ground.point(thing.at);
  const wide = width(thing.called, id ? (isChosen ? 700 : 600) : 400);
  const [at, ring] = free(from, wide, ground, [...symbols, ...taken]) ?? (isChosen ? [[from[0], from[1] + 32], 0] : [null]);
  if (!at) return [];
  taken.push(line(at, wide));
  const name = words(thing.called, at, { class: isChosen ? "name chosen halo" : id ? "name halo" : "quiet halo", "text-anchor": "middle" });
  return ring ? [svg("path", { class: "leader", d: `M${from.map((each) => each.toFixed(1)).join(" ")}L${joint(from, at, wide)}` }), name] : [name];
}

// The nearest place of the words that is free, and how many rings out it is.
function free(from, wide, ground, taken) {
  for (let ring = 0; ring < RINGS; ring += 1)
    for (const at of spots(from, wide, ring * STEP)) if (inside(at, wide, ground) && !taken.some((other) => over(other, line(at, wide)))) return [at, ring];
  return null;
}

// Below, above, right, left, then the corners.
function spots([x, y], wide, out) {
  const [down, up, aside] = [y + 32 + out, y - 20 - out, 20 + wide / 2 + out];
  return [[x, down], [x, up], [x + aside, y + 5], [x - aside, y + 5], [x + aside, down], [x - aside, down], [x + aside, up], [x - aside, up]];
}

const inside = ([x, y], wide, ground) => x - wide / 2 > 2 && x + wide / 2 < ground.width - 2 && y > 14 && y < ground.height - 24;

// Where a line from the thing meets the words.
function joint([x, y], at, wide) {
  const [left, top, right, bottom] = line(at, wide);
  return `${Math.min(Math.max(x, left), right).toFixed(1)} ${Math.min(Math.max(y, top), bottom).toFixed(1)}`;
}

// Names of the ground, at the left end of their lines or, where something stands, under it.
function grounds({ ground, areas }, symbols, taken) {
  const ends = stageEdge(areas, ground);
  const named = Object.values(areas).filter((area) => area.corners?.length && area !== areas.room).map((area) => {
    const points = area.corners.map((each) => ground.point(each));
    return [area.label, [0, 1].map((axis) => Math.min(...points.map((point) => point[axis]))), Math.max(...points.map(([x]) => x))];
  });
  return [["stage", ends[ends[0][0] < ends[1][0] ? 0 : 1], Math.max(ends[0][0], ends[1][0])], ...named].flatMap(([text, [x, y], end]) => {
    const wide = width(text, 400);
    const starts = [[x + 4, y - 6], [x + 4, y + 18], [end - wide - 4, y - 6], [end - wide - 4, y + 18]];
    const at = starts.find(([left, low]) => ![...symbols, ...taken].some((other) => over(other, line([left + wide / 2, low], wide))));
    if (!at) return [];
    taken.push(line([at[0] + wide / 2, at[1]], wide));
    return [words(text, at, { class: "quiet halo" })];
  });
}
