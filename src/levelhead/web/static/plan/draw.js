// The drawing of the plan: walls, areas, the map, things with their names. Only what it is told; nothing is worked out.

import { cells, figures } from "./cells.js";
import { front, stageEdge } from "./ground.js";
import { over, placed as named } from "./names.js";
import { svg, words } from "./svg.js";

const SYMBOL = 30; // pixels of a symbol
const BEHIND = 22; // pixels from a microphone to the head before it
const HIT = 22; // how near a finger has to come
const SHORT_M = 2; // of the edges of coverage of what is not selected

const path = (points, attributes) => svg("path", { d: `M${points.map((point) => point.map((each) => each.toFixed(1)).join(" ")).join("L")}`, ...attributes });

export class Drawing {
  node = svg("svg", { class: "plan", role: "group", "aria-label": "Plan of the show, seen from above", "aria-describedby": "plan-keys" });
  #layers = Object.fromEntries(["cells", "figures", "ground", "lines", "people", "things", "names", "handles"].map((name) => [name, svg("g", { class: name })]));
  #things = new Map();
  #map = { areas: null, look: "", figures: [] };

  constructor() {
    this.node.append(...Object.values(this.#layers));
  }

  // The frame that reads seats lies on the map, below all things.
  read(node) {
    this.#layers.ground.after(node);
  }

  // seen: {ground, things: {id: thing}, people, areas, selected, map, corners}
  draw(seen) {
    const { ground } = seen;
    this.node.setAttribute("viewBox", `0 0 ${ground.width} ${ground.height}`);
    this.node.setAttribute("height", ground.height);
    this.node.classList.toggle("zoomed", ground.zoom > 1);
    this.#drawMap(seen.map?.areas ?? [], ground);
    this.#layers.ground.replaceChildren(...surroundings(seen));
    const placed = Object.entries(seen.things).filter(([, thing]) => thing.at);
    this.#layers.lines.replaceChildren(...placed.flatMap(([id, thing]) => directions(thing, ground, id === seen.selected)));
    this.#layers.people.replaceChildren(...Object.values(seen.people).map((each) => person(each, seen)));
    this.#drawThings(placed, seen);
    this.#drawNames(placed, seen);
    this.#layers.handles.replaceChildren(...handles(seen));
  }

  // The map stays while its seats and its scale do: things are dragged over it.
  #drawMap(areas, ground) {
    const look = [...ground.point([0, 0]), ground.perMetre, ground.sign].join(" ");
    if (areas === this.#map.areas && look === this.#map.look) return;
    this.#map = { areas, look, figures: areas.flatMap((area) => figures(area, ground)) };
    this.#layers.cells.replaceChildren(...areas.flatMap((area) => cells(area, ground)));
    this.#layers.figures.replaceChildren(...this.#map.figures.map((each) => each.node));
  }

  // Where a name stands no number does.
  #drawNames(placed, seen) {
    const heads = Object.values(seen.people).map((each) => head(each, seen));
    const { nodes, taken } = named(placed, heads, seen);
    this.#layers.names.replaceChildren(...nodes);
    for (const { node, box } of this.#map.figures) node.setAttribute("visibility", taken.some((other) => over(other, box)) ? "hidden" : "visible");
  }

  // Nodes stay while their things stay, so that the keyboard stays where it is.
  #drawThings(placed, { ground, selected }) {
    const stays = new Set(placed.map(([id]) => id));
    for (const [id, node] of this.#things) if (!stays.has(id)) node.remove(), this.#things.delete(id);
    const first = stays.has(selected) ? selected : placed[0]?.[0];
    for (const [id, thing] of placed) {
      const node = this.#things.get(id) ?? this.#added(id);
      const [x, y] = ground.point(thing.at);
      node.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
      node.setAttribute("aria-label", spoken(thing));
      node.setAttribute("tabindex", id === first ? 0 : -1);
      node.setAttribute("aria-pressed", String(id === selected));
      const use = node.querySelector("use");
      use.setAttribute("href", `#plan-${thing.symbol}`);
      use.setAttribute("transform", `rotate(${(thing.front == null ? 0 : ground.turn(front(thing))).toFixed(1)}) scale(${SYMBOL / 24})`);
    }
  }

  #added(id) {
    const hit = svg("circle", { r: HIT, class: "hit" });
    const node = svg("g", { class: "thing", "data-id": id, role: "button" }, hit, svg("use"));
    this.#things.set(id, node);
    this.#layers.things.append(node);
    return node;
  }

  focus(id) {
    this.#things.get(id)?.focus();
  }
}

const side = (metres, one, other) => (Math.abs(metres) < 0.005 ? "in the middle" : `${Math.abs(metres).toFixed(1)} m ${metres > 0 ? one : other}`);

// What a screen reader says of a thing, and what stands below the plan when it is selected.
export function spoken(thing) {
  const [right, into, up] = thing.at;
  const where = [side(right, "to the right", "to the left"), into < 0 ? `${(-into).toFixed(1)} m onto the stage` : `${into.toFixed(1)} m into the hall`, `${up.toFixed(1)} m up`];
  return `${thing.called}, ${thing.word}: ${where.join(", ")}${looks(thing)}`;
}

function looks(thing) {
  if (thing.front == null) return "";
  if (!thing.aim) return "; turned to nothing yet";
  const degrees = Math.round(front(thing));
  const flat = Math.hypot(thing.aim[0] - thing.at[0], thing.aim[1] - thing.at[1]);
  const down = Math.round((Math.atan2(thing.at[2] - thing.aim[2], flat) * 180) / Math.PI);
  const across = degrees === 0 ? "straight into the hall" : Math.abs(degrees) === 180 ? "straight to the stage" : `${Math.abs(degrees)}° to the ${degrees > 0 ? "right" : "left"}`;
  return `; turned ${across}${down ? `, ${Math.abs(down)}° ${down > 0 ? "down" : "up"}` : ""}`;
}

// A head behind its microphone, however small the plan is, and wherever that is dragged.
function person(each, seen) {
  return symbol("performer", seen.ground, head(each, seen), each.faces, "person");
}

function head(each, { ground, things }) {
  const thing = things[each.heard_by];
  const far = Math.max(Math.hypot(each.at[0] - each.by[0], each.at[1] - each.by[1]), BEHIND / ground.perMetre);
  const to = ((each.faces + 180) * Math.PI) / 180;
  return [thing.at[0] + far * Math.sin(to), thing.at[1] + far * Math.cos(to)];
}

function symbol(kind, ground, at, degrees, name) {
  const [x, y] = ground.point(at);
  const turned = degrees == null ? 0 : ground.turn(degrees);
  return svg("use", { href: `#plan-${kind}`, class: name, transform: `translate(${x.toFixed(1)} ${y.toFixed(1)}) rotate(${turned.toFixed(1)}) scale(${SYMBOL / 24})` });
}

// --- ground ---

function surroundings({ ground, areas, corners, map }) {
  const isHeard = map?.areas?.length > 0; // then a place has a disc with its number

  const room = areas.room?.corners ?? [];
  const drawn = room.length ? [path([...room, room[0]].map((each) => ground.point(each)), { class: "wall" })] : [];
  drawn.push(path(stageEdge(areas, ground), { class: "edge" }));
  for (const area of Object.values(areas)) if (area !== areas.room && !(area.at && isHeard)) drawn.push(...outline(area, ground));
  for (const [key, area] of corners ? Object.entries(areas) : []) drawn.push(...knobs(key, area, ground));
  return [...drawn, ...rule(ground)];
}

function outline(area, ground) {
  if (area.at) return [symbol("seat", ground, area.at, null, "place")];
  const points = area.corners.map((each) => ground.point(each));
  return [path([...points, points[0]], { class: "area" })];
}

function knobs(key, area, ground) {
  return (area.corners ?? []).map((corner, index) => {
    const [x, y] = ground.point(corner);
    return svg("g", { class: "knob", "data-area": key, "data-corner": index, transform: `translate(${x.toFixed(1)} ${y.toFixed(1)})` }, svg("circle", { r: HIT, class: "hit" }), svg("rect", { x: -7, y: -7, width: 14, height: 14 }));
  });
}

// A rule of whole metres at the lower edge.
function rule(ground) {
  const metres = [0.5, 1, 2, 5, 10, 20, 50].find((each) => each * ground.perMetre >= 60) ?? 50;
  const [x, y] = [12, ground.height - 10];
  const end = x + metres * ground.perMetre;
  return [path([[x, y - 5], [x, y + 5], [x, y], [end, y], [end, y - 5], [end, y + 5]], { class: "rule" }), words(`${metres} m`, [end + 8, y + 5], { class: "halo" })];
}

// --- things ---

function directions(thing, ground, isSelected) {
  if (thing.front == null || !(thing.aim || isSelected)) return [];
  const from = ground.point(thing.at);
  const drawn = thing.aim ? [path([from, ground.point(thing.aim)], { class: isSelected ? "aim chosen" : "aim" })] : [];
  if (!thing.coverage || thing.coverage >= 360) return drawn;
  const whole = thing.aim ? Math.hypot(thing.aim[0] - thing.at[0], thing.aim[1] - thing.at[1]) : 3;
  const far = isSelected ? whole : Math.min(whole, SHORT_M);
  const edges = [-1, 1].map((way) => {
    const to = ((front(thing) + (way * thing.coverage) / 2) * Math.PI) / 180;
    return path([from, ground.point([thing.at[0] + far * Math.sin(to), thing.at[1] + far * Math.cos(to)])], { class: isSelected ? "coverage chosen" : "coverage" });
  });
  return [...drawn, ...edges];
}

function handles({ things, selected, ground }) {
  const thing = things[selected];
  if (!thing?.at || thing.front == null) return [];
  const to = ((front(thing) * Math.PI) / 180);
  const aim = thing.aim ?? [thing.at[0] + 3 * Math.sin(to), thing.at[1] + 3 * Math.cos(to)];
  const [x, y] = ground.point(aim);
  return [svg("g", { class: "handle", transform: `translate(${x.toFixed(1)} ${y.toFixed(1)})` }, svg("circle", { r: HIT, class: "hit" }), svg("circle", { r: 8, class: "ring" }), svg("path", { d: "M-13 0h26M0-13v26", class: "cross" }))];
}
