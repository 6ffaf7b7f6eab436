/* The card's table: criteria by group and main numbers, a column for each difference. */

import { verdictMark } from "../figures/marks.js";
import { element } from "../shared/elements.js";
import { strip, stripHead } from "./review_strip.js";

const LARGEST_BAR = 10; // points of per cent that fill a cell

/** The head: what is compared, then each difference, the rest and the axis of the limits. */
export function tableHead(card) {
  const head = (kind, ...children) => element("th", { scope: "col", class: kind }, ...children);
  return element(
    "thead",
    {},
    element(
      "tr",
      {},
      head("name", "Criterion"),
      head("verdict", "Verdict"),
      head("number used", "Used A → B"),
      ...card.differences.map(({ label, by, values }) =>
        element(
          "th",
          { scope: "col", class: "number by", title: values },
          element("span", { class: "muted" }, "by "),
          label,
          element("span", { class: "step" }, by),
        ),
      ),
      head("number by", element("span", { class: "muted" }, "rest")),
      head("strip-head", hidden("Limits of A and B on one axis of speed"), stripHead(card)),
      head("number limits", "Limit, rpm"),
    ),
  );
}

/** The bodies: a group each, then the main numbers; `open` tells whether all others are shown. */
export function tableBodies(card, attributions, { open, onOpen, onPick }) {
  const columns = 6 + card.differences.length; // beside those of the differences
  const groups = card.groups
    .filter(({ rows }) => rows.length)
    .map(({ key, title, rows }) => {
      const folded = key === "other" && !open;
      const shown = folded ? [] : rows;
      return element(
        "tbody",
        { "data-group": key },
        groupHead(key === "other" ? othersButton(title, rows, open, onOpen) : title, columns),
        ...shown.map((row) => rungRow(card, row, attributions?.rungs[row.key], onPick)),
      );
    });
  const numbers = element(
    "tbody",
    { "data-group": "numbers" },
    groupHead("Gained and paid, each at its rated speed", columns),
    ...card.numbers.map((row) => numberRow(card, row, attributions?.numbers[row.key])),
  );
  const others = groups.filter(({ dataset }) => dataset.group === "other");
  return [...groups.filter((group) => !others.includes(group)), numbers, ...others];
}

function hidden(words) {
  return element("span", { class: "hidden" }, words);
}

function othersButton(title, rows, open, onOpen) {
  return element(
    "button",
    { class: "others", "aria-expanded": String(open), onclick: onOpen },
    `${open ? "▾" : "▸"} ${title}: ${rows.length}`,
  );
}

function groupHead(content, columns) {
  return element(
    "tr",
    { class: "group" },
    element("th", { scope: "colgroup", colspan: columns }, content),
  );
}

function rungRow(card, row, attribution, onPick) {
  const values = `${row.part}: ${row.label}. A ${row.values[0]}; B ${row.values[1]}`;
  return element(
    "tr",
    { "data-rung": row.key, class: row.governs ? "governs" : null },
    element(
      "th",
      { scope: "row", class: "name" },
      element(
        "button",
        { class: "pick", title: `${values}. Open on Limits`, onclick: () => onPick(row.key) },
        element("span", { class: "muted" }, `${row.part} `),
        row.label,
      ),
    ),
    element(
      "td",
      { class: "verdict" },
      ...verdictCell(row.verdicts),
      row.governs ? element("span", { class: "tag" }, "governs") : null,
    ),
    usedCell(row),
    ...byCells(card, attribution),
    element("td", { class: "strip-cell" }, strip(card, row)),
    element("td", { class: "number limits", title: limitTitle(row) }, ...limitWords(row)),
  );
}

/** Both verdicts where they differ, else the one. */
function verdictCell([before, after]) {
  const [markBefore, markAfter] = [before, after].map((verdict) =>
    verdictMark(verdict.startsWith("guide") ? "guide" : verdict),
  );
  if (before === after) return [markAfter, after];
  const changed = hidden(`${before} to `);
  return [markBefore, "→ ", markAfter, changed, element("strong", {}, after)];
}

function usedCell({ used, sense, move }) {
  return element(
    "td",
    { class: "number used" },
    element("span", { class: "muted" }, `${bare(used[0])} → `),
    used[1],
    element("span", { class: `move ${sense}` }, move),
  );
}

function bare(text) {
  return text.replace(/\s?%$/, "");
}

/** The cells of the differences and of the rest; dots until they are computed. */
function byCells(card, attribution) {
  const count = card.differences.length + 1;
  const cells = attribution?.by ?? Array.from({ length: count }, () => undefined);
  return cells.map((cell) => {
    if (!cell) {
      const words = cell === undefined ? "…" : "–";
      return element("td", { class: "number by muted" }, words);
    }
    const width = Math.min(100, (100 * cell.size) / LARGEST_BAR);
    return element(
      "td",
      { class: `number by ${cell.sense}`, style: `--share: ${width.toFixed(1)}%` },
      element("span", {}, cell.text),
    );
  });
}

/** B's limit, and how far it lies from A's. */
function limitWords({ limit_words: [, after], limit_move: move }) {
  const words = after.replace(/\s?rpm$/, "");
  return move ? [words, element("span", { class: "muted limit-move" }, move)] : [words];
}

function limitTitle({ limit_words: [before, after] }) {
  return `Limit of A: ${before}; of B: ${after}`;
}

function changeWords(move) {
  return element("span", { class: "muted" }, /%/.test(move) ? `(${move})` : "");
}

function numberRow(card, row, attribution) {
  return element(
    "tr",
    { "data-number": row.key },
    element(
      "th",
      { scope: "row", class: "name" },
      element("span", { class: "pick", title: row.label }, row.label),
    ),
    element("td", {}),
    element(
      "td",
      { class: "number used" },
      element("span", { class: "muted" }, `${row.values[0]} → `),
      row.values[1],
    ),
    ...byCells(card, attribution),
    element("td", { class: "change" }, row.difference, " ", changeWords(row.move)),
    element("td", {}),
  );
}
