/* What a lesson's plot draws: axes, the true curves, handles of the student, names of lines. */

import { element, svg } from "../shared/elements.js";
import { formatShort, tickTexts, unbroken } from "../shared/number_words.js";
import { roundedValue, ticksOf, valueBetween } from "./lesson_scale.js";

const LINE_STYLES = ["main", "second", "third", "fourth"];
const ORDERS = [1, 2, 3, 4, 5, 6, 7, 8]; // ticks of a plot with bars

/** Axes with their ticks and labels. */
export function gridParts(scale) {
  const { axes, left, right, height } = scale;
  const middle = (left + right) / 2;
  return [
    ...heightTicks(scale),
    ...acrossTicks(scale),
    svg("text", { x: middle, y: height - 6, class: "axis", "text-anchor": "middle" }, axes.xLabel),
    svg("text", { x: 2, y: 10, class: "axis" }, axes.yLabel),
  ];
}

function heightTicks(scale) {
  const { axes, left, right } = scale;
  const ticks = ticksOf(axes.low, axes.high, 5);
  const texts = tickTexts(ticks).map(unbroken);
  return ticks.flatMap((tick, i) => {
    const y = scale.y(tick);
    const kind = tick === 0 ? "zero" : "grid";
    return [
      svg("line", { class: kind, x1: left, x2: right, y1: y, y2: y }),
      svg("text", { x: left - 6, y: y + 4, class: "tick", "text-anchor": "end" }, texts[i]),
    ];
  });
}

function acrossTicks(scale) {
  const { axes, top, bottom } = scale;
  const count = scale.width < 420 ? 4 : 7;
  const ticks = axes.bars ? ORDERS : ticksOf(axes.start, axes.end, count);
  const texts = tickTexts(ticks).map(unbroken);
  return ticks.flatMap((tick, i) => {
    const x = scale.x(tick);
    return [
      svg("line", { class: "grid", x1: x, x2: x, y1: top, y2: bottom }),
      svg("text", { x, y: bottom + 16, class: "tick", "text-anchor": "middle" }, texts[i]),
    ];
  });
}

/** The true curves or bars, critical speeds, and where the design stands on each curve. */
export function truthParts(scale, truth) {
  const { x, lines, mark } = truth;
  const curves = lines.map((line, k) =>
    svg("path", { class: `line ${LINE_STYLES[k]}`, d: scale.path(x, line.y) }),
  );
  return [
    ...criticalParts(scale, truth.criticals ?? []),
    ...(truth.bars ? barParts(scale, truth) : curves),
    ...(mark === null || mark === undefined ? [] : markParts(scale, truth)),
  ];
}

/** Critical speeds as lines with their order over them; the strongest are named first. */
function criticalParts(scale, criticals) {
  const named = [];
  return criticals.flatMap(({ x, words }) => {
    const at = scale.x(x);
    const { top: y1, bottom: y2 } = scale;
    const line = svg("line", { class: "critical", x1: at, x2: at, y1, y2 });
    if (named.some((other) => Math.abs(other - at) < 26)) return [line];
    named.push(at);
    const place = { x: at, y: y1 - 3, class: "tick", "text-anchor": "middle" };
    return [line, svg("text", place, words)];
  });
}

function barParts(scale, { x, lines }) {
  const room = (scale.x(x[1]) - scale.x(x[0])) * 0.76;
  const width = room / lines.length;
  const floor = scale.y(Math.max(scale.axes.low, 0));
  return lines.flatMap((line, k) =>
    line.y.map((value, i) => {
      const top = scale.y(value ?? 0);
      return svg("rect", {
        class: `bar ${LINE_STYLES[k]}`,
        x: scale.x(x[i]) - room / 2 + k * width,
        y: top,
        width: width - 1,
        height: Math.max(floor - top, 0),
      });
    }),
  );
}

function markParts(scale, { x, lines, mark }) {
  return lines.flatMap((line, k) => {
    const value = valueBetween(x, line.y, mark);
    if (value === null) return [];
    const place = { cx: scale.x(mark), cy: scale.y(value), r: 5 };
    return [svg("circle", { class: `mark ${LINE_STYLES[k]}`, ...place })];
  });
}

/** The student's drawing as a line. */
export function drawnPart(scale, points) {
  return svg("path", { class: "line drawn", d: scale.path(scale.axes.places, points) });
}

/** A handle of the student's drawing at one of its points; Tab goes to the current one alone. */
export function handlePart(scale, [i, value], isCurrent) {
  const { axes } = scale;
  const [x, y] = [scale.x(axes.places[i]), scale.y(value)];
  return svg(
    "g",
    {
      class: "handle",
      role: "slider",
      tabindex: isCurrent ? 0 : -1,
      "aria-label": `${axes.xLabel} ${formatShort(axes.places[i], 4)}`,
      "aria-orientation": "vertical",
      "aria-valuemin": axes.low,
      "aria-valuemax": axes.high,
      "aria-valuenow": roundedValue(value),
      "aria-valuetext": `${formatShort(value, 4)}, ${axes.yLabel}`,
    },
    svg("circle", { class: "reach", cx: x, cy: y, r: 13 }),
    svg("circle", { class: "knob", cx: x, cy: y, r: 6 }),
  );
}

/**
 * The names of the lines over the plot, where there are several; beside each the line's own style,
 * so colour is not needed.
 */
export function lineNames(truth, hasDrawing) {
  const names = (truth?.lines ?? []).map((line, k) => [line.label, LINE_STYLES[k]]);
  if (names.length && hasDrawing) names.push(["your drawing", "drawn"]);
  const line = { x1: 0, x2: 28, y1: 6, y2: 6 };
  const bar = { x: 8, y: 1, width: 12, height: 10 };
  const named = (words, part) => element("span", {}, sample(part), ` ${words}`);
  return [
    ...(names.length > 1 ? names : []).map(([name, style]) =>
      named(
        name,
        truth.bars
          ? svg("rect", { class: `bar ${style}`, ...bar })
          : svg("line", { class: `line ${style}`, ...line }),
      ),
    ),
    ...(truth?.criticals?.length
      ? [
          named(
            "critical speed, by its order",
            svg("line", { class: "critical", x1: 14, x2: 14, y1: 0, y2: 12 }),
          ),
        ]
      : []),
  ];
}

function sample(part) {
  const attributes = { class: "sample lesson-plot", viewBox: "0 0 28 12", "aria-hidden": "true" };
  return svg("svg", attributes, part);
}
