/* What all feeders of Bokeh figures share: whole new data for a source, ranges set beforehand. */

import { formatNumber, seenBeside, withUnit } from "../shared/number_words.js";
import { modelNamed } from "../shared/page_models.js";

/** 1, 1.5, 2, 3, 4, 5, 6 or 8 times a power of ten, not below a number. */
export function niceAbove(value) {
  if (!(value > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(value));
  for (const step of [1, 1.5, 2, 3, 4, 5, 6, 8])
    if (step * power >= value * 0.999999) return step * power;
  return 10 * power;
}

/** Common parts of all feeders. */
export class Feeder {
  constructor(feed) {
    this.feed = feed;
    this.name = feed.name;
    this.element = null;
    this.model = null;
    this.sources = new Map();
    this.cursor = null;
    this.colours = {};
  }

  get figure() {
    this.model ??= modelNamed(`${this.name}_figure`);
    return this.model;
  }

  /** A source of this figure's, kept once it is found. */
  source(suffix = "data") {
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

/** Grid angles of a scene [°], the cycle's end included. */
export function angles(scene) {
  return Float32Array.from({ length: scene.points + 1 }, (_, i) => i * scene.step);
}

/** A periodic row with its first value again at the end. */
export function closed(values) {
  const out = new Float32Array(values.length + 1);
  out.set(values);
  out[values.length] = values[0];
  return out;
}

export function extremes(values) {
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
  const at = (value) =>
    `${formatNumber(seenBeside(value, largest))} at φ ${Math.round(values.indexOf(value) * step)}°`;
  return `${label} from ${at(low)} to a peak of ${at(high)}`;
}
