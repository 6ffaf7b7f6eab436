/* Every figure in words, in numbers and as a file: the button in its caption opens them.
 *
 * A figure is given as `title`, `words`, `foot` (what it is of), `name` (the design's, for files),
 * `table` (or null) and `drawing`. A picture that is no figure of the page is announced as one,
 * with the event "figure". */

import { csvOf } from "../shared/csv_text.js";
import { element } from "../shared/elements.js";
import { formatNumber, formatWhole } from "../shared/number_words.js";
import { modelNamed } from "../shared/page_models.js";
import { pageState, subscribe } from "../shared/page_state.js";
import { saveFile } from "../shared/text_file.js";
import { bokehDrawing, pictureFile, pngOf } from "./figure_pictures.js";
import { fileWords, tableOf, toldOf } from "./figure_tables.js";
import { isMade, placeFigure } from "./placed_figures.js";

const SHOWN_ROWS = 60; // a longer table is shown thinned out, and saved whole

/**
 * Give every figure of the page its button, as long as a component's model lives; `nameOf` names
 * the design.
 */
export function addFigureDialog(model, nameOf) {
  const dialog = element("dialog", { class: "figure-table" });
  document.body.append(dialog);
  model.on("remove", () => dialog.remove());
  subscribe(model, "figure", (figure) => openFigure(dialog, figure));
  for (const place of document.querySelectorAll("figure[data-plot]")) {
    addButton(place, () => openFigure(dialog, figureOf(place, nameOf())));
    describeChart(model, place);
  }
}

function addButton(place, open) {
  const caption = place.querySelector("figcaption");
  if (caption.querySelector(".as-table")) return;
  const title = caption.querySelector("span");
  const button = element(
    "button",
    { type: "button", class: "as-table", title: "Description, table, export", onclick: open },
    "▦",
  );
  const name = () =>
    button.setAttribute("aria-label", `Table and export of ${title.textContent || "the plot"}`);
  new MutationObserver(name).observe(title, {
    childList: true,
    characterData: true,
    subtree: true,
  });
  name();
  caption.append(button);
}

/** Keep a chart that Python draws described: its words come with it. */
function describeChart(model, place) {
  const { plot } = place.dataset;
  const describe = () => {
    const words = toldOf(plot)?.words;
    if (words) place.querySelector(".drawing").setAttribute("aria-label", words);
  };
  const follow = () => {
    modelNamed(`${plot}_figure`).properties.tags.change.connect(describe);
    describe();
  };
  if (isMade(plot)) follow();
  else subscribe(model, "made", (name) => name === plot && follow());
}

/**
 * A figure of the page, for the dialog and for files; `name` is the design's where it is not fed.
 */
export function figureOf(place, name) {
  placeFigure(place.dataset.plot); // it may not have been seen yet
  place.feed?.();
  const { of = name, design = name } = place.feeder ?? {};
  return {
    title: place.querySelector("figcaption span").textContent,
    words: place.querySelector(".drawing").getAttribute("aria-label"),
    foot: of,
    name: design,
    table: tableOf(place),
    drawing: () => bokehDrawing(place.dataset.plot),
  };
}

function openFigure(dialog, figure) {
  const { title, words, table } = figure;
  const description = element("p", { class: "figure-words" }, words);
  dialog.setAttribute("aria-label", title);
  dialog.replaceChildren(
    element("h2", { tabindex: -1, autofocus: true }, title),
    description,
    ...(table ? tableParts(table) : []),
    element(
      "form",
      { method: "dialog" },
      ...(table
        ? [keepButton("CSV", () => keepAs(figure, "csv", csvOf(table.head, table.rows)))]
        : []),
      keepButton("PNG", async () => keepAs(figure, "png", await pngOf(pictureFile(figure)))),
      keepButton("SVG", () => keepAs(figure, "svg", pictureFile(figure))),
      element("button", {}, "Close"),
    ),
  );
  pageState.explainTerms?.(description);
  dialog.showModal();
}

function keepButton(kind, onclick) {
  return element("button", { type: "button", onclick }, `Save as ${kind}`);
}

function keepAs({ name, title }, ending, content) {
  saveFile(`${fileWords(name)}-${fileWords(title)}.${ending}`, content);
}

function tableParts({ head, rows }) {
  const step = Math.max(1, Math.ceil(rows.length / SHOWN_ROWS));
  const shown = rows.filter((_, i) => i % step === 0);
  return [
    element(
      "p",
      { class: "muted" },
      rows.length
        ? `${shown.length} of ${rows.length} rows; the CSV file has all.`
        : "Nothing is shown yet.",
    ),
    element(
      "div",
      { class: "scroll", tabindex: 0, role: "region", "aria-label": "Numbers" },
      element(
        "table",
        {},
        element(
          "thead",
          {},
          element("tr", {}, ...head.map((text) => element("th", { scope: "col" }, text))),
        ),
        element("tbody", {}, ...shown.map((row) => element("tr", {}, ...row.map(tableCell)))),
      ),
    ),
  ];
}

function tableCell(value) {
  if (typeof value !== "number") return element("td", {}, `${value}`);
  return element("td", {}, Number.isInteger(value) ? formatWhole(value) : formatNumber(value, 5));
}
