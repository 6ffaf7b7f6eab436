/* Feeding Bokeh figures from a scene: whole new data for each source, ranges set beforehand. */

import { formatNumber, formatShort, seenBeside, withUnit } from "../shared/number_words.js";
import { modelNamed } from "../shared/page_models.js";
import { between } from "./scene.js";
import { strokesOf } from "./strokes.js";

/** Make one feeder for each feed. */
export function makeFeeder(feed) {
  return new { line: LineFeeder, polar: PolarFeeder, orders: OrderFeeder }[feed.kind](feed);
}

/** 1, 1.5, 2, 3, 4, 5, 6 or 8 times a power of ten, not below a number. */
export function niceAbove(value) {
  if (!(value > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(value));
  for (const step of [1, 1.5, 2, 3, 4, 5, 6, 8]) if (step * power >= value * 0.999999) return step * power;
  return 10 * power;
}

/** Common parts of all feeders. */
class Feeder {
  constructor(feed) {
    this.feed = feed;
    this.name = feed.name;
    this.element = null;
    this.colours = {};
  }

  get figure() {
    this.model ??= modelNamed(`${this.name}_figure`);
    return this.model;
  }

  /** A source of this figure's, kept once it is found. */
  source(suffix = "data") {
    this.sources ??= new Map();
    if (!this.sources.has(suffix)) this.sources.set(suffix, modelNamed(`${this.name}_${suffix}`));
    return this.sources.get(suffix);
  }

  /** A value of this figure with its unit. */
  text(value, digits = 3) {
    return withUnit(formatNumber(value, digits), this.feed.unit);
  }

  setRange(range, start, end) {
    if (range.start !== start || range.end !== end) range.setv({ start, end });
  }
}

export class LineFeeder extends Feeder {
  /** Fill all curves for the picked cylinder; `reference` is a scene or null. */
  feedScene(scene, reference, cylinder) {
    const angle = angles(scene);
    const data = { angle };
    this.cycleDegrees = scene.cycleDegrees;
    let low = 0;
    let high = 0;
    this.curves = this.feed.curves.map((curve) => this.curve(scene, curve, cylinder));
    this.feed.curves.forEach((curve, place) => {
      data[`y${place}`] = closed(this.curves[place]);
      const pinned = curve.pinned && reference ? this.pinned(reference, curve, cylinder) : null;
      data[`reference${place}`] = pinned ?? new Float32Array(angle.length).fill(NaN);
      for (const values of pinned ? [this.curves[place], pinned] : [this.curves[place]]) {
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
    return Math.max(times * extremes(scene.curve(row, "both", cylinder)).high, 2 * extremes(this.curves[0]).low);
  }

  curve(scene, curve, cylinder) {
    const index = this.feed.ofCylinder ? cylinder : curve.component ?? 0;
    const values = scene.curve(curve.row, curve.part === "mean" ? "both" : curve.part, index);
    if (curve.part !== "mean") return values;
    let sum = 0;
    for (const value of values) sum += value;
    return values.fill(sum / values.length);
  }

  /** The reference's curve, or null where it has no such cylinder or another cycle's length. */
  pinned(reference, curve, cylinder) {
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
    this.setRange(figure.y_range, bottom, top);
    this.setRange(figure.x_range, 0, cycleDegrees);
  }

  /** Strokes of the picked cylinder, alternately shaded. */
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

  /** What the caption says at an angle. */
  readout(scene, cylinder, at) {
    const main = this.feed.curves.findIndex((curve) => curve.part === "both" && curve.pinned);
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
    return { head, rows: Array.from({ length }, (_, i) => [i * step, ...this.curves.map((one) => one[i])]) };
  }

  describe(scene, cylinder) {
    const parts = this.feed.curves.map((curve, place) => course(curve.label, this.curves[place], scene.step));
    const whose = this.feed.ofCylinder ? `, ${scene.bearings?.[cylinder].title ?? `cylinder ${cylinder + 1}`}` : "";
    return `${this.feed.title}${whose}, over crank angle 0 to ${scene.cycleDegrees}°, in ${this.feed.unit}: ${parts.join("; ")}.`;
  }
}

class PolarFeeder extends Feeder {
  feedScene(scene, reference, cylinder) {
    this.diagrams = this.feed.everyMain
      ? Array.from({ length: scene.mains }, (_, index) => ({
          row: this.feed.diagrams[0].row, title: `${this.feed.diagrams[0].title} ${index + 1}`, index,
        }))
      : this.feed.diagrams;
    this.traces = this.diagrams.map((one) => this.diagram(scene, one, cylinder));
    const pinned = reference
      ? this.diagrams.map((one) => this.pinned(reference, one, cylinder))
      : [];
    let peak = 0;
    for (const trace of this.traces) peak = Math.max(peak, trace.largest);
    for (const trace of pinned) if (trace) peak = Math.max(peak, trace.peak);
    this.step = scene.step;
    this.ring = niceAbove(Math.max(peak, 1e-3));
    this.arrange();
    this.source().data = this.columns(pinned);
  }

  diagram(scene, one, cylinder) {
    const index = one.index ?? cylinder;
    const trace = { peak: 0, largest: 0, at: 0 };
    for (const part of ["gas", "inertia", "both"]) {
      const x = scene.curve(one.row, part, index, 0);
      const y = scene.curve(one.row, part, index, 1);
      for (let i = 0; i < x.length; i++) {
        const size = Math.hypot(x[i], y[i]);
        if (size > trace.largest) trace.largest = size;
        if (part === "both" && size > trace.peak) [trace.peak, trace.at] = [size, i];
      }
      trace[part] = [x, y];
    }
    return trace;
  }

  pinned(reference, one, cylinder) {
    const count = one.index === null ? reference.cylinders : reference.mains;
    return (one.index ?? cylinder) < count ? this.diagram(reference, one, cylinder) : null;
  }

  /** Choose rows and columns for the room there is, and draw rings, spokes and titles. */
  arrange() {
    const { width, height } = this.room();
    const count = this.diagrams.length;
    const grid = bestGrid(count, width, height);
    const key = [width, height, this.ring, count].join("/");
    this.cell = count > 2 ? [2.35, 2.3] : [2.9, 3.05];
    this.centres = this.diagrams.map((_, index) => [
      this.cell[0] * (index % grid.columns),
      -this.cell[1] * Math.floor(index / grid.columns),
    ]);
    this.texts();
    if (key === this.arranged) return;
    this.arranged = key;
    this.frame(grid, width, height);
    this.rings();
  }

  room() {
    const box = this.element ? this.element.getBoundingClientRect() : { width: 600, height: 300 };
    return { width: Math.max(box.width - 12, 60), height: Math.max(box.height - 12, 60) };
  }

  frame(grid, width, height) {
    const [across, down] = this.cell;
    const unit = Math.max((across * grid.columns) / width, (down * grid.rows) / height);
    const midX = (across * (grid.columns - 1)) / 2;
    const midY = (-down * (grid.rows - 1)) / 2 - (this.diagrams.length > 2 ? 0 : 0.12);
    const { x_range, y_range } = this.figure;
    this.setRange(x_range, midX - (unit * width) / 2, midX + (unit * width) / 2);
    this.setRange(y_range, midY - (unit * height) / 2, midY + (unit * height) / 2);
  }

  rings() {
    const rings = { x: [], y: [], radius: [] };
    const spokes = { x0: [], y0: [], x1: [], y1: [] };
    for (const [x, y] of this.centres) {
      for (const radius of [0.5, 1]) {
        rings.x.push(x);
        rings.y.push(y);
        rings.radius.push(radius);
      }
      for (let k = 0; k < 12; k++) {
        const [sin, cos] = [Math.sin((k * Math.PI) / 6), Math.cos((k * Math.PI) / 6)];
        const inner = k % 3 === 0 ? 0 : 0.94;
        spokes.x0.push(x + inner * sin);
        spokes.y0.push(y + inner * cos);
        spokes.x1.push(x + sin);
        spokes.y1.push(y + cos);
      }
    }
    this.source("rings").data = rings;
    this.source("spokes").data = spokes;
  }

  texts() {
    const texts = { x: [], y: [], text: [], align: [], baseline: [] };
    const put = (x, y, text, align, baseline) => {
      texts.x.push(x);
      texts.y.push(y);
      texts.text.push(text);
      texts.align.push(align);
      texts.baseline.push(baseline);
    };
    this.diagrams.forEach((one, index) => {
      const [x, y] = this.centres[index];
      const { peak, at } = this.traces[index];
      const ring = withUnit(formatShort(this.ring, 3), this.feed.unit);
      if (this.diagrams.length > 2) {
        put(x - 1.12, y + 1.12, one.title, "left", "top");
        put(x - 1.12, y - 1.14, `peak ${this.text(peak)}`, "left", "bottom");
        return;
      }
      const found = `peak ${this.text(peak)} at φ ${Math.round(at * this.step)}°`;
      put(x, y - 1.04, `${one.title}\n${found}`, "center", "top");
      put(x, y + 1.0, "0°", "center", "bottom");
      put(x + 1.04, y, "90°", "left", "middle");
      put(x - 1.04, y, "270°", "right", "middle");
      put(x + 0.36, y - 0.36, formatShort(this.ring / 2, 3), "left", "top");
      put(x + 0.72, y - 0.7, ring, "left", "top");
    });
    this.source("texts").data = texts;
    this.source("peaks").data = {
      x: this.traces.map(({ both, at }, i) => this.centres[i][0] + both[0][at] / this.ring),
      y: this.traces.map(({ both, at }, i) => this.centres[i][1] + both[1][at] / this.ring),
    };
  }

  columns(pinned) {
    const n = this.traces[0].both[0].length + 2;
    const data = {};
    for (const trace of ["reference", "gas", "inertia", "both"]) {
      const [x, y] = [new Float32Array(n * this.traces.length), new Float32Array(n * this.traces.length)];
      this.traces.forEach((own, index) => {
        const shown = trace === "reference" ? pinned[index] && pinned[index].both : own[trace];
        this.place(x, y, index * n, n, shown, this.centres[index]);
      });
      data[`${trace}_x`] = x;
      data[`${trace}_y`] = y;
    }
    return data;
  }

  /** Write one closed trace, and a gap after it. */
  place(x, y, start, n, trace, [centreX, centreY]) {
    for (let i = 0; i < n; i++) {
      const at = start + i;
      if (!trace || i === n - 1) {
        x[at] = y[at] = NaN;
      } else {
        const from = i === n - 2 ? 0 : i % trace[0].length;
        x[at] = centreX + trace[0][from] / this.ring;
        y[at] = centreY + trace[1][from] / this.ring;
      }
    }
  }

  moveCursor(degrees, at) {
    if (!this.traces) return;
    const data = { x0: [], y0: [], x1: [], y1: [] };
    this.traces.forEach(({ both }, index) => {
      const [x, y] = this.centres[index];
      data.x0.push(x);
      data.y0.push(y);
      data.x1.push(x + between(both[0], at) / this.ring);
      data.y1.push(y + between(both[1], at) / this.ring);
    });
    this.source("cursor").data = data;
  }

  readout(scene, cylinder, at) {
    if (!this.traces) return "";
    const { both } = this.traces[0];
    const size = Math.hypot(between(both[0], at), between(both[1], at));
    return this.diagrams[0].index === null
      ? this.text(size)
      : `rings ${formatShort(this.ring / 2, 3)} and ${withUnit(formatShort(this.ring, 3), this.feed.unit)}`;
  }

  /** Both components of every load over the angle. */
  table() {
    const titles = this.diagrams.map(({ title }) => title.replace("\n", ", "));
    const [{ both: [{ length }] }] = this.traces;
    return {
      head: ["φ, °", ...titles.flatMap((title) => [`${title}: x, ${this.feed.unit}`, `${title}: y, ${this.feed.unit}`])],
      rows: Array.from({ length }, (_, i) => [
        i * this.step, ...this.traces.flatMap(({ both }) => [both[0][i], both[1][i]]),
      ]),
    };
  }

  describe(scene, cylinder) {
    const parts = this.diagrams.map(
      (one, index) =>
        `${one.title.replace("\n", ", ")}: peak ${this.text(this.traces[index].peak)} at φ ${Math.round(this.traces[index].at * this.step)}°`
    );
    return `${this.feed.title}, polar, all at one scale of ${withUnit(formatShort(this.ring, 3), this.feed.unit)}: ${parts.join("; ")}.`;
  }
}

class OrderFeeder extends Feeder {
  feedScene(scene, reference) {
    const { orders } = scene.orders;
    const count = this.feed.components.length;
    let peak = 0;
    const sizes = this.feed.components.map((_, k) => scene.orderSizes(this.feed.of, k));
    const pinned = reference
      ? this.feed.components.map((_, k) => reference.orderSizes(this.feed.of, k))
      : null;
    for (const row of pinned ? [...sizes, ...pinned] : sizes) peak = Math.max(peak, ...row);
    this.setRange(this.figure.y_range, 0, niceAbove(Math.max(peak * 1.2, this.feed.smallest)));
    const { width } = this.feed;
    sizes.forEach((row, k) => {
      const left = orders.map((order) => order + (k - count / 2) * width);
      this.source(String(k)).data = {
        left,
        right: left.map((x) => x + width),
        size: row,
        reference: orders.map((order, i) =>
          pinned ? visible(pinned[k][reference.orders.orders.indexOf(order)], 0.01 * peak) : NaN
        ),
      };
    });
    this.sizes = sizes;
    this.orders = orders;
    this.label(sizes, orders, peak);
  }

  /** Write the size over the bars that matter. */
  label(sizes, orders, peak) {
    const texts = { x: [], y: [], text: [] };
    orders.forEach((order, i) => {
      const tallest = Math.max(...sizes.map((row) => row[i]));
      if (tallest < 0.04 * peak || tallest < 0.05 * this.feed.smallest) return;
      texts.x.push(order);
      texts.y.push(tallest);
      texts.text.push(formatNumber(tallest));
    });
    if (!texts.x.length) {
      texts.x.push(4.3);
      texts.y.push(this.figure.y_range.end / 2);
      texts.text.push("nothing above rounding");
    }
    this.source("texts").data = texts;
  }

  moveCursor() {}

  readout() {
    return "";
  }

  /** Every order's size. */
  table() {
    const head = ["order", ...this.feed.components.map((label) => `${label}, ${this.feed.unit}`)];
    return { head, rows: this.orders.map((order, i) => [order, ...this.sizes.map((row) => row[i])]) };
  }

  describe() {
    const parts = this.feed.components.map((label, k) => {
      const best = this.sizes[k].indexOf(Math.max(...this.sizes[k]));
      return `${label} largest at order ${this.orders[best]}, ${this.text(this.sizes[k][best])}`;
    });
    return `${this.feed.title}, in ${this.feed.unit}: ${parts.join("; ")}.`;
  }
}

/** A size that can be seen, or a gap. */
function visible(size, least) {
  return size > least ? size : NaN;
}

/** Grid angles of a scene [°], the cycle's end included. */
function angles(scene) {
  return Float32Array.from({ length: scene.points + 1 }, (_, i) => i * scene.step);
}

/** A periodic row with its first value again at the end. */
function closed(values) {
  const out = new Float32Array(values.length + 1);
  out.set(values);
  out[values.length] = values[0];
  return out;
}

function extremes(values) {
  let low = Infinity;
  let high = -Infinity;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return { low, high };
}

/** How a curve over the cycle runs, in words: level, or from its lowest to its highest place. */
export function course(label, values, step) {
  const { low, high } = extremes(values);
  if (high - low <= 1e-6 * Math.abs(high)) return `${label} ${formatNumber(high)} throughout`;
  const largest = Math.max(-low, high);
  const at = (value) => `${formatNumber(seenBeside(value, largest))} at φ ${Math.round(values.indexOf(value) * step)}°`;
  return `${label} from ${at(low)} to a peak of ${at(high)}`;
}

/** Columns and rows that give equal squares the most room. */
function bestGrid(count, width, height) {
  let best = { columns: 1, rows: count, side: 0 };
  for (let columns = 1; columns <= count; columns++) {
    const rows = Math.ceil(count / columns);
    const side = Math.min(width / columns, height / rows);
    if (side > best.side * 1.001) best = { columns, rows, side };
  }
  return best;
}
