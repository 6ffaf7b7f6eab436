/* Turning the shaft by the pointer: round the axis in the end view, rolled in the side view. */

const STILL = 4; // px that a click may wander

/**
 * Let a canvas be dragged; what does not move is a click, and what hovers points at a body.
 * @param {HTMLCanvasElement} canvas
 * @param {{plan: object, turnBy: Function, click: Function, point: Function}} view
 */
export function turnByDrag(canvas, view) {
  let from = null; // where the pointer went down and was last [px]
  let dragged = false;
  canvas.addEventListener("pointerdown", (event) => {
    if (event.button !== 0 || !view.plan) return;
    const [x, y] = pointOn(canvas, event);
    from = { x, y, atX: x, atY: y, inEnd: isInEnd(view.plan, x, y) };
    dragged = false;
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", (event) => {
    const [x, y] = pointOn(canvas, event);
    if (!from) {
      if (event.pointerType === "mouse") view.point(x, y);
      return;
    }
    dragged ||= Math.hypot(x - from.x, y - from.y) > STILL;
    if (!dragged) return;
    view.point();
    view.turnBy(turnBetween(view.plan, from, x, y));
    [from.atX, from.atY] = [x, y];
  });
  canvas.addEventListener("pointerup", (event) => {
    if (from && !dragged) view.click(...pointOn(canvas, event));
    from = null;
  });
  canvas.addEventListener("pointercancel", () => (from = null));
  canvas.addEventListener("pointerleave", () => view.point());
}

/** Where on a canvas an event is [CSS px]. */
function pointOn(canvas, event) {
  const box = canvas.getBoundingClientRect();
  return [event.clientX - box.left, event.clientY - box.top];
}

function isInEnd({ end }, x, y) {
  return Math.hypot(x - end.x, y - end.y) <= 1.15 * end.reach;
}

/** Angle [rad] of a drag from a place to the next; the side that is nearest rolls downward. */
function turnBetween({ end, reach }, from, x, y) {
  if (!from.inEnd) return (y - from.atY) / reach;
  const by = Math.atan2(y - end.y, x - end.x) - Math.atan2(from.atY - end.y, from.atX - end.x);
  return Math.atan2(Math.sin(by), Math.cos(by));
}
