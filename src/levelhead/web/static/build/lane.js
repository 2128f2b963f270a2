// One lane: hatched noise, disc and arrowhead of the programme, the wall of the ceiling. Places come from the server.

const HEIGHT = 30;
const MIDDLE = HEIGHT / 2;
const SVG = "http://www.w3.org/2000/svg";

const percent = (share) => `${(100 * share).toFixed(2)}%`;

function shape(name, attributes, ...children) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  node.append(...children);
  return node;
}

// As wide as its place, whatever that is: marks keep their shape.
function picture(...children) {
  return shape("svg", { "aria-hidden": "true", focusable: "false", height: HEIGHT }, ...children);
}

// A mark drawn round nought, to be put somewhere along the lane.
function mark(name, attributes) {
  return shape("svg", { x: 0, overflow: "visible" }, shape(name, attributes));
}

export class Lane {
  #parts = {
    noise: shape("rect", { class: "noise", x: 0, y: MIDDLE - 8, height: 16, width: 0 }),
    clean: shape("line", { class: "programme", y1: MIDDLE, y2: MIDDLE }),
    lost: shape("line", { class: "programme lost", y1: MIDDLE, y2: MIDDLE }),
  };
  #marks = {
    floor: mark("path", { class: "floor-edge", d: `M0 ${MIDDLE - 8}v16` }),
    ceiling: mark("path", { class: "ceiling", d: "M0 2v26" }),
    nominal: mark("circle", { class: "nominal", cx: 0, cy: MIDDLE, r: 5.5 }),
    peak: mark("path", { class: "peak", d: `M-8 ${MIDDLE - 6}l9 6l-9 6z` }),
  };
  node = picture(
    shape("line", { class: "lane-line", x1: 0, x2: "100%", y1: MIDDLE, y2: MIDDLE }),
    this.#parts.noise, this.#marks.floor, this.#parts.clean, this.#parts.lost, this.#marks.ceiling, this.#marks.nominal, this.#marks.peak,
  );

  // The numbers of a scale.
  static scale(ticks) {
    return picture(...ticks.map((tick) => shape("text", { x: percent(tick.x), y: 22, "text-anchor": "middle", "font-size": 15 }, tick.words)));
  }

  // x: {floor, nominal, peak, ceiling}, each from 0 to 1, or null
  put(x) {
    this.#parts.noise.setAttribute("width", percent(x.floor ?? 0));
    for (const [name, part] of Object.entries(this.#marks)) this.#stand(part, x[name]);
    const tip = x.peak ?? x.nominal;
    const wall = x.ceiling ?? tip;
    this.#line(this.#parts.clean, x.nominal, Math.min(tip, wall));
    this.#line(this.#parts.lost, Math.max(x.nominal, wall), tip);
  }

  #stand(part, share) {
    part.setAttribute("visibility", share === null ? "hidden" : "visible");
    if (share !== null) part.setAttribute("x", percent(share));
  }

  #line(part, from, to) {
    const isThere = from !== null && to > from;
    part.setAttribute("visibility", isThere ? "visible" : "hidden");
    if (!isThere) return;
    part.setAttribute("x1", percent(from));
    part.setAttribute("x2", percent(to));
  }
}
