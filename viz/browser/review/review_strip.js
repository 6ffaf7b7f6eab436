/* A rung's limits on one speed axis: A's as a ring, B's as its verdict's mark. */

import { MARKS } from "../figures/marks.js";
import { svg } from "../shared/elements.js";
import { formatWhole } from "../shared/number_words.js";

/** Ticks of the axis [rpm] that lie between its ends, some three of them, round. */
export function axisTicks([low, high]) {
  const rough = (high - low) / 3;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 2.5, 5, 10].map((factor) => factor * power).find((size) => size >= rough);
  const ticks = [];
  for (let tick = Math.ceil(low / step) * step; tick <= high; tick += step) ticks.push(tick);
  return ticks;
}

/** Share of the axis [%] at which a speed lies; NaN beyond its ends. */
export function placeOn([low, high], rpm) {
  const share = (100 * (rpm - low)) / (high - low);
  return rpm === null || share < 0 || share > 100 ? NaN : share;
}

/** The head of the strips: ticks with their speeds. */
export function stripHead(card) {
  const marks = axisTicks(card.axis).flatMap((tick) => {
    const x = `${placeOn(card.axis, tick)}%`;
    return [
      svg("line", { x1: x, x2: x, y1: 16, y2: 20, class: "tick" }),
      svg("text", { x, y: 13, "text-anchor": "middle" }, formatWhole(tick)),
    ];
  });
  return svg("svg", { class: "strip", "aria-hidden": "true" }, ...marks);
}

/** The strip of a rung: rated speeds and B's red line as uprights, its limits as marks. */
export function strip(card, row) {
  return svg(
    "svg",
    { class: "strip", "aria-hidden": "true" },
    svg("line", { x1: "0%", x2: "100%", y1: "50%", y2: "50%", class: "track" }),
    ...uprights(card),
    ...limitMarks(card, row),
  );
}

/** The uprights of a strip with what each is. */
export function uprightLines(card) {
  return [
    ["rated-a", card.rated[0], "rated A"],
    ["rated-b", card.rated[1], "rated B"],
    ["redline", card.redline[1], "red line B"],
  ];
}

function uprights(card) {
  return uprightLines(card).flatMap(([name, rpm]) => {
    const place = placeOn(card.axis, rpm);
    if (Number.isNaN(place)) return [];
    const x = `${place}%`;
    return [svg("line", { x1: x, x2: x, y1: 0, y2: "100%", class: name })];
  });
}

function limitMarks(card, row) {
  const [a, b] = row.limits.map((rpm) => placeOn(card.axis, rpm));
  const verdict = row.verdicts[1].startsWith("guide") ? "guide" : row.verdicts[1];
  const marks = [];
  if (!Number.isNaN(a) && !Number.isNaN(b))
    marks.push(svg("line", { x1: `${a}%`, x2: `${b}%`, y1: "50%", y2: "50%", class: "moved" }));
  if (!Number.isNaN(b)) marks.push(at(b, svg("circle", { r: 7, class: "patch" })));
  if (!Number.isNaN(a)) marks.push(at(a, svg("circle", { r: 4.5, class: "before" })));
  if (!Number.isNaN(b))
    marks.push(at(b, svg("path", { d: MARKS[verdict] ?? "", class: `mark ${verdict}` })));
  return marks;
}

function at(place, ...children) {
  return svg("svg", { x: `${place}%`, y: "50%", overflow: "visible" }, ...children);
}
