/* The verdict marks: a shape and a colour for each verdict. */

const MARKS = { safe: "M-5 0 L-1.5 4 L5.5 -5", marginal: "M0 -6 L0 6", over: "M-4.5 -4.5 L4.5 4.5 M4.5 -4.5 L-4.5 4.5" };
const VERDICT_ROLES = { safe: "good", marginal: "warn", over: "bad" };

/** A verdict's mark as a small drawing. */
function verdictMark(verdict) {
  return svg(
    "svg", { viewBox: "-8 -8 16 16", class: `verdict-mark ${verdict}`, "aria-hidden": "true" },
    svg("path", { d: MARKS[verdict] ?? "" })
  );
}

/** Draw a verdict's mark at a point, on a patch of paper. */
function drawVerdict(context, x, y, size, verdict, colours) {
  context.save();
  context.translate(x, y);
  context.scale(size / 8, size / 8);
  context.beginPath();
  context.arc(0, 0, 8.5, 0, 2 * Math.PI);
  context.fillStyle = colours.paper;
  context.fill();
  context.lineWidth = 2.6;
  context.strokeStyle = colours[VERDICT_ROLES[verdict]] ?? colours.text;
  context.stroke(new Outline(MARKS[verdict] ?? ""));
  context.restore();
}
