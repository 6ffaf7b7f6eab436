/* Turning the crank by hand: a drag about its axis in the view from the front. */

const AT_REST = 3; // ° that a pressed pointer may turn and still be a click

export class CrankDrag {
  /** `turned` gets each angle [°, clockwise] by which the reader turns the crank. */
  constructor(canvas, turned) {
    this.canvas = canvas;
    this.turned = turned;
    this.circle = null; // x, y, radius [CSS px]
    this.travel = 0; // [°] since the pointer went down
    const listen = (name, take) => canvas.addEventListener(name, take);
    listen("pointerdown", (event) => this.hold(event));
    listen("pointermove", (event) => this.move(event));
    listen("touchstart", (event) => this.keepPage(event));
  }

  /** Whether the pointer turned the crank since it went down. */
  get hasTurned() {
    return this.travel > AT_REST;
  }

  hold(event) {
    this.travel = 0;
    if (event.button || !this.isOver(event)) return;
    this.canvas.setPointerCapture(event.pointerId);
    this.last = this.direction(event);
  }

  move(event) {
    const isHeld = this.canvas.hasPointerCapture(event.pointerId);
    this.canvas.classList.toggle("turning", isHeld);
    this.canvas.classList.toggle("turns", isHeld || this.isOver(event));
    if (!isHeld) return;
    const now = this.direction(event);
    const by = turnBetween(this.last, now);
    this.last = now;
    this.travel += Math.abs(by);
    this.turned(by);
  }

  /** A finger on the crank turns it, and does not scroll the page. */
  keepPage(event) {
    if (event.touches.length === 1 && this.isOver(event.touches[0])) event.preventDefault();
  }

  isOver(point) {
    if (!this.circle) return false;
    const { x, y } = this.fromAxis(point);
    return Math.hypot(x, y) <= this.circle.radius;
  }

  /** The pointer's direction from the crank's axis [°, clockwise from upright]. */
  direction(event) {
    const { x, y } = this.fromAxis(event);
    return (Math.atan2(x, -y) * 180) / Math.PI;
  }

  fromAxis({ clientX, clientY }) {
    const { left, top } = this.canvas.getBoundingClientRect();
    return { x: clientX - left - this.circle.x, y: clientY - top - this.circle.y };
  }
}

/** The shorter turn from one direction to another, -180 to 180 [°]. */
export function turnBetween(from, to) {
  return ((((to - from + 180) % 360) + 360) % 360) - 180;
}
