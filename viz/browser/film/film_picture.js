/*
 * A picture of one bearing on a canvas of its own: what stays over a cycle is painted once, in
 * layers.
 */

import { fitCanvas } from "../figures/canvas_size.js";
import { drawCentreLine } from "../figures/centre_line.js";
import { designsOf } from "../figures/figures.js";
import { isDark, ramped } from "../figures/mixed_colours.js";
import { SvgContext } from "../figures/svg_context.js";
import { lightColours } from "../shared/colours.js";
import { element } from "../shared/elements.js";

export const DEGREE = Math.PI / 180;
/**
 * Crank angle over a cycle as a colour, dark to light or the reverse: parts of the open viridis
 * scale.
 */
const ANGLE_RAMPS = {
  light: ["#440154", "#3b528b", "#1f8a86"],
  dark: ["#3f8fb5", "#35b779", "#fde725"],
};
const ANGLE_BINS = 36;

export class FilmPicture {
  /** What is shown, and where there is room for it; each picture has a plan of its own. */
  /** @type {any} */ bearing = null;
  /** @type {any} */ reference = null;
  /** @type {any} */ colours = null;
  /** @type {any} */ plan = null;
  width = 0;
  height = 0;
  ratio = 1;

  constructor(name, title, layers) {
    this.title = title;
    this.canvas = element("canvas", { role: "img", "data-picture": name });
    this.readout = element("span", { class: "readout number" });
    this.notes = element("div", { class: "notes" });
    this.stage = element("div", { class: "picture-stage" }, this.canvas);
    this.node = element(
      "section",
      { class: "picture", "aria-label": title },
      element("h2", {}, element("span", {}, title), this.readout),
      this.stage,
      this.notes,
    );
    this.layers = Array.from({ length: layers }, () => document.createElement("canvas"));
    this.sizes = new ResizeObserver(() => this.resized());
    this.sizes.observe(this.stage);
  }

  stop() {
    this.sizes.disconnect();
  }

  /** Show a bearing, and the same of the reference or null, at an angle. */
  show(bearing, reference, colours, degrees) {
    this.stale = true;
    [this.bearing, this.reference, this.colours] = [bearing, reference, colours];
    this.notes.replaceChildren(...this.notesOf(bearing, reference));
    this.move(degrees);
  }

  move(degrees) {
    this.degrees = degrees;
    if (!this.bearing || !(this.width > 60 && this.height > 60)) return;
    if (this.stale) this.paintLayers();
    const context = this.canvas.getContext("2d");
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, this.canvas.width, this.canvas.height);
    this.paintMoving(context, degrees / this.bearing.film.step);
  }

  /** Say what the picture shows at rest, for those who do not see it. */
  describe() {
    if (this.bearing)
      this.canvas.setAttribute(
        "aria-label",
        this.sentenceAt(this.degrees / this.bearing.film.step),
      );
  }

  /** The picture for the dialog of figures: in words, in numbers, and in lines as it stands now. */
  figure() {
    const { bearing, reference } = this;
    const { film } = bearing;
    return {
      title: `${bearing.title}: ${this.title.toLowerCase()} at ${Math.round(this.degrees)}°`,
      name: film.name,
      words: this.sentenceAt(this.degrees / film.step),
      table: this.table(),
      drawing: () => this.drawing(),
      foot: designsOf(film, reference && reference.film),
    };
  }

  /** A vector of the bearing over the angle, in both its components. */
  table() {
    const { row, words, unit } = this.shows();
    const [xs, ys] = this.bearing.vectors(row);
    const head = [
      "φ, °",
      ...["x", "y"].map((axis) => [`${words} ${axis}`, unit].filter(Boolean).join(", ")),
    ];
    return { head, rows: Array.from(xs, (x, i) => [i * this.bearing.film.step, x, ys[i]]) };
  }

  /** The picture in lines, in the light theme's colours. */
  drawing() {
    const light = Object.assign(Object.create(this), { colours: lightColours(), ratio: 1 });
    light.plan = light.planOf(this.bearing);
    const context = new SvgContext();
    light.scale(context);
    light.paintMoving(context, this.degrees / this.bearing.film.step);
    return context.picture(this.width, this.height);
  }

  paintLayers() {
    this.plan = this.planOf(this.bearing);
    this.layers.forEach((layer, depth) => {
      [layer.width, layer.height] = [this.canvas.width, this.canvas.height];
      const context = layer.getContext("2d");
      this.scale(context);
      this.paintStill(context, depth);
    });
    this.stale = false;
  }

  drawLayer(context, depth) {
    if (context.inLines) {
      this.paintStill(context, depth);
      return;
    }
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.drawImage(this.layers[depth], 0, 0);
    this.scale(context);
  }

  scale(context) {
    context.setTransform(this.ratio, 0, 0, this.ratio, 0, 0);
    context.font = font(this.letters);
    context.lineJoin = "round";
    context.textBaseline = "middle";
  }

  resized() {
    Object.assign(this, fitCanvas(this.canvas, this.stage));
    this.letters = Math.min(Math.max(Math.min(this.width, this.height) / 28, 13), 24);
    this.stale = true;
    if (this.bearing) this.move(this.degrees);
  }
}

