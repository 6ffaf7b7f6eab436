/* Forces and dimensions over the drawn train, all arrows to one stated scale of forces.
 *
 * Colour says cause and the line says it again: gas dashed, inertia dash-dotted, both together
 * solid; a rod in tension is finely dashed. Gas and inertia stand beside the cylinder's axis to be
 * told apart. Labels give the size; the arrow gives the direction. */

import { drawArrowHead } from "../figures/arrow_head.js";
import { formatShort, withUnit } from "../shared/number_words.js";
import { shownUnit, withShownUnit } from "../shared/shown_units.js";
import { romanNumber } from "./train_block.js";
import { niceBelow, sidePinHeight } from "./train_plan.js";

const FORCE_LINES = {
  gas: { dash: [8, 4], filled: true },
  inertia: { dash: [9, 3, 2, 3], filled: false },
  both: { dash: [], filled: true },
  tension: { dash: [3, 3], filled: false },
};

/** Distance of gas and inertia arrows from the cylinder's axis, of the bore. */
const BESIDE_AXIS = 0.34;

/** The arrow that stands for a stated force: its length in words and in CSS px. */
const STATED_ARROW = { si: ["10 mm", 37.8], us: ["½ in", 48] };

/** The scale of forces: 1, 2 or 5 times a power of ten, the largest arrow near a fifth of the height. */
export function forceScale(scene, height) {
  const [words, length] = STATED_ARROW[shownUnit("system")];
  const wanted = ((scene.arrowPeak || 1) * length) / (0.18 * height);
  const below = niceBelow(wanted);
  const above = below * (String(below).includes("2") ? 2.5 : 2);
  const step = wanted / below < above / wanted ? below : above;
  return { pixels: length / step, length, words, text: withUnit(formatShort(step, 2), shownUnit("kN").symbol) };
}

/** All arrows that the view asks for. */
export function drawForces(context, plan, inks, scene, view, force) {
  const { arrows } = view;
  if (!arrows || !Object.values(arrows).some(Boolean)) return;
  context.font = plan.font;
  context.textBaseline = "alphabetic";
  if (arrows.gas || arrows.inertia) drawSideForces(context, plan, inks, scene, view, force);
  if (arrows.mains) drawSideMainLoads(context, plan, inks, scene, view, force);
  drawEndForces(context, plan, inks, scene, view, force);
  drawForceKey(context, plan, inks, force);
}

/** Gas on the crown and inertia at the pin of every cylinder in the side view. */
function drawSideForces(context, plan, inks, scene, { arrows, cylinder }, force) {
  const { parts, side, scale } = plan;
  const aside = BESIDE_AXIS * parts.block.bore * scale;
  for (let c = 0; c < parts.cylinders.length; c++) {
    const cos = Math.cos(parts.cylinders[c].bank_angle);
    const x = side.x + parts.cylinders[c].z * scale;
    const own = c === cylinder;
    if (arrows.gas) {
      const down = scene.load("gas_force", c, null, plan.at) * force.pixels * cos;
      const crown = side.y - (plan.pinHeight[c] + parts.piston.compression_height) * cos * scale;
      drawForceArrow(context, plan, x - aside, crown - down, 0, down, own ? inks.gas : inks.faintGas, FORCE_LINES.gas);
    }
    if (arrows.inertia) {
      const down = scene.load("inertia_force", c, null, plan.at) * force.pixels * cos;
      drawForceArrow(context, plan, x + aside, side.y - sidePinHeight(plan, c) * scale, 0, down,
        own ? inks.inertia : inks.faintInertia, FORCE_LINES.inertia);
    }
  }
}

/** Upright part of each main's load on its shell, in the side view. */
function drawSideMainLoads(context, plan, inks, scene, { cylinder }, force) {
  const { parts, side, scale } = plan;
  const own = parts.cylinders[cylinder].throw - 1;
  for (let m = 0; m < parts.main_journal.z.length; m++) {
    const near = m === own || m === own + 1;
    const [, up] = mainLoad(plan, scene, m);
    const x = side.x + parts.main_journal.z[m] * scale;
    drawForceArrow(context, plan, x, side.y, 0, -up * force.pixels, near ? inks.text : inks.faintText, FORCE_LINES.both);
  }
}

