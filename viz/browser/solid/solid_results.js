/* What colours the solids: each result at an angle, over the cycle, and against its allowable. */

import { ramped } from "../figures/mixed_colours.js";

/** Colours from nothing to the allowable (viridis, told apart by lightness alone). */
export const RAMP = ["#440154", "#3b528b", "#21918c", "#5ec962", "#fde725"];

/** The colour of a share of the allowable; over it, the theme's colour of what is over. */
export function useColour(share, colours) {
  return share > 1 ? colours.bad : ramped(RAMP, Math.max(0, share));
}

/**
 * A result's value on a body at a fractional grid index, in shown units.
 * @param {any} result of the header
 * @param {number[]} rows indices of the scene's rows that load the body: the largest counts
 */
export function valueAt(result, scene, rows, at) {
  return Math.max(
    ...rows.map((row) =>
      Math.hypot(...result.components.map((terms) => sum(terms, scene, row, at))),
    ),
  );
}

function sum(terms, scene, row, at) {
  return terms.reduce(
    (total, [name, component, factor]) => total + factor * scene.load(name, row, component, at),
    0,
  );
}

/** The largest value over the cycle. */
export function peakOf(result, scene, rows) {
  let peak = 0;
  for (let at = 0; at < scene.points; at++) peak = Math.max(peak, valueAt(result, scene, rows, at));
  return peak;
}

/** Indices of the scene's rows that load a body; `number` counts from 1. */
export function rowsOf(kind, number, parts) {
  if (kind !== "crankpin") return [number - 1];
  return parts.cylinders.flatMap((place, c) => (place.throw === number ? [c] : []));
}
