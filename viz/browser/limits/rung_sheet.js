/* The selected rung in words: what is computed, against what, how sure, and what would move it. */

import { element, headed } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { bandParts, leftOutParts } from "./rung_marks.js";
import { emit } from "../shared/page_state.js";

export function render({ model, el }) {
  const node = element("div", { class: "rung-sheet" });
  el.append(node);
  const show = () => {
    if (!model.sheet) return;
    const sheet = JSON.parse(model.sheet);
    node.replaceChildren(views(sheet, model), ...parts(sheet, model));
    titleFigures(sheet);
  };
  model.on("sheet", show);
  show();
}

/** Which of the rung's own plots is shown, if there are several. */
function views(sheet, model) {
  const names = sheet.views ?? [];
  const button = (name, index) =>
    element(
      "button",
      {
        type: "button",
        "aria-pressed": index === sheet.view ? "true" : "false",
        onclick: () => {
          sendMessage(model, "view", { index });
          emit("asked");
        },
      },
      name,
    );
  return element(
    "div",
    { class: "views", role: "group", "aria-label": "Plot of the part", hidden: names.length < 2 },
    ...names.map(button),
  );
}

function parts(sheet, model) {
  return [
    element("h2", {}, sheet.part ? `${sheet.part}: ${sheet.label}` : sheet.label),
    element("p", { class: "headline number" }, sheet.headline),
    element(
      "p",
      {},
      element("span", { class: `verdict ${sheet.verdict}` }, sheet.verdict),
      element("span", { class: "number" }, ` · limit: ${sheet.limit_text}`),
    ),
    ...(sheet.validity ?? []).map((text) => element("p", { class: "warning" }, text)),
    ...leftOutParts(sheet.left_out ?? []),
    ...bandParts(sheet.band),
    ...headed("Formula", sheet.formula, "pre"),
    ...headed("With values (SI)", sheet.substitution, "pre"),
    ...misfire(sheet.misfire),
    ...damper(sheet.damper, model),
    ...sensitivities(sheet.sensitivities ?? []),
    ...headed("Source of allowable", sheet.origin),
    ...(sheet.confidence_text ? [element("p", { class: "muted" }, sheet.confidence_text)] : []),
    ...headed("Conventions", sheet.conventions),
    ...headed("Source", sheet.source),
    ...(sheet.caution ? [element("p", { class: "muted" }, sheet.caution)] : []),
  ];
}

/** The same with the worst cylinder misfiring: words, formula and values. */
function misfire(found) {
  if (!found) return [];
  return [
    element("h3", {}, "With the worst cylinder misfiring"),
    element("p", { class: "number" }, found.words),
    element("pre", {}, found.formula),
    element("pre", {}, found.substitution),
    element("p", { class: "muted" }, found.conventions),
  ];
}

/** The damper by formula and on the chain: a table, words, and buttons that take one of them. */
function damper(found, model) {
  if (!found) return [];
  const use = ([choice, label]) => {
    const onclick = () => {
      sendMessage(model, "damper", { choice });
      emit("asked");
    };
    return element("button", { type: "button", onclick }, label);
  };
  const head = found.head.map((text) => element("th", { scope: "col" }, text));
  const row = ([name, ...cells]) =>
    element(
      "tr",
      {},
      element("th", { scope: "row" }, name),
      ...cells.map((text) => element("td", { class: "number" }, text)),
    );
  return [
    element("h3", {}, "Optimum damper"),
    element(
      "table",
      { class: "damper" },
      element("thead", {}, element("tr", {}, ...head)),
      element("tbody", {}, ...found.rows.map(row)),
    ),
    element("div", { class: "views" }, ...found.choices.map(use)),
    element("p", { class: "muted" }, found.words),
    element("p", { class: "muted" }, found.source),
  ];
}

function sensitivities(rows) {
  if (!rows.length) return [];
  const body = rows.map((row) =>
    element(
      "tr",
      {},
      element(
        "th",
        { scope: "row" },
        row.label,
        element("span", { class: "effect muted" }, row.effect),
      ),
      element("td", { class: "number" }, row.text),
    ),
  );
  const head = ["Dimension", "Limit moves by"].map((text) => element("th", { scope: "col" }, text));
  return [
    element("h3", {}, "What moves this limit"),
    element(
      "table",
      {},
      element("thead", {}, element("tr", {}, ...head)),
      element("tbody", {}, ...body),
    ),
  ];
}

/** Title the page's figures after the rung, and show the second plot that belongs to it. */
function titleFigures(sheet) {
  for (const figure of document.querySelectorAll("figure[data-plot]")) {
    const { plot } = figure.dataset;
    figure.hidden = plot !== "limit_speed" && plot !== sheet.own;
    const ofSpeed = plot === "limit_speed";
    const title = ofSpeed ? sheet.speed_title : sheet.own_title;
    const caption = figure.querySelector("figcaption span");
    caption.textContent = ofSpeed ? `${sheet.label} against speed` : title;
    caption.title = title;
  }
}
