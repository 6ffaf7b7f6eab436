/* The report's Bokeh figures: put in their places, kept as pictures, drawn anew for paper. */

import { figureOf } from "../figures/figure_dialog.js";
import { bokehDrawing, pictureFile } from "../figures/figure_pictures.js";
import { keepFigures, placeFigure } from "../figures/placed_figures.js";
import { emit } from "../shared/page_state.js";
import { keepFile, keepPicture, report } from "./report_part.js";

/** Put every figure in its place. */
export async function placeFigures() {
  window.Bokeh.set_log_level("warn");
  keepFigures(report.figures);
  for (const { name } of report.figures) await placeFigure(name);
}

export function keepFigure(button) {
  const place = button.closest("figure");
  const { plot: name } = place.dataset;
  const figure = figureOf(place, report.name);
  if (button.dataset.picture === "png") keepPicture(name, figure);
  else keepFile(`${name}.svg`, pictureFile(figure));
}

/**
 * Draw every figure in lines for paper: a canvas of the screen has neither its size nor its
 * colours.
 */
function drawOnPaper() {
  for (const { name } of report.figures) {
    const drawn = bokehDrawing(name);
    const [width, height] = ["width", "height"].map((side) => drawn.getAttribute(side));
    drawn.setAttribute("viewBox", `0 0 ${width} ${height}`);
    for (const side of ["width", "height"]) drawn.removeAttribute(side);
    document.querySelector(`figure[data-plot="${name}"] .paper-drawing`).replaceChildren(drawn);
  }
}

/** Paper is light, with all formulas open in their chapter; afterwards all is as it was. */
export function preparePaper() {
  const { dataset } = document.documentElement;
  let before = null;
  window.addEventListener("beforeprint", () => {
    if (before) return;
    before = {
      theme: dataset.theme,
      shut: [...document.querySelectorAll("#formulas details:not([open])")],
    };
    for (const details of before.shut) details.open = true;
    drawOnPaper();
    dataset.theme = "light";
    emit("theme");
  });
  window.addEventListener("afterprint", () => {
    if (!before) return;
    for (const details of before.shut) details.open = false;
    dataset.theme = before.theme;
    before = null;
    emit("theme");
  });
}
