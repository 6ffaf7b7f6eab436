/* The ladder as a table on the page. */

import { element } from "../shared/elements.js";
import { columnsOf, rungsByPart } from "./ladder_columns.js";
import { badge } from "./ladder_marks.js";
import { rpmWords } from "./ladder_words.js";

/** Caption, head and body of the table, its rungs by part. */
export function tableParts(ladder) {
  const columns = columnsOf(ladder);
  const rungs = rungsByPart(ladder.rungs).flatMap(([, rungsOfPart]) => rungsOfPart);
  const words = ladder.reference ? `, and the change from ${ladder.reference}` : "";
  const heads = columns.map(([title]) => element("th", { scope: "col" }, title));
  return [
    element("caption", {}, `Margins on the rated speed, ${rpmWords(ladder.rated)} rpm${words}`),
    element("thead", {}, element("tr", {}, ...heads)),
    element("tbody", {}, ...rungs.map((rung) => tableRow(columns, rung))),
  ];
}

function tableRow(columns, rung) {
  return element(
    "tr",
    { "data-rung": rung.key },
    ...columns.map(([title, read, kind]) => {
      if (title === "Criterion") return element("th", { scope: "row" }, read(rung));
      return element("td", { class: kind }, kind === "verdict" ? badge(rung.verdict) : read(rung));
    }),
  );
}
