// Ticks of the order stay in this browser, for this show as it is set.

const order = document.getElementById("order");
const name = `levelhead sound check ${order.dataset.fingerprint}`;
const boxes = [...order.querySelectorAll("input[type=checkbox]")];

const kept = () => {
  try {
    return new Set(JSON.parse(localStorage.getItem(name) || "[]"));
  } catch {
    return new Set();
  }
};

const keep = () => {
  try {
    localStorage.setItem(name, JSON.stringify(boxes.filter((box) => box.checked).map((box) => box.id)));
  } catch {
    // a browser that keeps nothing: ticks last as long as the page is open
  }
};

const count = () => {
  const done = boxes.filter((box) => box.checked).length;
  order.querySelector("[data-count]").textContent = `${done} of ${boxes.length} done`;
};

const ticked = kept();
for (const box of boxes) box.checked = ticked.has(box.id);
count();
order.addEventListener("change", () => {
  keep();
  count();
});