// --- what both pictures draw with -----------------------------------------------------------

export function font(size, weight = 400) {
  return `${weight} ${size}px system-ui, sans-serif`;
}

/** A point at a radius and a shell angle [°] from a centre. */
export function polar({ x, y }, radius, degrees) {
  return [x + radius * Math.sin(degrees * DEGREE), y - radius * Math.cos(degrees * DEGREE)];
}

export function stroke(context, colour, width, dash = []) {
  context.setLineDash(dash);
  context.strokeStyle = colour;
  context.lineWidth = width;
  context.stroke();
  context.setLineDash([]);
}

export function circle(context, x, y, radius) {
  context.beginPath();
  context.arc(x, y, Math.max(radius, 0), 0, 2 * Math.PI);
}

/**
 * A filled circle with a rim.
 * @param {any} context @param {number[]} middle @param {number} radius
 * @param {{fill: string, rim: string, width: number}} look
 */
export function dot(context, [x, y], radius, { fill, rim, width }) {
  circle(context, x, y, radius);
  context.fillStyle = fill;
  context.fill();
  stroke(context, rim, width);
}

/**
 * A line from one point to another. @param {any} context @param {number[]} from @param {number[]}
 * to
 */
export function segment(context, [x0, y0], [x1, y1]) {
  context.beginPath();
  context.moveTo(x0, y0);
  context.lineTo(x1, y1);
}

/** A ring between two radii, filled. */
export function ring(context, { x, y }, inner, outer, fill) {
  context.beginPath();
  context.arc(x, y, outer, 0, 2 * Math.PI);
  context.arc(x, y, inner, 0, 2 * Math.PI, true);
  context.fillStyle = fill;
  context.fill();
}

/**
 * The oil groove of a shell, cut into it from its bore outward.
 * @param {any} context @param {any} plan @param {{inner: number, outer: number}} radii
 * @param {{middle: number, arc: number}} groove degrees on the shell
 * @param {{fill: string, rim: string}} look
 */
export function grooveBand(context, { x, y }, { inner, outer }, { middle, arc }, { fill, rim }) {
  const [from, to] = [middle - arc / 2 - 90, middle + arc / 2 - 90].map((at) => at * DEGREE);
  context.beginPath();
  context.arc(x, y, outer, from, to);
  context.arc(x, y, inner, to, from, true);
  context.closePath();
  context.fillStyle = fill;
  context.fill();
  stroke(context, rim, 1.3);
}

/** The two centre lines of a round part. */
export function centreLines(context, { x, y }, reach, colour) {
  drawCentreLine(context, colour, [x - reach, y], [x + reach, y]);
  drawCentreLine(context, colour, [x, y - reach], [x, y + reach]);
}

/** Ticks each 30° outside a radius. */
export function degreeTicks(context, plan, radius, colours) {
  for (let degrees = 0; degrees < 360; degrees += 30) {
    segment(
      context,
      polar(plan, radius, degrees),
      polar(plan, radius + (degrees % 90 ? 4 : 7), degrees),
    );
    stroke(context, colours.zero, 1);
  }
}

/** The four main angles of the shell outside a radius, but for those that a box would hide. */
export function degreeNames(context, plan, radius, colours, boxes = []) {
  context.fillStyle = colours.muted;
  context.textAlign = "center";
  for (let degrees = 0; degrees < 360; degrees += 90) {
    const box = boxAt(context, plan, radius + 9, `${degrees}°`, degrees);
    if (!boxes.some((other) => overlap(box, other))) context.fillText(box.text, box.x, box.y + 1);
  }
}

/** What 0° on the shell points to, in the corner of the picture. */
export function zeroNote(context, plan, colours) {
  const { letters, zeroWords } = plan;
  drawVector(context, [0.6 * letters, 2.1 * letters], [0, -1.6 * letters], colours.muted, 1.5);
  context.textAlign = "left";
  context.fillStyle = colours.muted;
  zeroWords.forEach((line, i) => context.fillText(line, 1.4 * letters, (0.8 + 1.15 * i) * letters));
}

// --- labels ---------------------------------------------------------------------------------

/** The box of a text outside a radius at a shell angle [°], centred on its x and y. */
export function boxAt(context, plan, radius, text, degrees) {
  const [width, height] = [context.measureText(text).width + 6, plan.letters + 4];
  const [sin, cos] = [Math.sin(degrees * DEGREE), Math.cos(degrees * DEGREE)];
  const [x, y] = polar(
    plan,
    radius + (Math.abs(sin) * width) / 2 + (Math.abs(cos) * height) / 2,
    degrees,
  );
  return { text, degrees, width, height, x, y };
}

/** How far two boxes lie over one another, as an area. */
export function overlap(one, other) {
  const across = (one.width + other.width) / 2 - Math.abs(one.x - other.x);
  const down = (one.height + other.height) / 2 - Math.abs(one.y - other.y);
  return across > 0 && down > 0 ? across * down : 0;
}

