/* The ladder's marks, hatching and legend. */

import { MARKS } from "../figures/marks.js";
import { element, svg } from "../shared/elements.js";
import { DAGGER } from "./ladder_words.js";

/** A verdict's mark, at the origin, on a patch of paper. */
export function markOnPatch(verdict) {
  return [svg("circle", { r: 7.5, class: "patch" }), verdictPath(verdict)];
}

/** A verdict's mark and word. */
export function badge(verdict) {
  return element(
    "span",
    { class: `badge ${verdict}` },
    badgeMark(verdict),
    element("span", {}, verdict),
  );
}

function badgeMark(verdict) {
  const attributes = { viewBox: "-8 -8 16 16", class: "badge-mark", "aria-hidden": "true" };
  return svg("svg", attributes, verdictPath(verdict));
}

function verdictPath(verdict) {
  return svg("path", { d: MARKS[verdict] ?? "", class: `mark ${verdict}` });
}

/** The pattern of stretches that are over, for all drawings of the page. */
export function hatching() {
  const lines = svg("path", { d: "M-1 1 L1 -1 M0 6 L6 0 M5 7 L7 5", class: "hatch-line" });
  const size = { width: 6, height: 6, patternUnits: "userSpaceOnUse" };
  const pattern = svg("pattern", { id: "hatch", ...size }, lines);
  return svg(
    "svg",
    { width: 0, height: 0, class: "definitions", "aria-hidden": "true" },
    svg("defs", {}, pattern),
  );
}

/** The sign of a limit with the worst cylinder misfiring: its tip is on the speed. */
export function misfireSign() {
  return svg("path", { d: "M0 -3 L-4.5 -9 L4.5 -9 Z", class: "misfire" });
}

/** What the ladder's signs mean. */
export function legend() {
  const stretch = { x: 0.5, y: 0.5, width: 21, height: 9, class: "stretch", fill: "url(#hatch)" };
  return element(
    "span",
    { class: "legend muted" },
    element(
      "span",
      {},
      svg("svg", { width: 22, height: 10, "aria-hidden": "true" }, svg("rect", stretch)),
      "over its allowable",
    ),
    element("span", {}, badgeMark("guide"), "guide, never the limit"),
    element(
      "span",
      {},
      svg(
        "svg",
        { width: 22, height: 10, "aria-hidden": "true" },
        svg("rect", { x: 1, y: 3.5, width: 20, height: 3, class: "band" }),
      ),
      "other models",
    ),
    element(
      "span",
      { title: "Something left out applies to this design: see the rung's sheet" },
      `${DAGGER} left out`,
    ),
    element(
      "span",
      {},
      svg(
        "svg",
        { width: 12, height: 10, viewBox: "-6 -9 12 10", "aria-hidden": "true" },
        misfireSign(),
      ),
      "worst misfire",
    ),
    element(
      "span",
      { class: "of-reference" },
      svg(
        "svg",
        { width: 12, height: 12, viewBox: "-6 -6 12 12", "aria-hidden": "true" },
        svg("circle", { r: 4, class: "reference-mark" }),
      ),
      "reference",
    ),
  );
}
