/* What a rung leaves out and its values by other models, as a sheet shows them. */

import { element } from "../shared/elements.js";
import { DAGGER } from "./ladder_words.js";

/** What the criterion leaves out and applies to the design. */
export function leftOutParts(sentences) {
  if (!sentences.length) return [];
  return [
    element("h3", {}, `${DAGGER} Left out, and applies here`),
    element("ul", { class: "left-out" }, ...sentences.map((text) => element("li", {}, text))),
  ];
}

/** Limit and value by every model, that of the design first. */
export function bandParts(found) {
  if (!found) return [];
  const heads = ["Model", "Limit", "Value at rated speed"];
  const row = (end) =>
    element(
      "tr",
      {},
      element("th", { scope: "row" }, end.model),
      element("td", { class: "number" }, end.limit_text),
      element("td", { class: "number" }, end.value_text),
    );
  return [
    element("h3", {}, "By other models"),
    element(
      "table",
      {},
      element(
        "thead",
        {},
        element("tr", {}, ...heads.map((text) => element("th", { scope: "col" }, text))),
      ),
      element("tbody", {}, ...found.ends.map(row)),
    ),
  ];
}
