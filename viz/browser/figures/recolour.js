/* Bokeh figures in the theme's colours: a model's tags name the role of each colour property. */

import { themeColours } from "../shared/colours.js";
import { subscribe } from "../shared/page_state.js";

/** Give every figure of the page the colours of their roles. */
export function recolourFigures(colours) {
  for (const doc of window.Bokeh.documents) {
    for (const root of doc.roots()) recolourModels(root, colours);
  }
}

/** Keep the page's figures in the theme as long as a component's model lives. */
export function followTheme(model) {
  subscribe(model, "theme", () => recolourFigures(themeColours()));
}

/** Give every model below a root the colours that its tags name: "property=role". */
export function recolourModels(root, colours) {
  for (const model of root.references()) {
    for (const tag of model.tags ?? []) {
      const [name, role] = String(tag).split("=");
      if (role && colours[role]) setColour(model, name, colours[role]);
    }
  }
}

function setColour(model, name, colour) {
  const old = model[name];
  const isValue = old !== null && typeof old === "object" && "value" in old;
  model[name] = isValue ? { value: colour } : colour;
}
