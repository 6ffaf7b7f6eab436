/* Pictures drawn on a canvas, written in lines: a context that keeps what is drawn as SVG.
 *
 * It takes the calls that the pictures here make, and moves each step of a path by the transform
 * in force, as a canvas does. Images are no lines: where `inLines` is set, draw what they show. */

import { svg } from "../shared/elements.js";
import { channels } from "./mixed_colours.js";

const QUARTER = Math.PI / 2;

/** What each step of a path comes to: letters of an SVG path with their coordinates. */
const STEPS = {
  moveTo: (x, y) => [["M", x, y]],
  lineTo: (x, y) => [["L", x, y]],
  quadraticCurveTo: (...at) => [["Q", ...at]],
  bezierCurveTo: (...at) => [["C", ...at]],
  closePath: () => [["Z"]],
  rect: (x, y, wide, high) => [
    ["M", x, y],
    ["L", x + wide, y],
    ["L", x + wide, y + high],
    ["L", x, y + high],
    ["Z"],
  ],
  arc: (x, y, radius, from, to, back = false) =>
    STEPS.ellipse(x, y, radius, radius, 0, from, to, back),
  ellipse: (x, y, across, down, turned, from, to, back = false) => {
    const matrix = new DOMMatrix([
      Math.cos(turned),
      Math.sin(turned),
      -Math.sin(turned),
      Math.cos(turned),
      x,
      y,
    ]);
    return unitArc(from, sweepOf(from, to, back)).map((piece) =>
      moved(piece, matrix.scale(across, down)),
    );
  },
};

/** How far an arc goes [rad], negative if it goes back; a whole turn at most. */
function sweepOf(from, to, back) {
  const sense = back ? -1 : 1;
  const whole = 2 * Math.PI;
  const way = sense * (to - from);
  return sense * (way >= whole ? whole : ((way % whole) + whole) % whole);
}

/**
 * An arc of the unit circle as cubic curves, each a quarter at most: within 0.03 % of the radius.
 */
function unitArc(from, sweep) {
  const count = Math.max(1, Math.ceil(Math.abs(sweep) / QUARTER - 1e-9));
  const step = sweep / count;
  const reach = (4 / 3) * Math.tan(step / 4);
  const at = (angle) => [Math.cos(angle), Math.sin(angle)];
  const pieces = [["L", ...at(from)]];
  for (let k = 0; k < count; k++) {
    const [[x0, y0], [x1, y1]] = [at(from + k * step), at(from + (k + 1) * step)];
    pieces.push(["C", x0 - reach * y0, y0 + reach * x0, x1 + reach * y1, y1 - reach * x1, x1, y1]);
  }
  return pieces;
}

/** @param {any[]} piece @param {DOMMatrix} matrix */
function moved([letter, ...at], { a, b, c, d, e, f }) {
  const out = [letter];
  for (let i = 0; i < at.length; i += 2)
    out.push(a * at[i] + c * at[i + 1] + e, b * at[i] + d * at[i + 1] + f);
  return out;
}

/** Add pieces to a path; one that begins with a line begins there. */
function goOn(path, pieces) {
  for (const [letter, ...at] of pieces)
    path.push([path.length || letter !== "L" ? letter : "M", ...at]);
}

/** Pieces of a path as SVG's words for it. */
function pathWords(pieces) {
  return pieces
    .map(([letter, ...at]) => letter + at.map((value) => Number(value.toFixed(2))).join(" "))
    .join("");
}

/** A Path2D that can be read again; it may start from words of M and L. */
export class Outline extends Path2D {
  constructor(words = "") {
    super(words);
    this.pieces = [...words.matchAll(/([ML])\s*(-?[\d.]+)\s+(-?[\d.]+)/g)].map(
      ([, letter, x, y]) => [letter, Number(x), Number(y)],
    );
  }

  addPath(other, matrix = new DOMMatrix()) {
    super.addPath(other, matrix);
    this.pieces.push(...other.pieces.map((piece) => moved(piece, matrix)));
  }
}
for (const [name, pieces] of Object.entries(STEPS)) {
  Outline.prototype[name] = function step(...given) {
    Path2D.prototype[name].apply(this, given);
    goOn(this.pieces, pieces(...given));
  };
}

export class SvgContext {
  fillStyle = "#000";
  strokeStyle = "#000";
  lineWidth = 1;
  lineCap = "butt";
  lineJoin = "miter";
  dash = [];
  font = "10px sans-serif";
  textAlign = "start";
  /** @type {CanvasTextBaseline} */ textBaseline = "alphabetic";
  matrix = new DOMMatrix();
  clipped = null;

