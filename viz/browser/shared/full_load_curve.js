/* The full-load curve in small: peak pressure and IMEP over speed, drawn and as a table. */

import { element, svg } from "./elements.js";

const CURVE_BOX = { width: 250, height: 130, left: 34, right: 10, top: 8, bottom: 30 };

export function fullLoadCurve({ head, rows, words }) {
  const { width, height, left, right, top, bottom } = CURVE_BOX;
  const [first, last] = [rows[0][0], rows[rows.length - 1][0]];
  const highest = niceScale(Math.max(...rows.map(([, peak]) => peak)));
  const x = (speed) => left + ((speed - first) / (last - first)) * (width - left - right);
  const y = (value) => height - bottom - (value / highest) * (height - top - bottom);
  const line = (column, dash) =>
    svg("polyline", {
      points: rows.map((row) => `${x(row[0])},${y(row[column])}`).join(" "),
      class: column === 1 ? "peak" : "imep",
      fill: "none",
      "stroke-width": 2,
      "stroke-dasharray": dash,
    });
  const label = (text, at, up, anchor) =>
    svg("text", { x: at, y: up, "text-anchor": anchor }, text);
  const [, peak, imep] = head.map((title) => title.split(", ")[0]);
  const unit = head[1].split(", ")[1];
  const picture = svg(
    "svg",
    {
      viewBox: `0 0 ${width} ${height}`,
      role: "img",
      "aria-label": `${peak} and ${imep} over speed; the table below lists them`,
    },
    svg("path", {
      d: `M${left},${top}V${height - bottom}H${width - right}`,
      class: "axes",
      fill: "none",
    }),
    label(String(highest), left - 3, y(highest) + 8, "end"),
    label("0", left - 3, y(0), "end"),
    label(unit, left - 3, y(highest / 2), "end"),
    label(words[0][0], x(first), height - bottom + 13, "start"),
    label(`${words[words.length - 1][0]} rpm`, x(last), height - bottom + 13, "end"),
    line(1, "none"),
    line(2, "6 3"),
    label(peak, (left + width) / 2, y(highest * 0.55), "middle"),
    label(imep, (left + width) / 2, y(highest * 0.22), "middle"),
  );
  const table = element(
    "table",
    {},
    element(
      "thead",
      {},
      element("tr", {}, ...head.map((text) => element("th", { scope: "col" }, text))),
    ),
    element(
      "tbody",
      {},
      ...words.map((row) => element("tr", {}, ...row.map((text) => element("td", {}, text)))),
    ),
  );
  return [picture, table];
}

/** 1, 2 or 5 times a power of ten, not below a number. */
function niceScale(value) {
  const power = 10 ** Math.floor(Math.log10(value));
  return power * [1, 2, 5, 10].find((step) => step * power >= value);
}
