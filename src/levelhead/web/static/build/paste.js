// Blocks of cells as spreadsheets put them on the clipboard: tabs between cells, quotes around line breaks.

import { EDITED } from "./columns.js";

// -> rows of texts
export function parsed(text) {
  const rows = [[]];
  const cell = /(?:"((?:[^"]|"")*)"|([^\t\n\r]*))(\t|\r\n|\n|\r|$)/y;
  while (cell.lastIndex < text.length) {
    const found = cell.exec(text);
    if (!found) break;
    rows.at(-1).push((found[1] !== undefined ? found[1].replaceAll('""', '"') : found[2]).trim());
    if (found[3] !== "\t" && cell.lastIndex < text.length) rows.push([]);
  }
  return rows.filter((row) => row.some(Boolean));
}

export function asText(rows) {
  const quoted = (text) => (/[\t\n\r"]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  return rows.map((row) => row.map(quoted).join("\t")).join("\n");
}

// Texts of a block as cells of the list, from a row and a column on; what reaches over its edges falls away.
// A first column in the socket column is skipped: it only numbers the rows.
export function cellsOf(block, rows, column) {
  const first = column === "socket" ? -1 : EDITED.indexOf(column);
  if (column === "state") return [];
  return block.slice(0, rows.length).flatMap((texts, line) =>
    texts
      .map((text, index) => [rows[line], EDITED[first + index], text])
      .filter(([, name, text]) => name && text !== ""),
  );
}
