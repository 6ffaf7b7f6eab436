/* The variants as columns of a table, with what may be done with each. */

import { verdictMark } from "../figures/marks.js";
import { element } from "../shared/elements.js";

/** Head and body of the table; `ask` gets a kind and fields. */
export function variantParts({ columns, rows }, ask) {
  return [
    element(
      "thead",
      {},
      element("tr", {}, element("td", {}), ...columns.map((column) => columnHead(column, ask))),
    ),
    element(
      "tbody",
      {},
      ...rows.map(({ label, cells }) =>
        element(
          "tr",
          {},
          element("th", { scope: "row" }, label),
          ...cells.map((text, place) =>
            element("td", { class: text === cells[0] && place ? "same" : null }, text),
          ),
        ),
      ),
    ),
  ];
}

function columnHead({ letter, name, parent, index, verdict }, ask) {
  return element(
    "th",
    { scope: "col" },
    element(
      "span",
      { class: "letter" },
      letter,
      verdict ? verdictMark(verdict) : null,
      element("span", { class: "verdict-word" }, verdict),
    ),
    index === null ? element("span", { class: "variant-name" }, name) : nameBox(name, index, ask),
    element("span", { class: "muted" }, index === null ? parent : parent ? `from ${parent}` : ""),
    index === null ? null : buttons(letter, index, ask),
  );
}

function nameBox(name, index, ask) {
  return element("input", {
    value: name,
    maxlength: 80,
    "aria-label": "Name of the variant",
    onchange: (event) => ask("rename", { index, name: event.target.value }),
    onkeydown: (event) => event.key === "Enter" && event.target.blur(),
  });
}

function buttons(letter, index, ask) {
  const button = (kind, words, label) =>
    element(
      "button",
      { type: "button", "aria-label": `${label} ${letter}`, onclick: () => ask(kind, { index }) },
      words,
    );
  return element(
    "span",
    { class: "buttons" },
    button("open", "Open", "Open"),
    button("refer_to", "Reference", "Set as reference:"),
    button("remove", "Remove", "Remove"),
  );
}