/** A main's load in the view's axes, x to the right and y up. */
function mainLoad(plan, scene, m) {
  const x = scene.load("main_block", m, 0, plan.at);
  const y = scene.load("main_block", m, 1, plan.at);
  const [sin, cos] = [Math.sin(plan.tilt), Math.cos(plan.tilt)];
  return [x * cos + y * sin, y * cos - x * sin];
}

/** Forces of the picked cylinder and its two mains in the end view; sizes give way to a dimension. */
function drawEndForces(context, plan, inks, scene, { arrows, cylinder, dimension }, force) {
  const quiet = Boolean(dimension);
  const { parts, scale } = plan;
  const load = (name) => scene.load(name, cylinder, null, plan.at);
  const draw = (x, y, dx, dy, colour, line, label, size, side) =>
    drawEndForce(context, plan, inks, cylinder, { x, y, dx, dy, colour, line, label, size, side, quiet });
  const aside = BESIDE_AXIS * parts.block.bore * scale;
  const pin = plan.pinHeight[cylinder] * scale;
  const pinX = -parts.pin_offset * scale;
  if (arrows.gas) {
    const size = load("gas_force");
    const crown = pin + parts.piston.compression_height * scale;
    draw(-aside, crown + size * force.pixels, 0, -size * force.pixels, inks.gas, FORCE_LINES.gas, "gas", size, -1);
  }
  if (arrows.inertia) {
    const size = load("inertia_force");
    draw(aside, pin, 0, -size * force.pixels, inks.inertia, FORCE_LINES.inertia, "inertia", size, 1);
  }
  if (arrows.rod) {
    const size = load("rod_force");
    const along = size * force.pixels;
    const lean = plan.rodAngle[cylinder];
    draw(pinX, pin, along * Math.sin(lean), -along * Math.cos(lean), inks.text,
      size < 0 ? FORCE_LINES.tension : FORCE_LINES.both, "rod", size, 1);
  }
  if (arrows.side) {
    const size = load("side_thrust");
    const wall = (Math.sign(size) * parts.piston.diameter * scale) / 2;
    draw(-wall, pin, -size * force.pixels, 0, inks.text, FORCE_LINES.both, "side", size, -Math.sign(size));
  }
  if (arrows.mains) drawEndMainLoads(context, plan, inks, scene, cylinder, force, quiet);
}

/**
 * One arrow given in the cylinder's axes [px, y up] and its label beside the bore: `side` is -1
 * for the left wall, 1 for the right, seen along the cylinder.
 */
function drawEndForce(context, plan, inks, cylinder, arrow) {
  const { parts, end, scale, size } = plan;
  const lean = parts.cylinders[cylinder].bank_angle;
  const [sin, cos] = [Math.sin(lean), Math.cos(lean)];
  const x = end.x + arrow.x * cos + arrow.y * sin;
  const y = end.y + arrow.x * sin - arrow.y * cos;
  const dx = arrow.dx * cos + arrow.dy * sin;
  const dy = arrow.dx * sin - arrow.dy * cos;
  if (!drawForceArrow(context, plan, x, y, dx, dy, arrow.colour, arrow.line) || arrow.quiet) return;
  const wall = (parts.block.bore / 2 + parts.block.wall_thickness) * scale + 0.5 * size;
  const reach = arrow.x + arrow.dx;
  const slack = 1.2 * size * Math.abs(sin);
  const out = arrow.side * (Math.max(wall, arrow.side * reach + 0.4 * size) + slack);
  const up = arrow.y + arrow.dy / 2;
  const [atX, atY] = [end.x + out * cos + up * sin, end.y + out * sin - up * cos];
  const right = arrow.side * cos >= 0;
  const lines = [arrow.label, forceText(arrow.size)];
  const labelY = drawLabel(context, plan, inks, lines, atX, atY + 0.35 * size, right ? "left" : "right");
  context.strokeStyle = arrow.colour;
  context.lineWidth = plan.line;
  context.beginPath();
  context.moveTo(x + dx / 2, y + dy / 2);
  context.lineTo(atX - (right ? 3 : -3), labelY - 0.35 * size);
  context.stroke();
}

