/* The head of an arrow. */

/** A head with its tip at (x, y) that points along the unit vector (ux, uy). */
export function drawArrowHead(context, x, y, ux, uy, length, filled) {
  const half = 0.34 * length;
  context.beginPath();
  context.moveTo(x - length * ux - half * uy, y - length * uy + half * ux);
  context.lineTo(x, y);
  context.lineTo(x - length * ux + half * uy, y - length * uy - half * ux);
  if (filled) context.fill();
  else context.stroke();
}