  static KEPT = [
    "fillStyle",
    "strokeStyle",
    "lineWidth",
    "lineCap",
    "lineJoin",
    "dash",
    "font",
    "textAlign",
    "textBaseline",
    "matrix",
    "clipped",
  ];

  constructor() {
    this.inLines = true;
    this.canvas = this; // what is planned for a canvas is planned for this
    this.node = svg("g");
    this.ruler = document.createElement("canvas").getContext("2d");
    this.kept = [];
    this.pieces = [];
    this.clips = 0;
  }

  save() {
    this.kept.push(SvgContext.KEPT.map((name) => this[name]));
  }

  restore() {
    const kept = this.kept.pop();
    SvgContext.KEPT.forEach((name, i) => (this[name] = kept[i]));
  }

  translate(x, y) {
    this.matrix = this.matrix.translate(x, y);
  }

  rotate(angle) {
    this.matrix = this.matrix.rotate((angle * 180) / Math.PI);
  }

  scale(across, down) {
    this.matrix = this.matrix.scale(across, down);
  }

  setTransform(...numbers) {
    this.matrix = new DOMMatrix(numbers);
  }

  getTransform() {
    return this.matrix;
  }

  setLineDash(dash) {
    this.dash = dash;
  }

  beginPath() {
    this.pieces = [];
  }

  fill(path) {
    this.put(svg("path", { d: this.words(path), fill: hexOf(this.fillStyle) }));
  }

  stroke(path) {
    this.put(svg("path", { d: this.words(path), fill: "none", ...this.pen(this.size) }));
  }

  fillRect(...box) {
    this.fill({ pieces: STEPS.rect(...box) });
  }

  strokeRect(...box) {
    this.stroke({ pieces: STEPS.rect(...box) });
  }

  clip() {
    this.clips += 1;
    this.clipped = `clip-${this.clips}`;
    this.node.append(svg("clipPath", { id: this.clipped }, svg("path", { d: this.words() })));
  }

  fillText(text, x, y) {
    this.put(this.letters(text, x, y, { fill: hexOf(this.fillStyle) }));
  }

  strokeText(text, x, y) {
    this.put(this.letters(text, x, y, { fill: "none", ...this.pen(1) }));
  }

  measureText(text) {
    this.ruler.font = this.font;
    this.ruler.textBaseline = this.textBaseline;
    return this.ruler.measureText(text);
  }

  // --- how it is written --------------------------------------------------------------------

  /** Words of the present path, or of an outline where it stands now. */
  words(path) {
    return pathWords(path ? path.pieces.map((piece) => moved(piece, this.matrix)) : this.pieces);
  }

  /** How much the transform in force makes things larger. */
  get size() {
    const { a, b, c, d } = this.matrix;
    return Math.sqrt(Math.abs(a * d - b * c));
  }

  pen(size) {
    return {
      stroke: hexOf(this.strokeStyle),
      "stroke-width": this.lineWidth * size,
      "stroke-linecap": this.lineCap,
      "stroke-linejoin": this.lineJoin,
      "stroke-dasharray": this.dash.map((length) => length * size).join(" ") || "none",
    };
  }

  /** A text on its own baseline, which every reader of SVG knows how to set. */
  letters(text, x, y, ink) {
    const [, weight, size, family] = /^(\S+ )?([\d.]+)px (.+)$/.exec(this.font);
    const { a, b, c, d, e, f } = this.matrix;
    const above = this.measureText(text).fontBoundingBoxAscent;
    this.ruler.textBaseline = "alphabetic";
    const lower = this.ruler.measureText(text).fontBoundingBoxAscent - above;
    return svg(
      "text",
      {
        x,
        y: y + lower,
        transform: `matrix(${[a, b, c, d, e, f].join(" ")})`,
        "font-family": family,
        "font-size": size,
        "font-weight": (weight ?? "400").trim(),
        ...ink,
        "text-anchor": { center: "middle", right: "end", end: "end" }[this.textAlign] ?? "start",
      },
      text,
    );
  }

  /** All that is drawn, as a picture of a size [px]. */
  picture(width, height) {
    return svg("svg", { width, height, viewBox: `0 0 ${width} ${height}` }, this.node);
  }

  put(node) {
    this.node.append(
      this.clipped ? svg("g", { "clip-path": `url(#${this.clipped})` }, node) : node,
    );
  }
}
for (const [name, pieces] of Object.entries(STEPS)) {
  SvgContext.prototype[name] = function step(...given) {
    goOn(
      this.pieces,
      pieces(...given).map((piece) => moved(piece, this.matrix)),
    );
  };
}

/** A colour as every reader of SVG knows it. */
function hexOf(colour) {
  return `#${channels(colour)
    .map((value) => Math.round(value).toString(16).padStart(2, "0"))
    .join("")}`;
}
