/* The type of the stage's figures: it grows with the stage, so that it is read from afar. */

import { modelNamed } from "../shared/page_models.js";

const [SMALLEST_TYPE, LARGEST_TYPE, STAGE_WIDTH_OVER_TYPE] = [13, 32, 64]; // px, px, one

/** Give all figures of some names type that suits a stage's width [CSS px]. */
export function scaleType(names, width) {
  const size = Math.round(
    Math.min(Math.max(width / STAGE_WIDTH_OVER_TYPE, SMALLEST_TYPE), LARGEST_TYPE),
  );
  for (const name of names) {
    for (const model of modelNamed(`${name}_figure`)?.references() ?? []) {
      for (const property of [
        "axis_label_text_font_size",
        "major_label_text_font_size",
        "text_font_size",
      ]) {
        if (property in model) setSize(model, property, `${size}px`);
      }
    }
  }
}

/** Set a size only where it differs; a glyph's is a value that is wrapped. */
function setSize(model, name, size) {
  const old = model[name];
  const isValue = old !== null && typeof old === "object" && "value" in old;
  if ((isValue ? old.value : old) !== size) model[name] = isValue ? { value: size } : size;
}
