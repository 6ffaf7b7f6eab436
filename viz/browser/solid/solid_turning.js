/* Turning, moving and zooming what stands in space, by pointer, touch and wheel. */

const A_CLICK = 4; // px that a pointer may move in a click
const TURN = 0.008; // rad per px

/** Wire a host's pointers to a stage's camera; a click is told to `clicked`. */
export function wireTurning(host, stage, clicked) {
  const pointers = new Map();
  let moved = 0;
  host.style.touchAction = "none";
  host.addEventListener("pointerdown", (event) => {
    host.setPointerCapture(event.pointerId);
    pointers.set(event.pointerId, [event.clientX, event.clientY]);
    if (pointers.size === 1) moved = 0;
  });
  host.addEventListener("pointermove", (event) => {
    const before = pointers.get(event.pointerId);
    if (!before) return;
    const by = [event.clientX - before[0], event.clientY - before[1]];
    moved += Math.abs(by[0]) + Math.abs(by[1]);
    const spread = spreadOf(pointers);
    pointers.set(event.pointerId, [event.clientX, event.clientY]);
    if (pointers.size > 1) pinch(stage.camera, by, spreadOf(pointers) / spread, host);
    else if (event.shiftKey || event.buttons === 4) pan(stage.camera, by, host);
    else stage.camera.turn(-by[0] * TURN, by[1] * TURN);
    stage.draw();
  });
  const ends = (event) => {
    if (!pointers.delete(event.pointerId)) return;
    if (event.type === "pointerup" && moved < A_CLICK) clicked(event);
  };
  host.addEventListener("pointerup", ends);
  host.addEventListener("pointercancel", ends);
  host.addEventListener(
    "wheel",
    (event) => {
      event.preventDefault();
      stage.camera.zoom(Math.exp(-event.deltaY * 0.0012));
      stage.draw();
    },
    { passive: false },
  );
}

/** Distance between two pointers [px]. */
function spreadOf(pointers) {
  const [first, second] = [...pointers.values()];
  return second ? Math.hypot(first[0] - second[0], first[1] - second[1]) || 1 : 1;
}

function pinch(camera, by, factor, host) {
  camera.zoom(factor);
  pan(camera, [by[0] / 2, by[1] / 2], host);
}

function pan(camera, by, host) {
  const [x, y] = by;
  const high = host.clientHeight || 1;
  camera.pan((-0.42 * x) / high, (0.42 * y) / high);
}
