/* The forces that the train shows as arrows: their boxes, their rows of a scene, the largest. */

import { element } from "../shared/elements.js";

/** Forces by key: label, and the row of a scene for one of the selected cylinder. */
export const FORCES = {
  gas: { label: "Gas", row: "gas_force" },
  inertia: { label: "Inertia", row: "inertia_force" },
  rod: { label: "Rod", row: "rod_force" },
  side: { label: "Side thrust", row: "side_thrust" },
  mains: { label: "Mains", row: null },
};
const AT_FIRST = ["gas", "inertia"];

/** A box for each force; `changed` is called when the reader ticks one. */
export class ForceBoxes {
  constructor(changed) {
    this.boxes = new Map(
      Object.keys(FORCES).map((key) => {
        const checked = AT_FIRST.includes(key);
        return [key, element("input", { type: "checkbox", checked, onchange: changed })];
      }),
    );
    this.nodes = [...this.boxes].map(([key, box]) =>
      element("label", { class: `arrow ${key}` }, box, ` ${FORCES[key].label}`),
    );
  }

  /** Which forces are shown, by key. */
  get shown() {
    return Object.fromEntries([...this.boxes].map(([key, box]) => [key, box.checked]));
  }

  /** Show the forces that are true of these, by key. */
  show(forces) {
    for (const [key, box] of this.boxes) box.checked = forces[key] === true;
  }
}

/** Largest force [N] that an arrow may show. */
export function arrowPeak(scene) {
  let peak = 0;
  for (const { row } of Object.values(FORCES)) {
    if (!row) continue;
    for (const value of scene.curve(row, "both", 0)) peak = Math.max(peak, Math.abs(value));
  }
  return peak;
}