/** Loads of the mains on both sides of the picked throw, at the crank's axis; sizes underneath. */
function drawEndMainLoads(context, plan, inks, scene, cylinder, force, quiet) {
  const { end, size } = plan;
  const own = plan.parts.cylinders[cylinder].throw - 1;
  const edge = Math.min(plan.width - 6, end.x + plan.reach * plan.scale + 2 * size);
  for (const m of [own, own + 1]) {
    const [right, up] = mainLoad(plan, scene, m);
    const long = Math.hypot(right, up);
    const [dx, dy] = [right * force.pixels, -up * force.pixels];
    const name = romanNumber(m + 1);
    if (drawForceArrow(context, plan, end.x, end.y, dx, dy, inks.text, FORCE_LINES.both)) {
      const off = 0.8 * size / (long * force.pixels);
      drawLabel(context, plan, inks, [name], end.x + dx * (1 + off), end.y + dy * (1 + off) + 0.35 * size, "center");
    }
    if (quiet) continue;
    const y = end.y + plan.reach * plan.scale + (m === own ? 1.2 : 2.4) * size;
    drawLabel(context, plan, inks, [`main ${name} ${forceText(long)}`], edge, y, "right");
  }
}

/** The arrow that stands for a stated force, beside the bar of lengths. */
function drawForceKey(context, plan, inks, force) {
  const { size, bar, footY } = plan;
  const x = 0.9 * size + bar.pixels + (1.6 + 0.62 * bar.text.length) * size;
  drawForceArrow(context, plan, x, footY - 0.35 * size, force.length, 0, inks.text, FORCE_LINES.both);
  context.fillStyle = inks.muted;
  context.textAlign = "left";
  context.fillText(`${force.text}  (${force.words})`, x + force.length + 0.5 * size, footY);
}

/** A size of force, as the scene has it, with three digits and its unit. */
function forceText(force) {
  return withShownUnit(Math.abs(force), "kN");
}

// --- strokes of the pen ---------------------------------------------------------------------

/** Draw an arrow from (x, y) by (dx, dy) px; returns false, drawing nothing, where it is too short. */
function drawForceArrow(context, plan, x, y, dx, dy, colour, line) {
  const long = Math.hypot(dx, dy);
  if (!(long > 3)) return false;
  const [ux, uy] = [dx / long, dy / long];
  const head = Math.min(0.85 * plan.size, 0.7 * long);
  context.strokeStyle = context.fillStyle = colour;
  context.lineWidth = 2.2 * plan.line;
  context.setLineDash(line.dash);
  context.beginPath();
  context.moveTo(x, y);
  context.lineTo(x + dx - 0.8 * head * ux, y + dy - 0.8 * head * uy);
  context.stroke();
  context.setLineDash([]);
  drawArrowHead(context, x + dx, y + dy, ux, uy, head, line.filled);
  return true;
}

/** Lines of text with a rim of paper, kept on the canvas and off other labels; returns the first's y [px]. */
function drawLabel(context, plan, inks, lines, x, y, align) {
  let wide = 0;
  for (const line of lines) wide = Math.max(wide, context.measureText(line).width);
  const before = align === "right" ? wide : align === "center" ? wide / 2 : 0;
  const left = Math.max(4, Math.min(plan.width - wide - 4, x - before));
  const top = freeHeight(plan, left, y, wide, lines.length * 1.2 * plan.size);
  context.textAlign = align;
  context.strokeStyle = inks.paper;
  context.fillStyle = inks.text;
  context.lineWidth = 3.5;
  lines.forEach((line, i) => {
    const at = top + i * 1.15 * plan.size;
    context.strokeText(line, left + before, at);
    context.fillText(line, left + before, at);
  });
  return top;
}

