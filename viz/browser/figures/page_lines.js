/* A part of the page in lines: its drawings, plain boxes and words where they stand on the screen,
 * in the light theme's colours. */

import { inLight } from "../shared/colours.js";
import { svg } from "../shared/elements.js";

const LOOKS = [
  "fill",
  "fill-opacity",
  "stroke",
  "stroke-width",
  "stroke-dasharray",
  "stroke-linecap",
  "stroke-linejoin",
  "opacity",
  "paint-order",
  "font-size",
  "font-weight",
  "text-anchor",
  "dominant-baseline",
];
const NOTHING = "rgba(0, 0, 0, 0)";

/**
 * An element of the page as an SVG element with a width and a height; `patterns` are SVGs that it
 * refers to.
 */
export function pageLines(node, patterns = []) {
  return inLight(() => {
    const { left, top, width, height } = node.getBoundingClientRect();
    const lines = [...patterns.map(drawingLines), ...linesBelow(node)];
    return svg(
      "svg",
      { width, height, viewBox: `${left} ${top} ${width} ${height}`, overflow: "visible" },
      ...lines,
    );
  });
}

function* linesBelow(node) {
  if (node.nodeType === Node.TEXT_NODE) yield* wordLines(node);
  if (
    node.nodeType !== Node.ELEMENT_NODE ||
    !node.checkVisibility() ||
    node.matches(".hidden, .as-table")
  )
    return;
  if (node.matches("svg")) {
    yield drawingLines(node);
    return;
  }
  const { backgroundColor: fill } = getComputedStyle(node);
  const { left: x, top: y, width, height } = node.getBoundingClientRect();
  if (fill !== NOTHING) yield svg("rect", { x, y, width, height, fill });
  for (const child of node.childNodes) yield* linesBelow(child);
}

/** A drawing with its look written into it, for a file has no style sheet. */
function drawingLines(drawing) {
  const copy = drawing.cloneNode(true);
  const twins = [copy, ...copy.querySelectorAll("*")];
  [drawing, ...drawing.querySelectorAll("*")].forEach((one, i) => {
    const style = getComputedStyle(one);
    for (const name of ["class", "style", "tabindex"]) twins[i].removeAttribute(name);
    for (const look of LOOKS) twins[i].setAttribute(look, style.getPropertyValue(look));
  });
  const { left: x, top: y, width, height } = drawing.getBoundingClientRect();
  for (const [name, value] of Object.entries({ x, y, width, height, overflow: "visible" }))
    copy.setAttribute(name, value);
  return copy;
}

/** The words of a text, a line of them at a time. */
function wordLines(text) {
  const { color: fill, fontSize, fontWeight } = getComputedStyle(text.parentElement);
  const look = {
    fill,
    "font-size": fontSize,
    "font-weight": fontWeight,
    "dominant-baseline": "central",
  };
  const lines = [];
  for (const { index, 0: word } of text.data.matchAll(/\S+/g)) {
    const range = document.createRange();
    range.setStart(text, index);
    range.setEnd(text, index + word.length);
    const { left, top, height } = range.getBoundingClientRect();
    const last = lines[lines.length - 1];
    if (last && Math.abs(last.top - top) < height / 2) last.end = index + word.length;
    else lines.push({ x: left, top, y: top + height / 2, from: index, end: index + word.length });
  }
  return lines.map(({ x, y, from, end }) =>
    svg("text", { x, y, ...look }, text.data.slice(from, end)),
  );
}
