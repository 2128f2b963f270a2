// The map under the plan: a tone a step, lines where the step changes, numbers as far apart as they can be read.

import { svg, words } from "./svg.js";

// -> nodes of one area without its numbers; a single place is a disc.
export function cells(area, ground) {
  if (!area.size) return area.figures.map((_, index) => spot(area, index, ground));
  const [wide, deep] = area.size.map((each) => each * ground.perMetre);
  const steps = new Map();
  area.steps.forEach((step, index) => {
    const [x, y] = ground.point([area.right[index], area.into[index]]);
    const piece = `M${(x - wide / 2).toFixed(1)} ${(y - deep / 2).toFixed(1)}h${(wide + 0.3).toFixed(1)}v${(deep + 0.3).toFixed(1)}h${(-wide - 0.3).toFixed(1)}z`;
    steps.set(step, (steps.get(step) ?? "") + piece);
  });
  const tones = [...steps].map(([step, d]) => svg("path", { d, class: `s${step}` }));
  return [...tones, svg("path", { d: parted(area, ground, wide, deep), class: "parts" })];
}

const spot = (area, index, ground) => {
  const [x, y] = ground.point([area.right[index], area.into[index]]);
  return svg("circle", { cx: x.toFixed(1), cy: y.toFixed(1), r: 20, class: `s${area.steps[index]} spot` });
};

// Lines where the step changes.
function parted(area, ground, wide, deep) {
  const at = new Map(area.steps.map((step, index) => [key(area, index, 0, 0), step]));
  let d = "";
  area.steps.forEach((step, index) => {
    const [x, y] = ground.point([area.right[index], area.into[index]]);
    const [toRight, toFar] = [at.get(key(area, index, 1, 0)), at.get(key(area, index, 0, 1))];
    const [edge, far] = [x + (ground.sign * wide) / 2, y - (ground.sign * deep) / 2];
    if (toRight !== undefined && toRight !== step) d += `M${edge.toFixed(1)} ${(y - deep / 2).toFixed(1)}v${deep.toFixed(1)}`;
    if (toFar !== undefined && toFar !== step) d += `M${(x - wide / 2).toFixed(1)} ${far.toFixed(1)}h${wide.toFixed(1)}`;
  });
  return d || "M0 0";
}

const number = (area, index, axis) => Math.round(((axis ? area.into : area.right)[index] - (axis ? area.into : area.right)[0]) / area.size[axis]);
const key = (area, index, right, into) => `${number(area, index, 0) + right} ${number(area, index, 1) + into}`;

// A number in each cell, or in every second, third ... where they would not fit: [{node, box}].
export function figures(area, ground) {
  const [wide, deep] = area.size?.map((each) => each * ground.perMetre) ?? [Infinity, Infinity];
  const [every, each] = [Math.ceil(36 / wide), Math.ceil(22 / deep)];
  const middle = (count, step) => step < 2 || ((count % step) + step) % step === Math.floor(step / 2);
  return area.figures.flatMap((text, index) => {
    if (area.size && !(middle(number(area, index, 0), every) && middle(number(area, index, 1), each))) return [];
    const [x, y] = ground.point([area.right[index], area.into[index]]);
    return [{ node: words(text, [x, y + 5], { "text-anchor": "middle" }), box: [x - 16, y - 9, x + 16, y + 9] }];
  });
}
