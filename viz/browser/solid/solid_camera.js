/* A camera that goes round what it looks at, upright always. */

/** Half the angle of view from top to bottom [rad]. */
export const HALF_VIEW = (12 * Math.PI) / 180;
const STEEPEST = 1.5;
const FILLED = 0.95; // of the picture, by the whole train

/** Named views: angle round the shaft's upright from the front, and height over it [rad]. */
export const VIEWS = {
  threequarter: { words: "Three-quarter", around: 1.02, above: 0.32 },
  front: { words: "Front", around: 0, above: 0 },
  side: { words: "Side", around: Math.PI / 2, above: 0 },
  top: { words: "Top", around: Math.PI / 2, above: STEEPEST },
};

export class SolidCamera {
  around = VIEWS.threequarter.around;
  above = VIEWS.threequarter.above;
  nearer = 1; // 1 shows the whole train
  aside = [0, 0]; // of the middle, right and up, over the distance

  /** Look as a named view does, at the whole train. */
  show(name) {
    const { around, above } = VIEWS[name];
    Object.assign(this, { around, above, nearer: 1, aside: [0, 0] });
  }

  turn(around, above) {
    this.around += around;
    this.above = Math.max(-STEEPEST, Math.min(STEEPEST, this.above + above));
  }

  zoom(factor) {
    this.nearer = Math.max(0.4, Math.min(12, this.nearer * factor));
  }

  pan(right, up) {
    this.aside = [this.aside[0] + right / this.nearer, this.aside[1] + up / this.nearer];
  }

  /** Directions of the view: to the right, up, and toward the viewer. */
  get axes() {
    const [sa, ca] = [Math.sin(this.around), Math.cos(this.around)];
    const [sb, cb] = [Math.sin(this.above), Math.cos(this.above)];
    return { right: [ca, 0, -sa], up: [-sb * sa, cb, -sb * ca], back: [cb * sa, sb, cb * ca] };
  }

  /**
   * Position, middle and distance [m] that show points, in a picture of a width over height.
   * @param {number[][]} points
   * @param {number} aspect
   */
  place(points, aspect) {
    const { right, up, back } = this.axes;
    const seen = [right, up, back].map((axis) =>
      points.map((point) => point.reduce((sum, value, i) => sum + value * axis[i], 0)),
    );
    const middle = seen.map((values) => (Math.min(...values) + Math.max(...values)) / 2);
    const tan = Math.tan(HALF_VIEW) * FILLED;
    const needed = points.map((_, k) => {
      const [x, y, z] = middle.map((value, axis) => seen[axis][k] - value);
      return Math.max(Math.abs(x) / aspect, Math.abs(y)) / tan + z;
    });
    const far = Math.max(...needed);
    const distance = far / this.nearer;
    const [x, y, z] = [middle[0] + far * this.aside[0], middle[1] + far * this.aside[1], middle[2]];
    const focus = right.map((value, i) => x * value + y * up[i] + z * back[i]);
    return { focus, position: focus.map((value, i) => value + distance * back[i]), up, distance };
  }
}
