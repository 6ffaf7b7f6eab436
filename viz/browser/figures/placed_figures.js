/*
 * The page's Bokeh figures: each is made of its JSON when it is first seen, in the theme's colours.
 * The page and its components share what is placed.
 */

import { themeColours } from "../shared/colours.js";
import { modelNamed } from "../shared/page_models.js";
import { emit, pageState } from "../shared/page_state.js";
import { enlargeModels } from "./enlarged.js";
import { recolourModels } from "./recolour.js";

/** Keep the JSON of figures, [{name, doc}], to place them by name. */
export function keepFigures(items) {
  pageState.unplaced = new Map(items.map(({ name, doc }) => [name, doc]));
  pageState.modelNamed = modelNamed;
}

/** Keep the page's figures as large as the projector's mode has them. */
export function followProjector() {
  pageState.events.addEventListener("projector", () => {
    for (const doc of window.Bokeh.documents) for (const root of doc.roots()) enlargeModels(root);
  });
}

/** Make a figure in its place, once; tells "made" before it is drawn and "placed" after. */
export async function placeFigure(name) {
  const content = pageState.unplaced.get(name);
  if (!content) return;
  pageState.unplaced.delete(name);
  const { Document } = window.Bokeh.require("document");
  const made = Document.from_json(content);
  for (const root of made.roots()) {
    recolourModels(root, themeColours());
    enlargeModels(root);
  }
  emit("made", name);
  const place = document.querySelector(`figure[data-plot="${name}"] .drawing`);
  await window.Bokeh.embed.add_document_standalone(made, place);
  emit("placed", name);
}

/** Whether a figure has been made. */
export function isMade(name) {
  return !pageState.unplaced.has(name);
}
