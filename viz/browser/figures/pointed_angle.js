/* Setting the crank angle on a figure: press or drag where the crank is to stand. */

/**
 * Call `moved` with the crank angle [°] under the pointer while it is down on a feeder's figure.
 * The feeder says which angle lies at a place of its axes.
 */
export function followPointer(feeder, moved) {
  const { element } = feeder;
  const follow = (event) => {
    const place = placeUnder(feeder.figure, event);
    const angle = place && feeder.angleAt(place);
    if (angle !== null) moved(angle);
  };
  element.classList.add("sets-angle");
  element.addEventListener("mousedown", (event) => event.preventDefault()); // takes no focus
  element.addEventListener("pointerdown", (event) => {
    if (event.button || !isInFrame(feeder.figure, event)) return;
    element.setPointerCapture(event.pointerId);
    follow(event);
  });
  element.addEventListener("pointermove", (event) => {
    if (element.hasPointerCapture(event.pointerId)) follow(event);
  });
}

/** Where the pointer is on a figure's axes, held inside them; null while it is not drawn. */
function placeUnder(figure, event) {
  const frame = frameOf(figure);
  if (!frame) return null;
  const { left, top, width, height } = frame;
  return {
    x: between(figure.x_range, (event.clientX - left) / width),
    y: between(figure.y_range, 1 - (event.clientY - top) / height),
  };
}

function isInFrame(figure, { clientX, clientY }) {
  const frame = frameOf(figure);
  if (!frame) return false;
  const [x, y] = [clientX - frame.left, clientY - frame.top];
  return x >= 0 && y >= 0 && x <= frame.width && y <= frame.height;
}

/** The figure's frame in the window [px], or null while it is not drawn. */
function frameOf(figure) {
  const view = figure && window.Bokeh.index.find_one(figure);
  if (!view) return null;
  const { left, top } = view.el.getBoundingClientRect();
  const { bbox } = view.frame;
  return { left: left + bbox.left, top: top + bbox.top, width: bbox.width, height: bbox.height };
}

/** The value at a share of a range, which is held to 0 to 1. */
function between({ start, end }, share) {
  return start + Math.min(Math.max(share, 0), 1) * (end - start);
}
