/* The columns of the ladder as a table, and the ladder as the dialog of figures has it. */

import { bandWords, leftOutWords, rpmWords, shareWords, sourceWords } from "./ladder_words.js";

/** Title, what a rung has there, and the cell's class. @type {any[][]} */
const COLUMNS = [
  ["Part", (rung) => rung.part],
  ["Criterion", (rung) => rung.label],
  ["Most used at", (rung) => rung.used_at, "number"],
  ["Value there", (rung) => rung.value_text, "number"],
  ["Allowable", (rung) => rung.allowable_text, "number"],
  ["Used", (rung) => shareWords(rung.use), "number"],
  ["Limit speed", (rung) => rung.limit_text, "number may-wrap"],
  ["Margin", (rung) => rung.margin_text, "number"],
  ["Verdict", (rung) => rung.verdict, "verdict"],
  ["Worst misfire", (rung) => rung.misfire?.words ?? "–", "may-wrap"],
  ["Limit by other models", bandWords, "origin"],
  ["Left out, and applies here", leftOutWords, "long"],
  ["Allowable known from", sourceWords],
  ["Origin", (rung) => rung.origin, "origin"],
];
const CHANGE = ["Change from reference", (rung) => rung.change_text || "–", "number"];
const VERDICT = COLUMNS.findIndex(([title]) => title === "Verdict");
const [BEFORE_VERDICT, FROM_VERDICT] = [COLUMNS.slice(0, VERDICT), COLUMNS.slice(VERDICT)];

/** The columns of the table; the change from a reference stands before the verdict. */
export function columnsOf(ladder) {
  return ladder.reference ? [...BEFORE_VERDICT, CHANGE, ...FROM_VERDICT] : COLUMNS;
}

/** Parts in the order of their lowest limit, each with its rungs. */
export function rungsByPart(rungs) {
  const parts = new Map();
  for (const rung of rungs) parts.set(rung.part, [...(parts.get(rung.part) ?? []), rung]);
  return [...parts];
}

/** The ladder for the dialog of figures; `drawing` gives its picture. */
export function ladderFigure(ladder, drawing) {
  const { name, sentence, rungs, rated, reference } = ladder;
  const columns = columnsOf(ladder);
  return {
    title: "What limits the speed",
    words: sentence,
    name,
    foot: `${name}, rated at ${rpmWords(rated)} rpm${reference ? `; circles: ${reference}` : ""}`,
    table: {
      head: columns.map(([title]) => title),
      rows: rungs.map((rung) => columns.map(([, read]) => read(rung))),
    },
    drawing,
  };
}
