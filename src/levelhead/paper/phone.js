"use strict";
{
  const name = `levelhead ${document.body.dataset.show} ${document.body.dataset.fingerprint}`;
  const boxes = [...document.querySelectorAll("input[type=checkbox]")];

  // A browser may keep nothing for a file, or refuse to be asked: ticks then last as long as the page.
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
    } catch {}
  };
  const count = () => {
    for (const section of document.querySelectorAll("main section[id]")) {
      const own = [...section.querySelectorAll("input")];
      const done = own.filter((box) => box.checked).length;
      section.querySelector("[data-count]").textContent = own.length ? `${done} of ${own.length} done` : "";
    }
  };

  const ticked = kept();
  for (const box of boxes) box.checked = ticked.has(box.id);
  count();
  document.addEventListener("change", () => {
    keep();
    count();
  });
  document.getElementById("clear").addEventListener("click", () => {
    for (const box of boxes) box.checked = false;
    keep();
    count();
  });
}
