/* A figure's numbers as a table. */

import { modelNamed } from "../shared/page_models.js";

const LINE_WORDS = {
  main: "value",
  gas: "gas",
  inertia: "inertia",
  second: "second",
  mean: "mean",
  allowed: "allowed",
  reference: "reference",
};

/** The numbers of a figure: `head`, a list of column titles, and `rows` of numbers or words. */
export function tableOf(place) {
  if (!place.feeder) return chartTable(place.dataset.plot);
  return place.feeder.of ? place.feeder.table() : { head: [], rows: [] };
}

/** Lines, bars and points of a chart that Python draws, each line by its points. */
function chartTable(name) {
  const figure = modelNamed(`${name}_figure`);
  const across = figure.below[0]?.axis_label || "x";
  const up = figure.left[0]?.axis_label || "y";
  const rows = [...lineRows(name), ...barRows(name), ...pointRows(name)];
  return { head: ["what", across, up], rows };
}

function lineRows(name) {
  const names = toldOf(name)?.names ?? {};
  const rows = [];
  for (const [role, word] of Object.entries(LINE_WORDS)) {
    const { xs = [], ys = [] } = modelNamed(`${name}_${role}_lines`)?.data ?? {};
    Array.from(xs).forEach((x, line) => {
      const label = names[role]?.[line] || word;
      Array.from(x).forEach((at, i) => rows.push([label, at, ys[line][i]]));
    });
  }
  return rows;
}

function barRows(name) {
  const {
    left = [],
    right = [],
    top = [],
    name: bars = [],
  } = modelNamed(`${name}_steel_bars`)?.data ?? {};
  return Array.from(left, (from, i) =>
    bars[i] ? [bars[i], right[i], ""] : ["bar", (from + right[i]) / 2, top[i]],
  );
}

function pointRows(name) {
  const rows = [];
  for (const word of ["within", "beyond"]) {
    const { x = [], y = [] } = modelNamed(`${name}_${word}_points`)?.data ?? {};
    Array.from(x).forEach((at, i) => rows.push([word, at, y[i]]));
  }
  return rows;
}

/** What Python tells of a chart in its figure's tags: its words, and its lines' names by role. */
export function toldOf(name) {
  return modelNamed(`${name}_figure`)?.tags.find((tag) => tag?.words) ?? null;
}

export function fileWords(title) {
  return (
    title
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, "-")
      .replace(/^-|-$/g, "")
      .slice(0, 60) || "plot"
  );
}
