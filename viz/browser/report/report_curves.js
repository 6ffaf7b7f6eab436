/* Every curve of a scene as comma-separated values: a column a curve, a row a crank angle. */

import { csvOf } from "../shared/csv_text.js";
import { shownUnit } from "../shared/shown_units.js";
import { keepFile } from "./report_part.js";

const PARTS_OF = { 2: ["x", "y"], 3: ["pitching", "yawing", "rolling"] };

/** Keep columns [title, values] as a file. */
export function keepTable(name, columns) {
  const rows = Array.from(columns[0][1], (_, i) => columns.map(([, values]) => values[i]));
  keepFile(
    `${name}.csv`,
    csvOf(
      columns.map(([title]) => title),
      rows,
    ),
  );
}

/** All curves of a scene at its speed; what has both causes comes as gas, inertia and both. */
export function curveColumns(scene, nameOf) {
  const angle = Array.from({ length: scene.points }, (_, i) => i * scene.step);
  return [
    ["crank_angle [°]", angle],
    ...Object.keys(scene.rows).flatMap((name) => rowColumns(scene, name, nameOf)),
  ];
}

function rowColumns(scene, name, nameOf) {
  const row = scene.rows[name];
  const both = row.gas !== undefined && row.inertia !== undefined;
  return linesOf(scene, row, nameOf).flatMap(({ ending, index, component }) =>
    (both ? ["gas", "inertia", "both"] : ["both"]).map((part) => [
      `${name}${ending}${both ? `_${part}` : ""}${row.unit ? ` [${row.unit}]` : ""}`,
      scene.curve(name, part, index, component),
    ]),
  );
}

/** The lines of a row: each of its cylinders, bearings or components. */
function linesOf(scene, { perCylinder, shape }, nameOf) {
  const vector = perCylinder ? shape[1] : shape.length > 1 ? shape[1] : undefined;
  const count = perCylinder ? scene.cylinders : (shape[0] ?? 1);
  return Array.from({ length: count }, (_, index) => {
    if (!perCylinder && !vector) {
      return [{ ending: shape.length ? `_${PARTS_OF[count][index]}` : "", index, component: null }];
    }
    const ending = `_${perCylinder ? nameOf(index) : index + 1}`;
    if (!vector) return [{ ending, index, component: null }];
    return PARTS_OF[vector].map((axis, component) => ({
      ending: `${ending}_${axis}`,
      index,
      component,
    }));
  }).flat();
}

/** Sizes of free forces and moments by order. */
export function orderColumns(scene) {
  const of = (kind, unit, names) =>
    names.map((name, component) => [
      `free_${kind}_${name} [${unit}]`,
      scene.orderSizes(kind, component),
    ]);
  return [
    ["order", scene.orders.orders],
    ...of("force", shownUnit("N").symbol, PARTS_OF[2]),
    ...of("moment", shownUnit("Nm").symbol, PARTS_OF[3]),
  ];
}