/** A box moved into the picture. */
export function within(box, width, height) {
  box.x = Math.min(Math.max(box.x, box.width / 2), width - box.width / 2);
  box.y = Math.min(Math.max(box.y, box.height / 2), height - box.height / 2);
  return box;
}

/** A text with a rim of the ground's colour, so that it can be read over lines. */
export function haloText(context, text, [x, y], { colour, ground, width = 4 }) {
  context.lineWidth = width;
  context.strokeStyle = ground;
  context.strokeText(text, x, y);
  context.fillStyle = colour;
  context.fillText(text, x, y);
}

/**
 * An arrow from a point by (dx, dy); none where it is too short to point anywhere.
 * @param {any} context @param {number[]} from @param {number[]} by
 * @param {string} colour @param {number} width
 */
export function drawVector(context, [x, y], [dx, dy], colour, width) {
  const length = Math.hypot(dx, dy);
  if (length < 3) return;
  const head = Math.min(11, length);
  const [ux, uy] = [dx / length, dy / length];
  const [tipX, tipY] = [x + dx, y + dy];
  segment(context, [x, y], [tipX - 0.8 * head * ux, tipY - 0.8 * head * uy]);
  stroke(context, colour, width);
  context.beginPath();
  context.moveTo(tipX, tipY);
  context.lineTo(tipX - head * ux + 0.4 * head * uy, tipY - head * uy - 0.4 * head * ux);
  context.lineTo(tipX - head * ux - 0.4 * head * uy, tipY - head * uy + 0.4 * head * ux);
  context.closePath();
  context.fillStyle = colour;
  context.fill();
}

/** A closed trace of vectors about a centre, in one colour. */
export function plainTrace(context, { x, y }, [xs, ys], scale, { colour, width }) {
  context.beginPath();
  xs.forEach((one, i) => context.lineTo(x + scale * one, y - scale * ys[i]));
  context.closePath();
  stroke(context, colour, width);
}

/**
 * A closed trace of vectors coloured by crank angle, with ticks and degrees at equal steps of it.
 * Returns the boxes of its labels.
 */
export function angleTrace(context, plan, [xs, ys], scale, { colours, ground }) {
  const n = xs.length;
  const ramp = ANGLE_RAMPS[isDark(colours) ? "dark" : "light"];
  const point = (i) => [plan.x + scale * xs[(i + n) % n], plan.y - scale * ys[(i + n) % n]];
  context.lineCap = "round";
  for (let bin = 0; bin < ANGLE_BINS; bin++) {
    context.beginPath();
    for (
      let i = Math.floor((bin * n) / ANGLE_BINS);
      i <= Math.floor(((bin + 1) * n) / ANGLE_BINS);
      i++
    ) {
      context.lineTo(...point(i));
    }
    stroke(context, ramped(ramp, bin / (ANGLE_BINS - 1)), 2.6);
  }
  context.lineCap = "butt";
  return angleTicks(context, plan, { n, point }, { colours, ground });
}

function angleTicks(context, plan, { n, point }, { colours, ground }) {
  const { cycleDegrees, letters } = plan;
  const apart = cycleDegrees > 360 ? 180 : 90;
  const crowd = Array.from({ length: 72 }, (_, i) => point(Math.round((i * n) / 72)));
  const named = [];
  for (let degrees = 0; degrees < cycleDegrees; degrees += apart / 2) {
    const at = Math.round((degrees * n) / cycleDegrees);
    const [[x0, y0], [x, y], [x1, y1]] = [point(at - 2), point(at), point(at + 2)];
    const length = Math.hypot(x1 - x0, y1 - y0) || 1;
    const reach = degrees % apart ? 3 : 5;
    const [nx, ny] = [(reach * (y1 - y0)) / length, (reach * (x0 - x1)) / length];
    segment(context, [x - nx, y - ny], [x + nx, y + ny]);
    stroke(context, colours.text, 1.4);
    if (degrees % apart === 0) named.push([`${degrees}°`, x, y]);
  }
  context.font = font(letters - 1, 600);
  context.textAlign = "center";
  const taken = [];
  for (const [text, x, y] of named) {
    const box = freestBox(context, plan, text, [x, y], { crowd, taken });
    taken.push(box);
    haloText(context, text, [box.x, box.y], { colour: colours.text, ground, width: 3 });
  }
  context.font = font(letters);
  return taken;
}

/** The box for a text about a point that hides least of the other labels and of the trace. */
export function freestBox(context, { letters }, text, [x, y], { crowd, taken }) {
  const [width, height] = [context.measureText(text).width, letters];
  const boxes = Array.from({ length: 16 }, (_, i) => {
    const angle = (i * Math.PI) / 8;
    return {
      text,
      width,
      height,
      x: x + (width / 2 + 6) * Math.cos(angle),
      y: y + (height / 2 + 6) * Math.sin(angle),
    };
  });
  const cost = (box) => {
    const hidden = crowd.filter(([px, py]) =>
      overlap(box, { x: px, y: py, width: 4, height: 4 }),
    ).length;
    return hidden + taken.reduce((sum, other) => sum + (overlap(box, other) ? 1000 : 0), 0);
  };
  return boxes.reduce((best, box) => (cost(box) < cost(best) ? box : best));
}