/** The nearest height [px] to y at which a label of this width and height is clear of the others. */
function freeHeight(plan, left, y, wide, tall) {
  const step = 0.6 * plan.size;
  const clear = (at) => plan.labels.every((one) =>
    at >= one.y + one.tall || at + tall <= one.y || one.left > left + wide || one.left + one.wide < left);
  let free = y;
  for (let k = 1; k < 14 && !clear(free); k++) free = y + (k % 2 ? 1 : -1) * Math.ceil(k / 2) * step;
  plan.labels.push({ left, y: free, wide, tall });
  return free;
}

// --- dimensions -----------------------------------------------------------------------------

/** The dimension arrow of the field that is being changed, if that field can be seen. */
export function drawDimension(context, plan, inks, view) {
  const group = view.dimension.startsWith("counterweight") ? "counterweight" : view.dimension;
  const draw = DIMENSIONS[group];
  if (draw) draw(context, plan, inks, view.cylinder);
}

const DIMENSIONS = {
  "cylinder.bore_mm": drawBoreDimension,
  "cylinder.stroke_mm": drawStrokeDimension,
  "cylinder.rod_length_mm": drawRodDimension,
  "cylinder.pin_offset_mm": drawPinOffsetDimension,
  "layout.throw_spacing_mm": drawSpacingDimension,
  "crank.web_offset_mm": drawWebOffsetDimension,
  "big_end.diameter_mm": drawCrankpinDimension,
  "big_end.width_mm": drawBigEndWidthDimension,
  "main_bearing.diameter_mm": drawMainDimension,
  "main_bearing.width_mm": drawMainWidthDimension,
  counterweight: drawCounterweightDimension,
};

/** A length [m] in the unit shown, with up to four digits. */
function lengthText(metres) {
  const { symbol, si } = shownUnit("mm");
  return withUnit(formatShort(metres / si, 4), symbol);
}

/** A point in the picked cylinder's axes [m, y along the bore] as canvas px. */
function onBore(plan, cylinder, x, y) {
  const lean = plan.parts.cylinders[cylinder].bank_angle;
  const [sin, cos] = [Math.sin(lean), Math.cos(lean)];
  return [plan.end.x + (x * cos + y * sin) * plan.scale, plan.end.y + (x * sin - y * cos) * plan.scale];
}

function drawBoreDimension(context, plan, inks, cylinder) {
  const { bore, deck_height, chamber_height } = plan.parts.block;
  const y = deck_height + chamber_height;
  const ends = [-bore / 2, bore / 2].map((x) => onBore(plan, cylinder, x, y));
  drawDimensionLine(context, plan, inks, ...ends, -1.3 * plan.size, `bore ${lengthText(bore)}`);
}

function drawStrokeDimension(context, plan, inks, cylinder) {
  const { parts } = plan;
  const x = parts.block.bore / 2;
  const ends = [parts.top, parts.bottom].map((pin) => onBore(plan, cylinder, x, pin + parts.piston.compression_height));
  const aside = -(parts.block.wall_thickness * plan.scale + 1.4 * plan.size);
  drawDimensionLine(context, plan, inks, ...ends, aside, `stroke ${lengthText(2 * parts.crank_radius)}`);
}

function drawRodDimension(context, plan, inks, cylinder) {
  const { parts } = plan;
  const pin = onBore(plan, cylinder, -parts.pin_offset, plan.pinHeight[cylinder]);
  const angle = plan.throwAngle[parts.cylinders[cylinder].throw - 1];
  const big = [
    plan.end.x + parts.crank_radius * Math.sin(angle) * plan.scale, plan.end.y - parts.crank_radius * Math.cos(angle) * plan.scale,
  ];
  const aside = (parts.block.bore / 2) * plan.scale + 2.4 * plan.size;
  drawDimensionLine(context, plan, inks, pin, big, -aside, `rod ${lengthText(parts.rod.length)}`);
}

