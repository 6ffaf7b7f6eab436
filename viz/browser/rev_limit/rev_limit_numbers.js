/* A line of the rev limit at any speed: numbers between those sent, and how they are written. */

import { formatNumber, formatWhole, unbroken, withUnit } from "../shared/number_words.js";

const NARROW_SPACE = "\u202f"; // no line breaks at it

/** A number in a sentence, which does not break. */
export function spokenNumber(value, digits = 3) {
  return unbroken(formatNumber(value, digits));
}

/** A whole speed [rpm]. */
export function rpmText(rpm) {
  return unbroken(formatWhole(rpm));
}

/**
 * The value at a speed, straight in speed² between those on both sides; null where there is none.
 */
function valueAt(speeds, values, rpm) {
  let [low, high] = [0, speeds.length - 1];
  if (rpm <= speeds[0]) return values[0];
  if (rpm >= speeds[high]) return values[high];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (speeds[middle] <= rpm) low = middle;
    else high = middle;
  }
  const [before, after] = [values[low], values[high]];
  if (before === null || after === null) return null;
  return (
    before +
    ((rpm ** 2 - speeds[low] ** 2) / (speeds[high] ** 2 - speeds[low] ** 2)) * (after - before)
  );
}

/** Where a criterion is over for the first time [rpm], infinite if never. */
export function firstOver(over) {
  return Math.min(Infinity, ...over.map(([start]) => start));
}

/** The value that uses a share of the allowable; null where there is no load at all. */
function valueOf({ at_least, allowed }, use) {
  if (!at_least) return use === null ? null : use * allowed;
  return use === null ? 0 : use > 0 ? allowed / use : null;
}

/** A line at a speed: value, share used, the number spoken, and the sentence that fits. */
export function lineAt(line, rpm, cycle) {
  const use = valueAt(line.rpm, line.use, rpm);
  const value = valueOf(line, use);
  const spoken = line.spoken ? valueAt(line.rpm, line.spoken, rpm) : value;
  const sentence = line.sentences.find(({ least }) => least === null || spoken >= least);
  const times =
    sentence.size === null ? null : line.inverse ? sentence.size / spoken : spoken / sentence.size;
  return {
    value,
    spoken,
    use,
    sentence,
    numbers: {
      n: spokenNumber(times, times >= 100 ? 3 : 2),
      use: spokenNumber(100 * use, 3),
      stops: spokenNumber(rpm / 30, 3),
      cycles: spokenNumber(rpm * cycle, 2),
    },
  };
}

/** A value with its unit, in words where there is no load at all. */
export function loadText(value, unit) {
  return value === null
    ? "no load"
    : withUnit(spokenNumber(value), unit).replace(" ", NARROW_SPACE);
}

/** Words in which no line breaks between a number and its unit. */
export function keepUnits(words) {
  return words.replace(/(\d) (?=(?:rpm|mm|in|g|kg|lb|bar|psi|MPa|ksi|%)(?![a-z]))/g, "$1\u00a0");
}
