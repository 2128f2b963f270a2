// What a change moved: figures that carry a name, before and after, marked and listed.

const MOST = 6;

// root -> Map of name to text
export function figuresIn(root) {
  return new Map([...root.querySelectorAll("[data-moves]")].map((node) => [node.dataset.moves, node.textContent.trim()]));
}

// Marks what differs and fills the list; returns the same in words.
export function markMoved(root, before) {
  const moved = [...root.querySelectorAll("[data-moves]")]
    .map((node) => ({ node, was: before.get(node.dataset.moves), is: node.textContent.trim() }))
    .filter(({ was, is }) => was !== undefined && was !== is);
  for (const { node } of moved) node.classList.add("moved");
  const told = moved.slice(0, MOST);
  const list = root.querySelector("#moved");
  if (list) {
    list.hidden = false;
    list.replaceChildren(...(told.length ? told.map(asLine) : [plainLine("Nothing moved.")]));
  }
  return told.map(({ node, was, is }) => `${node.dataset.moves}: ${is}, was ${was}`).join("; ");
}

function asLine({ node, was, is }) {
  const line = plainLine(`${node.dataset.moves}: `);
  const now = document.createElement("strong");
  now.textContent = is;
  line.append(now, `, was ${was}`);
  return line;
}

function plainLine(text) {
  const line = document.createElement("li");
  line.textContent = text;
  return line;
}
