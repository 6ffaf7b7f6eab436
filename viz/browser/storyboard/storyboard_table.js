/* A step's table, in type that is read from afar. */

import { element } from "../shared/elements.js";

/** A table of {head, rows, verdicts, more}; a row's verdict colours and marks its last cell. */
export function stageTable({ head, rows, verdicts, more }) {
  const cells = (row, verdict) =>
    row.map((text, place) =>
      place === 0
        ? element("th", { scope: "row" }, text)
        : element("td", { class: place === row.length - 1 ? verdict : null }, text),
    );
  return element(
    "table",
    { class: "stage-table" },
    more ? element("caption", {}, `The first ${rows.length} of ${rows.length + more}`) : null,
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
