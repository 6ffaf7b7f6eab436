/* The ladder's speed axis as numbers: where it ends, its ticks and lines, where a speed lies. */

import { verdictOf } from "../shared/verdict.js";
import { rpmWords } from "./ladder_words.js";

const END_OVER_RED_LINE = 1.8; // where the axis ends at the latest; higher limits by number
const NEAR_RATED = [0.8, 1.6]; // of the rated speed: where decisions fall
const PAST_RED_LINE = 1.05; // to which the axis near the rated speed goes at least

/** A straight axis of speeds [rpm]: all from the ladder's lowest, or those near the rated one. */
export class LadderScale {
  constructor({ low, top, rated, redline }, isNear = false) {
    this.low = low;
    this.top = top;
    this.rated = rated;
    this.redline = redline;
    const [from, to] = NEAR_RATED;
    this.start = isNear ? Math.max(low, from * rated) : low;
    this.end = Math.min(
      top,
      isNear
        ? Math.max(to * rated, PAST_RED_LINE * (redline ?? 0))
        : END_OVER_RED_LINE * Math.max(rated, redline ?? 0),
    );
    this.ticks = ticksBetween(this.start, this.end);
    /** Rated speed and red line in the order of their speeds: [kind, speed, words]. */
    this.lines = [
      ["rated", rated, `rated ${rpmWords(rated)}`],
      ["redline", redline, `red line ${rpmWords(redline)}`],
    ]
      .filter(([, rpm]) => Number.isFinite(rpm))
      .sort(([, lower], [, higher]) => lower - higher);
  }

  /** Share of the axis that a speed [rpm] lies along, in percent. */
  at(rpm) {
    return Math.min(Math.max((100 * (rpm - this.start)) / (this.end - this.start), 0), 100);
  }

  /** Speed [rpm] from which a rung is met: where gas alone is too much, not from the start. */
  metFrom({ over }) {
    const [first] = over;
    return first && first[0] <= this.low * 1.0001 ? first[1] : this.low;
  }

  /** Speed [rpm] at which a rung's mark stands, Infinity where it has no limit. */
  limitOf(rung) {
    return rung.limit ?? (this.metFrom(rung) >= this.top * 0.9999 ? this.low : Infinity);
  }

  /** What is over below the axis, in words; empty where nothing is. */
  belowWords(rung) {
    const from = this.metFrom(rung);
    const isBelow = from > this.low && from <= this.start && !rung.guide;
    return isBelow ? `over below ${rpmWords(from)}` : "";
  }

  /** The verdict that a rung's mark shows. */
  markOf(rung) {
    if (rung.guide) return "guide";
    return verdictOf(
      this.limitOf(rung),
      this.rated,
      this.redline ?? this.rated,
      Boolean(rung.doubted),
    );
  }

  /**
   * Stretches of speed that are over, cut at the red line: those beyond it are `far`.
   * @param {[number, number][]} over
   */
  stretches(over) {
    const line = this.redline ?? this.end;
    const seen = over.filter(([, to]) => to > this.start);
    return seen.flatMap(([from, to]) => [
      ...(from < line ? [{ from, to: Math.min(to, line), far: false }] : []),
      ...(to > line && from < this.end ? [{ from: Math.max(from, line), to, far: true }] : []),
    ]);
  }
}

/** A few round speeds [rpm] between two. */
export function ticksBetween(low, top) {
  const rough = (top - low) / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].find((factor) => factor * power >= rough * 0.9) * power;
  const ticks = [];
  for (let rpm = Math.ceil(low / step) * step; rpm <= top; rpm += step) ticks.push(rpm);
  return ticks;
}
