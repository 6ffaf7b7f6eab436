/* Feeding a figure of curves over the crank angle from a scene. */

import { seenBeside } from "../shared/number_words.js";
import { modelNamed } from "../shared/page_models.js";
import { pageState } from "../shared/page_state.js";
import { Feeder, angles, closed, course, extremes, niceAbove } from "./feeder.js";
import { between } from "./scene.js";
import { strokesOf } from "./strokes.js";

export class LineFeeder extends Feeder {
  /** Fill all curves for the selected cylinder; `reference` is a scene or null. */
  feedScene(scene, reference, cylinder) {
    const angle = angles(scene);
    const data = { angle };
    this.cycleDegrees = scene.cycleDegrees;
    let low = 0;
    let high = 0;
    this.curves = this.feed.curves.map((curve) => this.curve(scene, curve, cylinder));
    this.feed.curves.forEach((curve, place) => {
      data[`y${place}`] = closed(this.curves[place]);
      const before =
        curve.with_reference && reference ? this.referenceTrace(reference, curve, cylinder) : null;
      data[`reference${place}`] = before ?? new Float32Array(angle.length).fill(NaN);
      for (const values of before ? [this.curves[place], before] : [this.curves[place]]) {
        const found = extremes(values);
        low = Math.min(low, found.low);
        high = Math.max(high, found.high);
      }
    });
    this.range(low, Math.min(high, this.most(scene, cylinder)), scene.cycleDegrees);
    this.source().data = data;
    this.strokes(scene, cylinder);
    this.labels(angle);
  }

  /** How far up the axis is worth showing: some times a bound, and what the first curve needs. */
  most(scene, cylinder) {
    if (!this.feed.most) return Infinity;
    const { row, times } = this.feed.most;
    return Math.max(
      times * extremes(scene.curve(row, "both", cylinder)).high,
      2 * extremes(this.curves[0]).low,
    );
  }

  curve(scene, curve, cylinder) {
    const index = this.feed.ofCylinder ? cylinder : (curve.component ?? 0);
    const values = scene.curve(curve.row, curve.part === "mean" ? "both" : curve.part, index);
    if (curve.part !== "mean") return values;
    let sum = 0;
    for (const value of values) sum += value;
    return values.fill(sum / values.length);
  }

  /** The reference's curve, or null where it has no such cylinder or another cycle's length. */
  referenceTrace(reference, curve, cylinder) {
    if (reference.cycleDegrees !== this.cycleDegrees) return null;
    if (this.feed.ofCylinder && cylinder >= reference.cylinders) return null;
    return closed(this.curve(reference, curve, cylinder));
  }

  range(low, high, cycleDegrees) {
    const figure = this.figure;
    const least = this.feed.smallest;
    const span = Math.max(high - low, least);
    const step = niceAbove(span / 7);
    const top = step * Math.ceil((high + 0.2 * span) / step);
    const bottom = step * Math.floor((low - 0.04 * span) / step);
    const { start, end } = figure.y_range;
    const isHeld = pageState.sliding && end > start;
    this.setRange(
      figure.y_range,
      isHeld ? Math.min(bottom, start) : bottom,
      isHeld ? Math.max(top, end) : top,
    );
    this.setRange(figure.x_range, 0, cycleDegrees);
  }

  /** Strokes of the selected cylinder, alternately shaded. */
  strokes(scene, cylinder) {
    if (!this.feed.ofCylinder) return;
    const { end: top } = this.figure.y_range;
    const fires = Number.isFinite(scene.firingDegrees[cylinder]); // a main bearing does not
    const key = `${scene.cycleDegrees}/${scene.firingDegrees[cylinder]}/${top}`;
    if (key === this.strokesKey) return;
    this.strokesKey = key;
    const data = { left: [], right: [], middle: [], top: [], name: [], shade: [] };
    for (const { start, end, index, name } of fires ? strokesOf(scene, cylinder) : []) {
      data.left.push(start);
      data.right.push(end);
      data.middle.push((start + end) / 2);
      data.top.push(top);
      data.name.push(end - start > 100 ? name : "");
      data.shade.push(index % 2 === 0 ? 1 : 0);
    }
    this.source("strokes").data = data;
  }

  /** Put each label where its curve is farthest from the others. */
  labels(angle) {
    const { start, end } = this.figure.y_range;
    const height = end - start;
    const taken = [];
    const data = { x: [], y: [], text: [], colour: [] };
    this.labelled = new Map();
    this.feed.curves.forEach((curve, place) => {
      const at = this.clearest(place, height, taken, angle.length);
      taken.push(at);
      this.labelled.set(at, this.curves[place][at]);
      data.x.push(angle[at]);
      data.y.push(this.curves[place][at % this.curves[place].length]);
      data.text.push(curve.label);
      data.colour.push(this.colours[curve.role]);
    });
    this.source("labels").data = data;
  }

  clearest(place, height, taken, count) {
    let best = 0;
    let room = -Infinity;
    const { end } = this.figure.y_range;
    for (let k = 1; k < 22; k++) {
      const at = Math.round((k * (count - 1)) / 28);
      const value = this.curves[place][at];
      let nearest = (end - value) / height < 0.22 ? -1 : 0.6;
      this.curves.forEach((other, index) => {
        if (index === place) return;
        const above = (other[at] - value) / height;
        nearest = Math.min(nearest, above > 0 ? above : -above + 0.08);
      });
      for (const used of taken) {
        const apart = Math.abs(this.labelled.get(used) - value) / height;
        if (Math.abs(used - at) < count / 5 && apart < 0.16) nearest -= 0.5;
      }
      if (nearest > room + 0.02) {
        room = nearest;
        best = at;
      }
    }
    return best;
  }

  /** Move the cursor to an angle [°]. */
  moveCursor(degrees) {
    this.cursor ??= modelNamed(`${this.name}_cursor`);
    if (this.cursor) this.cursor.location = degrees;
  }

  /** The crank angle [°] at a place of the axes. */
  angleAt({ x }) {
    return x;
  }

  /** What the caption says at an angle. */
  readout(scene, cylinder, at) {
    const main = this.feed.curves.findIndex(
      (curve) => curve.part === "both" && curve.with_reference,
    );
    if (!this.curves) return "";
    return this.feed.ofCylinder || this.feed.curves[main].component === null
      ? this.text(this.valueAt(main, at))
      : this.feed.curves
          .map((curve, place) => `${curve.label} ${this.text(this.valueAt(place, at))}`)
          .join(", ");
  }

  /** A curve's value at a place, 0 where it is rounding beside its largest. */
  valueAt(place, at) {
    const { low, high } = extremes(this.curves[place]);
    return seenBeside(between(this.curves[place], at), Math.max(-low, high));
  }

  /** Every curve over the angle. */
  table() {
    const head = ["φ, °", ...this.feed.curves.map(({ label }) => `${label}, ${this.feed.unit}`)];
    const [{ length }] = this.curves;
    const step = this.cycleDegrees / length;
    return {
      head,
      rows: Array.from({ length }, (_, i) => [i * step, ...this.curves.map((one) => one[i])]),
    };
  }

  describe(scene, cylinder) {
    const parts = this.feed.curves.map((curve, place) =>
      course(curve.label, this.curves[place], scene.step),
    );
    const whose = this.feed.ofCylinder
      ? `, ${scene.bearings?.[cylinder].title ?? `cylinder ${cylinder + 1}`}`
      : "";
    const axes = `over crank angle 0 to ${scene.cycleDegrees}°, in ${this.feed.unit}`;
    return `${this.feed.title}${whose}, ${axes}: ${parts.join("; ")}.`;
  }
}
