/* The marks of a lesson on the engine, in numbers and words: pure, no drawing. */

import { formatShort } from "../shared/number_words.js";

const DEGREES = 180 / Math.PI;

/** The marks in words, for the picture's description. */
export function markWords(marks) {
  const { dwell, orders, pin_load: load } = marks ?? {};
  return [
    dwell && `; dwell ${degreeText(dwell.top)} at TDC, ${degreeText(dwell.bottom)} at BDC`,
    orders && "; first and second order of the acceleration as arrows, and their sum",
    load && `; crankpin most loaded ${degreeText(heaviestAngle(load))} from outward`,
  ]
    .filter(Boolean)
    .join("");
}

/** An angle [rad] in words. */
export function degreeText(angle) {
  return `${formatShort(angle * DEGREES, 3)}°`;
}

/** First order, second order and the sum of all at a crank angle [rad], over r·ω². */
export function ordersAt({ real, imaginary }, angle) {
  const values = real.map((size, i) => {
    const turn = (i + 1) * angle;
    return size * Math.cos(turn) - imaginary[i] * Math.sin(turn);
  });
  return [values[0], values[1], values.reduce((sum, value) => sum + value, 0)];
}

/** The angle [rad] from outward at which the load is largest. */
export function heaviestAngle({ share, step }) {
  return share.indexOf(Math.max(...share)) * step;
}
