// Metres of the hall on the drawing. Right is right and into the hall is up, unless the plan is turned half round.

const MARGIN_M = 1;
const SMALLEST_M = 6;
const MOST = 8;

export class Ground {
  isTurned = false;
  zoom = 1;
  width = 600;
  height = 400;
  #middle = [0, 5];
  #perMetre = 30;
  #whole = [0, 5, 30];

  // points: [[right, into]] that have to be seen; width in pixels; the height follows within its limits.
  fit(points, width, [lowest, highest]) {
    const [rights, intos] = [0, 1].map((axis) => points.map((point) => point[axis]));
    const spans = [rights, intos].map((each) => (each.length ? [Math.min(...each) - MARGIN_M, Math.max(...each) + MARGIN_M] : [-5, 10]));
    const [wide, deep] = spans.map(([low, high]) => Math.max(high - low, SMALLEST_M));
    this.width = width;
    this.height = Math.round(Math.min(Math.max((width * deep) / wide, lowest), highest));
    this.#whole = [...spans.map(([low, high]) => (low + high) / 2), Math.min(width / wide, this.height / deep)];
    if (this.zoom === 1) this.whole();
  }

  whole() {
    this.zoom = 1;
    this.#middle = this.#whole.slice(0, 2);
    this.#perMetre = this.#whole[2];
  }

  // As large as these points can be seen together.
  look(points) {
    if (!points.length) return;
    const [rights, intos] = [0, 1].map((axis) => points.map((point) => point[axis]));
    const spans = [rights, intos].map((each) => [Math.min(...each) - MARGIN_M, Math.max(...each) + MARGIN_M]);
    const [wide, deep] = spans.map(([low, high]) => high - low);
    this.zoom = Math.min(Math.max(Math.min(this.width / wide, this.height / deep) / this.#whole[2], 1), MOST);
    this.#perMetre = this.#whole[2] * this.zoom;
    this.#middle = spans.map(([low, high]) => (low + high) / 2);
  }

  // Larger or smaller around a place of the drawing.
  scale(by, at = [this.width / 2, this.height / 2]) {
    const zoom = Math.min(Math.max(this.zoom * by, 1), MOST);
    if (zoom === 1) return this.whole();
    const before = this.place(...at);
    this.zoom = zoom;
    this.#perMetre = this.#whole[2] * zoom;
    const after = this.place(...at);
    this.#middle = this.#middle.map((each, axis) => each + before[axis] - after[axis]);
  }

  // Moved by pixels.
  shift(across, down) {
    this.#middle = [this.#middle[0] - (this.sign * across) / this.#perMetre, this.#middle[1] + (this.sign * down) / this.#perMetre];
  }

  get sign() {
    return this.isTurned ? -1 : 1;
  }

  get perMetre() {
    return this.#perMetre;
  }

  // [right, into] -> [x, y]
  point([right, into]) {
    return [
      this.width / 2 + this.sign * (right - this.#middle[0]) * this.#perMetre,
      this.height / 2 - this.sign * (into - this.#middle[1]) * this.#perMetre,
    ];
  }

  // x, y -> [right, into]
  place(x, y) {
    return [
      this.#middle[0] + (this.sign * (x - this.width / 2)) / this.#perMetre,
      this.#middle[1] - (this.sign * (y - this.height / 2)) / this.#perMetre,
    ];
  }

  // An angle of the hall (0 into it, 90 to the right) as one of the drawing.
  turn(degrees) {
    return degrees + (this.isTurned ? 180 : 0);
  }
}

// The edge of the stage, from left to right: as wide as the room; outdoors, and where no room is told, some steps to both sides.
export function stageEdge(areas, ground) {
  const rights = (areas.room?.corners ?? []).map(([right]) => right);
  const ends = rights.length ? [Math.min(...rights), Math.max(...rights)] : [-4, 4];
  return ends.map((right) => ground.point([right, 0]));
}

export const rounded = (metres, step = 0.01) => Number((Math.round(metres / step) * step).toFixed(3)) + 0;

// Where something looks, in degrees; what has no aim has the front that the server told.
export function front(thing) {
  if (!thing.at || !thing.aim) return thing.front ?? 0;
  const [right, into] = [thing.aim[0] - thing.at[0], thing.aim[1] - thing.at[1]];
  return right || into ? (Math.atan2(right, into) * 180) / Math.PI : (thing.front ?? 0);
}

// The point that a thing is turned to, swung round it by degrees; without an aim a point before it.
export function swung(thing, degrees) {
  const far = thing.aim ? Math.hypot(thing.aim[0] - thing.at[0], thing.aim[1] - thing.at[1]) : 3;
  const to = ((front(thing) + degrees) * Math.PI) / 180;
  return [rounded(thing.at[0] + (far || 3) * Math.sin(to)), rounded(thing.at[1] + (far || 3) * Math.cos(to)), aimHeight(thing)];
}

// How high a thing looks that had no aim: at ears, a microphone straight.
export function aimHeight(thing) {
  return thing.aim?.[2] ?? (thing.symbol === "microphone" ? thing.at[2] : 1.2);
}
