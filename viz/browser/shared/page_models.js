/* The page's Bokeh models: found by their names, and waited for while the page is being made. */

/** The Bokeh model of a name in this page, or null while the page is being made. */
export function modelNamed(name) {
  for (const doc of window.Bokeh ? window.Bokeh.documents : []) {
    const model = doc.get_model_by_name(name);
    if (model) return model;
  }
  return null;
}

/** Whether every figure that the page names has its Bokeh model. */
function figuresAreMade() {
  const figures = [...document.querySelectorAll("figure[data-plot]")];
  return figures.every(({ dataset }) => modelNamed(`${dataset.plot}_figure`));
}

/** Run once every figure of the page has been made, unless the component is gone before. */
export function whenFiguresAreMade(model, then) {
  let alive = true;
  model.on("remove", () => (alive = false));
  const wait = () => {
    if (!alive) return;
    if (figuresAreMade()) then();
    else setTimeout(wait, 30);
  };
  wait();
}
