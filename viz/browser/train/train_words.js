/* The crank train's picture in words. */

import { strokeAt } from "../figures/strokes.js";
import { withShownUnit } from "../shared/shown_units.js";
import { FORCES } from "./train_forces.js";
import { markWords } from "./mark_numbers.js";

/** The stroke of a cylinder at a crank angle [°]. */
export function strokeWords(scene, cylinder, angle) {
  return `cylinder ${cylinder + 1}: ${strokeAt(scene, cylinder, angle).name}`;
}

/** What the picture shows: angle, stroke, views and the forces of the selected cylinder. */
export function trainWords(scene, { angle, cylinder, arrows, marks }) {
  const forces = Object.entries(FORCES)
    .filter(([key, { row }]) => arrows[key] && row)
    .map(([, { label, row }]) => {
      const value = scene.load(row, cylinder, null, angle / scene.step);
      return `${label.toLowerCase()} ${withShownUnit(value, "kN")}`;
    });
  const views = ["side and front view", ...(forces.length ? [forces.join(", ")] : [])].join("; ");
  const title = `Crank train of ${scene.name} at crank angle ${Math.round(angle)}°`;
  return `${title}, ${strokeWords(scene, cylinder, angle)}; ${views}${markWords(marks)}.`;
}
