/* Feeding a figure of polar diagrams from a scene, all to one scale. */

import { formatShort, withUnit } from "../shared/number_words.js";
import { pageState } from "../shared/page_state.js";
import { Feeder, niceAbove } from "./feeder.js";
import { between } from "./scene.js";

const ROOMY = 180; // [px] of one diagram, from which its corners have room for its words

export class PolarFeeder extends Feeder {
  feedScene(scene, reference, cylinder) {
    this.diagrams = this.diagramsOf(scene);
    this.traces = this.diagrams.map((diagram) => this.diagram(scene, diagram, cylinder));
    const before = reference
      ? this.diagrams.map((diagram) => this.referenceTrace(reference, diagram, cylinder))
      : [];
    let peak = 0;
    const size = this.traces.length === 1 ? "peak" : "largest"; // one alone is fitted to the total
    for (const trace of this.traces) peak = Math.max(peak, trace[size]);
    for (const trace of before) if (trace) peak = Math.max(peak, trace.peak);
    this.step = scene.step;
    this.ring = Math.max(niceAbove(Math.max(peak, 1e-3)), pageState.sliding ? this.ring : 0);
    this.arrange();
    this.source().data = this.columns(before);
  }

  /** The diagrams that are shown: those of the feed, of every main, or of the most loaded one. */
  diagramsOf(scene) {
    const { diagrams, everyMain, mostLoaded } = this.feed;
    if (!everyMain && !mostLoaded) return diagrams;
    const [{ row, title }] = diagrams;
    const mains = Array.from({ length: scene.mains }, (_, index) => ({
      row,
      title: `${title} ${index + 1}`,
      index,
    }));
    return everyMain ? mains : [mains[mostLoadedOf(scene, row)]];
  }

  diagram(scene, diagram, cylinder) {
    const index = diagram.index ?? cylinder;
    const trace = { peak: 0, largest: 0, at: 0 };
    for (const part of ["gas", "inertia", "both"]) {
      const x = scene.curve(diagram.row, part, index, 0);
      const y = scene.curve(diagram.row, part, index, 1);
      for (let i = 0; i < x.length; i++) {
        const size = Math.hypot(x[i], y[i]);
        if (size > trace.largest) trace.largest = size;
        if (part === "both" && size > trace.peak) [trace.peak, trace.at] = [size, i];
      }
      trace[part] = [x, y];
    }
    return trace;
  }

  referenceTrace(reference, diagram, cylinder) {
    const count = diagram.index === null ? reference.cylinders : reference.mains;
    return (diagram.index ?? cylinder) < count ? this.diagram(reference, diagram, cylinder) : null;
  }

