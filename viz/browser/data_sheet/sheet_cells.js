/* Which cells a pasted text changes, and which rows a filter shows; nothing here draws. */

export const COLUMNS = ["value", "origin", "note"];

/**
 * The cells that a text copied from a spreadsheet changes: lines go down the rows, tabs across the
 * columns. An empty cell changes nothing.
 * @param {string} text
 * @param {string} column the column that it is pasted into
 * @param {string[]} keys of the rows from there down
 */
export function pastedCells(text, column, keys) {
  const lines = text.replace(/\r\n?/g, "\n").replace(/\n$/, "").split("\n");
  const first = COLUMNS.indexOf(column);
  const cells = lines.slice(0, keys.length).flatMap((line, place) =>
    line
      .split("\t")
      .slice(0, COLUMNS.length - first)
      .map((part, across) => ({
        key: keys[place],
        column: COLUMNS[first + across],
        text: part.trim(),
      })),
  );
  const beyond = lines.slice(keys.length).filter((line) => line.trim()).length;
  return { cells: cells.filter((cell) => cell.text), beyond };
}

/** Whether a text is more than one cell. */
export function isBlock(text) {
  return /[\t\n\r]/.test(text.trim());
}

/** Whether a row is shown: of the origin that is chosen, "" for all, and with every word. */
export function isShown(row, { origin, search, title }) {
  if (origin && row.origin !== origin) return false;
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  const text = [row.label, row.key, title, row.note, row.value].join(" ").toLowerCase();
  return words.every((word) => text.includes(word));
}

/** How many rows there are of each origin. */
export function originCounts(rows) {
  const counts = new Map();
  for (const { origin } of rows) if (origin) counts.set(origin, (counts.get(origin) ?? 0) + 1);
  return counts;
}
