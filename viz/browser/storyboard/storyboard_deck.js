/* The storyboard on paper: each step is shown once, kept as a sheet, and all sheets are printed. */

import { bokehDrawing } from "../figures/figure_pictures.js";
import { isMade } from "../figures/placed_figures.js";
import { element } from "../shared/elements.js";
import { emit } from "../shared/page_state.js";

const PATIENCE = 20_000; // [ms] for one step

/** Print all steps of a stage, a sheet each, light; afterwards all is as it was. */
export async function printDeck(view) {
  const { dataset, classList } = document.documentElement;
  const [theme, index] = [dataset.theme, view.step.index];
  dataset.theme = "light";
  emit("theme");
  const deck = element("div", { class: "deck" });
  for (let place = 0; place < view.step.count; place++) {
    if (await view.shows(place, PATIENCE)) deck.append(await sheetOf(view));
  }
  document.body.append(deck);
  classList.add("with-deck");
  const restore = () => {
    deck.remove();
    classList.remove("with-deck");
    dataset.theme = theme;
    emit("theme");
    view.go(index);
  };
  window.addEventListener("afterprint", restore, { once: true });
  window.print();
}

/** The step that a stage shows, as a sheet. */
async function sheetOf(view) {
  const { title, note, problem, index, count } = view.step;
  const words = (name) => element("p", { class: name }, view[name].textContent);
  return element(
    "section",
    { class: "sheet" },
    element("h2", {}, title),
    element(
      "div",
      { class: "sheet-picture" },
      problem ? element("p", {}, problem) : await pictureOf(view),
    ),
    element(
      "div",
      { class: "sheet-foot" },
      element("div", {}, words("label"), words("value"), words("change")),
      element("p", { class: "note" }, note),
    ),
    element("p", { class: "sheet-caution" }, `${view.caution} ${index + 1} / ${count}`),
  );
}

/** The picture of the step: lines of a figure, an image of a canvas, a table as it stands. */
async function pictureOf({ step, films, train, ladder, tablePlace }) {
  const { picture, table } = step;
  if (picture === "ladder") return inLines(ladder.drawing());
  if (table) return tablePlace.firstElementChild.cloneNode(true);
  if (picture === "train" || picture in films) {
    const { canvas } = picture === "train" ? train : films[picture];
    await frames(2);
    return element("img", { src: canvas.toDataURL("image/png"), alt: canvas.ariaLabel ?? "" });
  }
  const name = picture === "limit" ? "limit_speed" : picture;
  const end = performance.now() + PATIENCE;
  while (!isMade(name) && performance.now() < end) await frames(1);
  await frames(2);
  document.querySelector(`figure[data-plot="${name}"]`)["feed"]?.();
  return inLines(bokehDrawing(name));
}

/** A drawing that takes the width that there is. */
function inLines(drawing) {
  const [width, height] = ["width", "height"].map((side) => drawing.getAttribute(side));
  if (!drawing.hasAttribute("viewBox")) drawing.setAttribute("viewBox", `0 0 ${width} ${height}`);
  for (const side of ["width", "height"]) drawing.removeAttribute(side);
  return drawing;
}

async function frames(count) {
  for (let i = 0; i < count; i++) await new Promise((done) => requestAnimationFrame(done));
}
