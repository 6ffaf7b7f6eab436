/* Bokeh figures as a projector shows them: the same, with larger text and stronger lines. */

import { textScale } from "../shared/projector.js";

const SIZES = ["major_label_text_font_size", "axis_label_text_font_size", "text_font_size"];
const originals = new WeakMap();

/** Give every model below a root the text and lines of the mode that is on. */
export function enlargeModels(root) {
  const scale = textScale();
  for (const model of root.references()) {
    if (scale === 1 && !originals.has(model)) continue;
    if (!originals.has(model)) originals.set(model, originalsOf(model));
    for (const [name, size] of Object.entries(originals.get(model)))
      model[name] = sized(size, scale);
  }
}

/** What of a model is enlarged: sizes of text and widths of lines, as they were made. */
function originalsOf(model) {
  const names = [...SIZES, "line_width"].filter((name) => name in model);
  const found = names.map((name) => [name, model[name]]);
  return Object.fromEntries(found.filter(([, size]) => isFixed(size)));
}

/** Whether a property is one value, not a column of a source. */
function isFixed(size) {
  return size !== null && size !== undefined && (typeof size !== "object" || "value" in size);
}

/** A size of text as "13px", or a width, larger; given in the form that it has. */
function sized(size, scale) {
  if (typeof size === "object") return { value: sized(size.value, scale) };
  if (typeof size === "number") return size * scale;
  return `${Math.round(parseFloat(size) * scale * 10) / 10}px`;
}