function drawPinOffsetDimension(context, plan, inks, cylinder) {
  const { pin_offset, block } = plan.parts;
  const y = plan.pinHeight[cylinder];
  const above = block.deck_height + block.chamber_height - y;
  const ends = [-pin_offset, 0].map((x) => onBore(plan, cylinder, x, y));
  drawDimensionLine(context, plan, inks, ...ends, -above * plan.scale - 1.3 * plan.size, `pin offset ${lengthText(pin_offset)}`);
}

/** A dimension along the crank, under the side view, between two places z [m]; its text beside it. */
function drawAxialDimension(context, plan, inks, from, to, text) {
  const { side, scale, size } = plan;
  const y = plan.mainsY + size;
  const ends = [from, to].map((z) => side.x + z * scale);
  drawDimensionLine(context, plan, inks, [ends[0], side.y], [ends[1], side.y], y - side.y, "");
  context.font = plan.bold;
  const right = ends[1] < 0.6 * plan.width;
  drawLabel(context, plan, inks, [text], right ? ends[1] + 1.8 * size : ends[0] - 1.8 * size, y + 0.3 * size, right ? "left" : "right");
}

function drawSpacingDimension(context, plan, inks, cylinder) {
  const { cylinders, throws } = plan.parts;
  const spacing = plan.parts.main_journal.z[1] - plan.parts.main_journal.z[0];
  const k = cylinders[cylinder].throw - 1;
  const from = throws[k + 1] || k === 0 ? throws[k].z : throws[k - 1].z;
  drawAxialDimension(context, plan, inks, from, from + spacing, `throw spacing ${lengthText(spacing)}`);
}

function drawWebOffsetDimension(context, plan, inks, cylinder) {
  const k = plan.parts.cylinders[cylinder].throw - 1;
  const [from, to] = [plan.parts.throws[k].z, plan.parts.web.z[2 * k + 1]];
  drawAxialDimension(context, plan, inks, from, to, `web offset ${lengthText(to - from)}`);
}

function drawBigEndWidthDimension(context, plan, inks, cylinder) {
  const { z } = plan.parts.cylinders[cylinder];
  const wide = plan.parts.crankpin.shell_width;
  drawAxialDimension(context, plan, inks, z - wide / 2, z + wide / 2, `big-end width ${lengthText(wide)}`);
}

function drawMainWidthDimension(context, plan, inks, cylinder) {
  const { z, shell_width } = plan.parts.main_journal;
  const middle = z[plan.parts.cylinders[cylinder].throw - 1];
  drawAxialDimension(context, plan, inks, middle - shell_width / 2, middle + shell_width / 2, `main width ${lengthText(shell_width)}`);
}

function drawCrankpinDimension(context, plan, inks, cylinder) {
  const { crankpin, crank_radius } = plan.parts;
  const angle = plan.throwAngle[plan.parts.cylinders[cylinder].throw - 1];
  const [x, y] = [plan.end.x + crank_radius * Math.sin(angle) * plan.scale, plan.end.y - crank_radius * Math.cos(angle) * plan.scale];
  drawDiameter(context, plan, inks, x, y, crankpin.diameter, "crankpin");
}

function drawMainDimension(context, plan, inks) {
  drawDiameter(context, plan, inks, plan.end.x, plan.end.y, plan.parts.main_journal.diameter, "main");
}

/** A diameter [m] under the end view's crank, about a centre (x, y) px. */
function drawDiameter(context, plan, inks, x, y, diameter, name) {
  const half = (diameter / 2) * plan.scale;
  const down = plan.end.y + plan.reach * plan.scale + 1.4 * plan.size - y;
  drawDimensionLine(context, plan, inks, [x - half, y], [x + half, y], down, `${name} ⌀ ${lengthText(diameter)}`);
}

