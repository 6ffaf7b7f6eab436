/* The marks of verdicts and states: a shape and a colour for each. */

import { svg } from "../shared/elements.js";
import { Outline } from "./svg_context.js";

const [TICK, BAR, CROSS] = [
  "M-5 0 L-1.5 4 L5.5 -5",
  "M0 -6 L0 6",
  "M-4.5 -4.5 L4.5 4.5 M4.5 -4.5 L-4.5 4.5",
];
const [RING, TRIANGLE] = ["M4 0 A4 4 0 1 1 -4 0 A4 4 0 1 1 4 0", "M0 -5.5 L5.5 4.5 L-5.5 4.5 Z"];
const DIAMOND = "M0 -5.5 L5 0 L0 5.5 L-5 0 Z";
export const MARKS = {
  within: TICK,
  marginal: BAR,
  over: CROSS, // the ladder's verdicts
  guide: DIAMOND, // a guide value: flagged, never the limit
  met: RING,
  edge: TRIANGLE,
  not_met: CROSS, // a film at one speed
  reached: TICK,
  short: BAR,
  refused: CROSS, // what an offer comes to
};
const MARK_ROLES = {
  within: "good",
  marginal: "warn",
  over: "bad",
  guide: "muted",
  met: "text",
  edge: "warn",
  not_met: "bad",
  reached: "good",
  short: "warn",
  refused: "bad",
};

/** A verdict's mark as a small drawing. */
export function verdictMark(verdict) {
  return svg(
    "svg",
    { viewBox: "-8 -8 16 16", class: `verdict-mark ${verdict}`, "aria-hidden": "true" },
    svg("path", { d: MARKS[verdict] ?? "" }),
  );
}

/** Draw a verdict's mark at a point, on a patch of paper. */
export function drawVerdict(context, [x, y], size, verdict, colours) {
  context.save();
  context.translate(x, y);
  context.scale(size / 8, size / 8);
  context.beginPath();
  context.arc(0, 0, 8.5, 0, 2 * Math.PI);
  context.fillStyle = colours.paper;
  context.fill();
  context.lineWidth = 2.6;
  context.strokeStyle = colours[MARK_ROLES[verdict]] ?? colours.text;
  context.stroke(new Outline(MARKS[verdict] ?? ""));
  context.restore();
}
