// Ticks of the order stand in the history of the show: they are on every device at once.

import { Wire } from "./build/wire.js";

const order = document.getElementById("order");
const boxes = [...order.querySelectorAll("input[type=checkbox]")];
const status = order.querySelector("[data-count]");
let marks = {};
let may = "look";
const sent = new Map(); // key -> what was pressed, until the server has it

const wire = new Wire(hear, () => ({ run: "", seen: -1 }));

function hear(news) {
  if (news.kind === "snapshot") may = news.may;
  if (news.marks) marks = news.marks["sound-check"] ?? {};
  draw();
}

function draw() {
  for (const box of boxes) {
    const { key } = box.dataset;
    box.checked = sent.get(key) ?? Boolean(marks[key]?.tick);
    box.disabled = may !== "change";
  }
  const done = boxes.filter((box) => box.checked).length;
  const down = wire?.isOpen ? "" : ", no connection";
  status.textContent = `${done} of ${boxes.length} done${down}`;
}

order.addEventListener("change", async ({ target }) => {
  const { key, content } = target.dataset;
  sent.set(key, target.checked);
  draw();
  await wire.send({ do: target.checked ? "tick" : "untick", list: "sound-check", item: key, content }).catch(() => {});
  sent.delete(key);
  draw();
});
