// Who else is at this show, and what they did last: one quiet line.

const place = document.getElementById("people");

const called = ({ name, may }) => (may === "look" ? `${name} (looks)` : name);

export function drawPeople({ people, you, last }) {
  const others = people.filter((each) => each.name !== you);
  const own = people.find((each) => each.name === you);
  const words = [];
  if (others.length) words.push(`Here: ${others.map(called).join(", ")} and you${you === "the desk" ? "" : ` (${you})`}.`);
  else if (own?.pages > 1) words.push(`Open on ${own.pages} pages of yours.`);
  if (last) words.push(`Last change by ${last.by}: ${last.what}.`);
  place.textContent = words.join(" ");
}
