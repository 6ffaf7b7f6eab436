/* The import of a full-load curve: which columns, what was measured, brake or indicated. */

import { DIALECT, ImportForm, named } from "./import_form.js";

const UNITS = ["N·m", "lbf·ft", "kW", "hp", "metric hp", "bar", "kPa", "MPa", "psi"];
const PICKS = [
  ...DIALECT,
  ["unit", "Unit of the values", UNITS.map(named)],
  ["basis", "Values are", ["brake", "indicated"].map(named)],
];

export function render({ model, el }) {
  const form = new ImportForm(model, {
    kind: "curve",
    title: "Full-load curve",
    about:
      "Text with a column of speed in rpm and one of torque, power or mean effective pressure.",
    use: "Use this curve",
    picks: PICKS,
    numbers: [["efficiency", "Mechanical efficiency", "% (brake values)", 1]],
  });
  el.append(form.node);
  form.listen();
}
