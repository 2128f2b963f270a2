// A drawing in its frame: dragged by one finger or the pointer, made larger by two or the wheel, by keys and by buttons.

const STILL_PX = 6; // less is a press, not a drag
const LARGEST = 3; // pixels a unit of the drawing
const STEP = 1.25;
const LEGIBLE = 0.55; // pixels a unit: small type of eight
const WIDE = 0.7;

export class PanZoom {
  #ground;
  #svg = null;
  #size = { width: 1, height: 1 };
  #at = { x: 0, y: 0, scale: 1 }; // what stands at the upper left, and pixels a unit
  #fingers = new Map();
  #began = null;
  #fitted = "first"; // how it is fitted into its frame: "first", "whole", or not at all once it was moved
  #held = null;

  constructor(ground) {
    this.#ground = ground;
    ground.addEventListener("pointerdown", (event) => this.#down(event));
    ground.addEventListener("pointermove", (event) => this.#moved(event));
    for (const end of ["pointerup", "pointercancel"]) ground.addEventListener(end, (event) => this.#up(event));
    ground.addEventListener("wheel", (event) => this.#turned(event), { passive: false });
    ground.addEventListener("click", (event) => this.#began?.isDrag && event.stopPropagation(), true);
    new ResizeObserver(() => (this.#fitted ? this.#fit() : this.#show())).observe(ground);
  }

  // Another drawing; what stands in the middle stays there.
  put(svg) {
    const before = this.#middle();
    this.#svg = svg;
    const { width, height } = svg.viewBox.baseVal;
    this.#size = { width, height };
    svg.setAttribute("preserveAspectRatio", "xMinYMin meet");
    if (this.#fitted || !before) return this.#fit();
    const now = placeOf(svg, before.name);
    if (now) this.#at = { ...this.#at, x: this.#at.x + now.x - before.x, y: this.#at.y + now.y - before.y };
    return this.#show();
  }

  // The next drawing is another one: it begins anew.
  first() {
    this.#fitted = "first";
  }

  whole() {
    this.#fitted = "whole";
    this.#fit();
  }

  // While something stands beside it the frame is narrower: nothing gets smaller, and it is fitted again afterwards.
  hold() {
    this.#held ??= this.#fitted;
    this.#fitted = null;
  }

  letGo() {
    this.#fitted = this.#held;
    this.#held = null;
  }

  // All of it; at first, where that could not be read, as much as can be from the upper left: there the signal begins.
  #fit() {
    const { clientWidth, clientHeight } = this.#ground;
    if (!this.#svg || !clientWidth) return;
    const whole = Math.min(clientWidth / this.#size.width, clientHeight / this.#size.height, 1.25);
    const isLegible = whole >= LEGIBLE || this.#fitted === "whole";
    this.#place(isLegible ? whole : Math.min(Math.max(clientWidth / this.#size.width, LEGIBLE), WIDE));
  }

  #place(scale) {
    const { clientWidth, clientHeight } = this.#ground;
    const free = (room, length) => (length - room / scale) / 2;
    this.#at = { x: Math.min(free(clientWidth, this.#size.width), 0), y: Math.min(Math.max(free(clientHeight, this.#size.height), -40 / scale), 0), scale };
    this.#show();
  }

  closer(factor = STEP) {
    this.#zoom(factor, this.#ground.clientWidth / 2, this.#ground.clientHeight / 2);
  }

  move(right, down) {
    this.#shift(-right * this.#ground.clientWidth * 0.2, -down * this.#ground.clientHeight * 0.2);
  }

  // Bring a part of the drawing into the frame, with some room round it.
  reveal(node) {
    const box = node.querySelector("rect.box")?.getBBox() ?? node.getBBox();
    const { clientWidth, clientHeight } = this.#ground;
    const [width, height, room] = [clientWidth / this.#at.scale, clientHeight / this.#at.scale, 24 / this.#at.scale];
    const into = (at, length, start, span) => Math.min(Math.max(at, start + Math.min(span, length - room) + room - length), start - room);
    const x = into(this.#at.x, width, box.x, box.width);
    const y = into(this.#at.y, height, box.y, box.height);
    if (x === this.#at.x && y === this.#at.y) return;
    this.#at = { ...this.#at, x, y };
    this.#fitted = null;
    this.#show();
  }

  #show() {
    if (!this.#svg) return;
    const { x, y, scale } = this.#at;
    const [width, height] = [this.#ground.clientWidth / scale, this.#ground.clientHeight / scale];
    if (width && height) this.#svg.setAttribute("viewBox", `${x.toFixed(2)} ${y.toFixed(2)} ${width.toFixed(2)} ${height.toFixed(2)}`);
  }

  // The box that is nearest to the middle of the frame.
  #middle() {
    if (!this.#svg) return null;
    const { x, y, scale } = this.#at;
    const middle = { x: x + this.#ground.clientWidth / scale / 2, y: y + this.#ground.clientHeight / scale / 2 };
    const away = (place) => Math.hypot(place.x - middle.x, place.y - middle.y);
    const all = [...this.#svg.querySelectorAll("g[data-item]")].map((node) => placeOf(this.#svg, node.dataset.item));
    return all.sort((one, other) => away(one) - away(other))[0] ?? null;
  }

  #zoom(factor, px, py) {
    const least = Math.min(this.#ground.clientWidth / this.#size.width, this.#ground.clientHeight / this.#size.height, 1) / 2;
    const scale = Math.min(Math.max(this.#at.scale * factor, least), LARGEST);
    const held = (at, pixels) => at + pixels / this.#at.scale - pixels / scale;
    this.#at = { x: held(this.#at.x, px), y: held(this.#at.y, py), scale };
    this.#fitted = this.#held = null;
    this.#show();
  }

  #shift(px, py) {
    const { scale } = this.#at;
    this.#at = { ...this.#at, x: this.#at.x - px / scale, y: this.#at.y - py / scale };
    this.#fitted = this.#held = null;
    this.#show();
  }

  // --- pointer and fingers ---

  #down(event) {
    if (event.button) return;
    this.#fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (this.#fingers.size === 1) this.#began = { x: event.clientX, y: event.clientY, isDrag: false };
  }

  #moved(event) {
    const before = this.#fingers.get(event.pointerId);
    if (!before) return;
    const now = { x: event.clientX, y: event.clientY };
    if (!this.#began.isDrag && Math.hypot(now.x - this.#began.x, now.y - this.#began.y) < STILL_PX && this.#fingers.size === 1) return;
    if (!this.#began.isDrag) this.#ground.setPointerCapture(event.pointerId);
    this.#began.isDrag = true;
    this.#ground.classList.add("is-dragged");
    const [other] = [...this.#fingers].filter(([id]) => id !== event.pointerId).map(([, place]) => place);
    this.#fingers.set(event.pointerId, now);
    if (other) this.#pinched(before, now, other);
    else this.#shift(now.x - before.x, now.y - before.y);
  }

  #pinched(before, now, other) {
    const { left, top } = this.#ground.getBoundingClientRect();
    const apart = (one) => Math.hypot(one.x - other.x, one.y - other.y) || 1;
    this.#shift((now.x - before.x) / 2, (now.y - before.y) / 2);
    this.#zoom(apart(now) / apart(before), (now.x + other.x) / 2 - left, (now.y + other.y) / 2 - top);
  }

  #up(event) {
    this.#fingers.delete(event.pointerId);
    if (!this.#fingers.size) this.#ground.classList.remove("is-dragged");
  }

  #turned(event) {
    event.preventDefault();
    const { left, top } = this.#ground.getBoundingClientRect();
    this.#zoom(Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : 0.0015)), event.clientX - left, event.clientY - top);
  }
}

function placeOf(svg, name) {
  const rect = svg.querySelector(`g[data-item="${CSS.escape(name)}"] rect.box`);
  return rect && { name, x: Number(rect.getAttribute("x")), y: Number(rect.getAttribute("y")) };
}