  /** Choose rows and columns for the room there is, and draw rings, spokes and titles. */
  arrange() {
    const { width, height } = this.room();
    const count = this.diagrams.length;
    const grid = bestGrid(count, width, height);
    const key = [width, height, this.ring, count].join("/");
    const isRoomy = Math.min(width / grid.columns, height / grid.rows) > ROOMY;
    this.cell = count <= 2 ? [2.9, 3.05] : isRoomy ? [2.03, 2.06] : [2.35, 2.3];
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
    this.diagrams.forEach((diagram, index) => {
      const [x, y] = this.centres[index];
      const { peak, at } = this.traces[index];
      const ring = withUnit(formatShort(this.ring, 3), this.feed.unit);
      if (this.diagrams.length > 2) {
        const edge = Math.min(this.cell[0] / 2, 1.12);
        put(x - edge, y + edge, diagram.title, "left", "top");
        put(x - edge, y - edge - 0.02, `peak ${this.text(peak)}`, "left", "bottom");
        return;
      }
      const found = `peak ${this.text(peak)} at φ ${Math.round(at * this.step)}°`;
      put(x, y - 1.04, `${diagram.title}\n${found}`, "center", "top");
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

  columns(before) {
    const n = this.traces[0].both[0].length + 2;
    const data = {};
    for (const trace of ["reference", "gas", "inertia", "both"]) {
      const [x, y] = [
        new Float32Array(n * this.traces.length),
        new Float32Array(n * this.traces.length),
      ];
      this.traces.forEach((own, index) => {
        const shown = trace === "reference" ? before[index] && before[index].both : own[trace];
        placeTrace(
          [x, y].map((all) => all.subarray(index * n, (index + 1) * n)),
          shown,
          this.centres[index],
          this.ring,
        );
      });
      data[`${trace}_x`] = x;
      data[`${trace}_y`] = y;
    }
    return data;
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

  /** The crank angle [°] of the load that is nearest to a place of the axes. */
  angleAt({ x, y }) {
    if (!this.traces) return null;
    const near = nearestTo(this.centres, ([cx, cy]) => Math.hypot(cx - x, cy - y));
    const [cx, cy] = this.centres[near];
    const [loadX, loadY] = this.traces[near].both;
    const [tipX, tipY] = [(x - cx) * this.ring, (y - cy) * this.ring];
    return this.step * nearestTo(loadX, (load, i) => Math.hypot(load - tipX, loadY[i] - tipY));
  }

  readout(scene, cylinder, at) {
    if (!this.traces) return "";
    const { both } = this.traces[0];
    const size = Math.hypot(between(both[0], at), between(both[1], at));
    if (this.diagrams[0].index === null) return this.text(size);
    const outer = withUnit(formatShort(this.ring, 3), this.feed.unit);
    return `rings ${formatShort(this.ring / 2, 3)} and ${outer}`;
  }

  /** Both components of every load over the angle. */
  table() {
    const titles = this.diagrams.map(({ title }) => title.replace("\n", ", "));
    const [
      {
        both: [{ length }],
      },
    ] = this.traces;
    return {
      head: [
        "φ, °",
        ...titles.flatMap((title) => [
          `${title}: x, ${this.feed.unit}`,
          `${title}: y, ${this.feed.unit}`,
        ]),
      ],
      rows: Array.from({ length }, (_, i) => [
        i * this.step,
        ...this.traces.flatMap(({ both }) => [both[0][i], both[1][i]]),
      ]),
    };
  }

  describe() {
    const parts = this.diagrams.map(({ title }, index) => {
      const { peak, at } = this.traces[index];
      const degrees = Math.round(at * this.step);
      return `${title.replace("\n", ", ")}: peak ${this.text(peak)} at φ ${degrees}°`;
    });
    const scale = withUnit(formatShort(this.ring, 3), this.feed.unit);
    return `${this.feed.title}, polar, all at one scale of ${scale}: ${parts.join("; ")}.`;
  }
}

/**
 * Write one closed trace about a centre, one ring's load as 1, and a gap after it; or a gap alone.
 */
function placeTrace(columns, trace, centre, ring) {
  columns.forEach((column, axis) => {
    const last = column.length - 1;
    for (let i = 0; i <= last; i++) {
      const from = i === last - 1 ? 0 : i % (trace ? trace[axis].length : 1);
      column[i] = !trace || i === last ? NaN : centre[axis] + trace[axis][from] / ring;
    }
  });
}

/** Index of the item with the least distance. */
function nearestTo(items, distance) {
  let [best, least] = [0, Infinity];
  items.forEach((item, i) => {
    const apart = distance(item, i);
    if (apart < least) [best, least] = [i, apart];
  });
  return best;
}

/** Which main carries the largest mean load. */
function mostLoadedOf(scene, row) {
  const means = Array.from({ length: scene.mains }, (_, index) => {
    const x = scene.curve(row, "both", index, 0);
    const y = scene.curve(row, "both", index, 1);
    return x.reduce((sum, value, i) => sum + Math.hypot(value, y[i]), 0) / x.length;
  });
  return means.indexOf(Math.max(...means));
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
