/* Comma-separated values: the one writer of every table that the browser saves. */

/** What a spreadsheet takes for a formula at the start of a text; an apostrophe keeps it text. */
const LIVE_TEXT = /^[=+\-@\t\r＝＋－＠]/;

/**
 * Rows of numbers and words as text, each line ended by LF; a number that is none is left empty.
 */
export function csvOf(head, rows) {
  return [head, ...rows].map((row) => `${row.map(csvCell).join(",")}\n`).join("");
}

function csvCell(value) {
  if (typeof value === "number")
    return Number.isFinite(value) ? `${Number(value.toPrecision(9))}` : "";
  const text = LIVE_TEXT.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text;
}
