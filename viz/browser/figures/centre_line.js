/* The centre line of a part, as every drawing shows it. */

/** A thin dash-dotted line from (x1, y1) to (x2, y2) px. */
export function drawCentreLine(context, colour, x1, y1, x2, y2) {
  context.strokeStyle = colour;
  context.lineWidth = 1;
  context.setLineDash([12, 3, 2, 3]);
  context.beginPath();
  context.moveTo(x1, y1);
  context.lineTo(x2, y2);
  context.stroke();
  context.setLineDash([]);
}
