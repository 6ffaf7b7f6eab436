/* The import of measured pressure: how its columns are taken, and each cylinder's cycles. */

import { element } from "../shared/elements.js";
import { DIALECT, ImportForm, named, scrolled, tableRows } from "./import_form.js";

const PICKS = [
  ...DIALECT,
  ["unit", "Pressure unit", ["bar", "kPa", "MPa", "psi"].map(named)],
  [
    "direction",
    "Angle with rotation",
    [
      ["rising", "rises"],
      ["falling", "falls"],
    ],
  ],
  [
    "reference",
    "Angle is that of",
    [
      ["cylinder", "each cylinder's own TDC"],
      ["engine", "cylinder 1's TDC"],
    ],
  ],
  ["cylinder", "Cylinders run on", [["0", "cylinder 1"]]],
  [
    "which",
    "Course",
    [
      ["mean", "mean of the cycles"],
      ["highest", "cycle of highest peak"],
      ["upper", "mean + 2σ"],
    ],
  ],
  ["strength", "Strength loads take", [["mean", "the course chosen"]]],
  [
    "zero",
    "Zero of pressure",
    [
      ["given", "as measured"],
      ["intake", "intake pressure at BDC"],
    ],
  ],
];

export function render({ model, el }) {
  const form = new TraceForm(model, {
    kind: "trace",
    title: "Measured cylinder pressure",
    about:
      "Text with a column of crank angle in degrees and columns of pressure, one cycle or many.",
    use: "Use this trace",
    picks: PICKS,
    numbers: [
      ["offset", "Add to pressure", model.units.offset, 0.01],
      ["firing_tdc", "Firing TDC at", "° of the file", 0.1],
    ],
  });
  el.append(form.node);
  form.listen();
}

class TraceForm extends ImportForm {
  findings() {
    this.cylinders = element("table", { class: "effects" });
    return [
      scrolled("Cycles of each cylinder", this.cylinders),
      element("h3", {}, "Top dead centre and zero of pressure"),
      ...super.findings(),
    ];
  }

  showFile(shown) {
    super.showFile(shown);
    this.cylinders.replaceChildren(...tableRows(shown.by_cylinder));
  }
}