function drawCounterweightDimension(context, plan, inks, cylinder) {
  const { parts, end, scale, size } = plan;
  const own = parts.cylinders[cylinder].throw;
  const weight = parts.counterweights.find((one) => one.throw === own && one.web % 2 === 0) ??
    parts.counterweights.find((one) => one.throw === own);
  if (!weight) return;
  const angle = plan.throwAngle[own - 1] + weight.angle;
  const [x, y] = [end.x + weight.outer_radius * Math.sin(angle) * scale, end.y - weight.outer_radius * Math.cos(angle) * scale];
  drawDimensionLine(context, plan, inks, [end.x, end.y], [x, y], 0, "");
  const degrees = formatShort((weight.angle * 180) / Math.PI, 4);
  const { symbol, si } = shownUnit("kg_mm");
  const moment = withUnit(formatShort(weight.unbalance / si, 4), symbol);
  const radius = lengthText(weight.outer_radius);
  context.font = plan.font;
  drawLabel(context, plan, inks, [`web ${weight.web}: R ${radius}`, `${moment} at ${degrees}°`], end.x, end.y + plan.reach * scale + 1.3 * size, "center");
}

/**
 * A dimension between two points px, drawn `aside` px to the right of the way from one to the other
 * turned by 90° with the clock, with extension lines and its text.
 */
function drawDimensionLine(context, plan, inks, [x1, y1], [x2, y2], aside, text) {
  const long = Math.hypot(x2 - x1, y2 - y1);
  const [ux, uy] = long > 1e-6 ? [(x2 - x1) / long, (y2 - y1) / long] : [1, 0];
  const [nx, ny] = [-uy, ux];
  const head = 0.8 * plan.size;
  const over = Math.sign(aside) * 0.3 * plan.size;
  const [ax, ay, bx, by] = [x1 + aside * nx, y1 + aside * ny, x2 + aside * nx, y2 + aside * ny];
  context.strokeStyle = context.fillStyle = inks.text;
  context.lineWidth = plan.line;
  context.setLineDash([]);
  const outside = long < 2.6 * head ? 1.8 * head : 0;
  context.beginPath();
  context.moveTo(x1, y1);
  context.lineTo(ax + over * nx, ay + over * ny);
  context.moveTo(x2, y2);
  context.lineTo(bx + over * nx, by + over * ny);
  context.moveTo(ax - outside * ux, ay - outside * uy);
  context.lineTo(bx + outside * ux, by + outside * uy);
  context.stroke();
  const way = outside ? 1 : -1;
  drawArrowHead(context, ax, ay, way * ux, way * uy, head, true);
  drawArrowHead(context, bx, by, -way * ux, -way * uy, head, true);
  if (text) drawDimensionText(context, plan, inks, text, (ax + bx) / 2, (ay + by) / 2, ux, uy, aside);
}

/** The text of a dimension, along its line, on the side away from the part, never upside down. */
function drawDimensionText(context, plan, inks, text, x, y, ux, uy, aside) {
  const back = ux < -1e-6 || (Math.abs(ux) <= 1e-6 && uy > 0);
  const turn = Math.atan2(uy, ux) + (back ? Math.PI : 0);
  const below = aside !== 0 && aside > 0 !== back;
  context.save();
  context.font = plan.bold;
  const half = context.measureText(text).width / 2 + 4;
  const level = Math.abs(Math.sin(turn)) < 0.3;
  context.translate(level ? Math.max(half, Math.min(plan.width - half, x)) : x, y);
  context.rotate(turn);
  context.textAlign = "center";
  context.strokeStyle = inks.paper;
  context.fillStyle = inks.text;
  context.lineWidth = 4;
  const lift = (below ? 1.15 : -0.4) * plan.size;
  context.strokeText(text, 0, lift);
  context.fillText(text, 0, lift);
  context.restore();
}
