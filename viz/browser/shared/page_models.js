/* The page's Bokeh models, found by their names. */

/** The Bokeh model of a name in this page, or null while it is not made. */
export function modelNamed(name) {
  for (const doc of window.Bokeh ? window.Bokeh.documents : []) {
    const model = doc.get_model_by_name(name);
    if (model) return model;
  }
  return null;
}
