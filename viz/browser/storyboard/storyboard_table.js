/* A step's table, in type that is read from afar. */

import { element } from "../shared/elements.js";

/** A table of {head, rows, verdicts, more, answer}; a row's verdict marks its last cell. */
export function stageTable({ head, rows, verdicts, more, answer }) {
  const cells = (row, verdict) =>
    row.map((text, place) =>
      place === 0
        ? element("th", { scope: "row" }, text)
        : element("td", { class: place === row.length - 1 ? verdict : null }, text),
    );
  return element(
    "table",
    { class: "stage-table" },
    caption(answer, more ? `The first ${rows.length} of ${rows.length + more}` : ""),
    element(
      "thead",
      {},
      element("tr", {}, ...head.map((text) => element("th", { scope: "col" }, text))),
    ),
    element(
      "tbody",
      {},
      ...rows.map((row, place) => element("tr", {}, ...cells(row, verdicts[place] ?? null))),
    ),
  );
}

/** What the whole comes to, and how much of it is shown; nothing where there is neither. */
function caption(answer, part) {
  if (!answer && !part) return null;
  const words = answer ? element("strong", { class: "stage-answer" }, answer) : null;
  return element("caption", { class: answer ? "on-top" : null }, words, part);
}
