/* Dimensions of the field that is being changed, over the drawn train. */

import { drawArrowHead } from "../figures/arrow_head.js";
import { formatShort, withUnit } from "../shared/number_words.js";
import { shownUnit } from "../shared/shown_units.js";
import { drawLabel } from "./train_arrows.js";

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

/** The dimension arrow of the field that is being changed, if that field can be seen. */
export function drawDimension(sheet, view) {
  const group = view.dimension.startsWith("counterweight") ? "counterweight" : view.dimension;
  const draw = DIMENSIONS[group];
  if (draw) draw(sheet, view.cylinder);
}

/** A length [m] in the unit shown, with up to four digits. */
function lengthText(metres) {
  const { symbol, si } = shownUnit("mm");
  return withUnit(formatShort(metres / si, 4), symbol);
}

/** A point in the selected cylinder's axes [m, y along the bore] as canvas px. */
function onBore(plan, cylinder, x, y) {
  const lean = plan.parts.cylinders[cylinder].bank_angle;
  const [sin, cos] = [Math.sin(lean), Math.cos(lean)];
  return [
    plan.end.x + (x * cos + y * sin) * plan.scale,
    plan.end.y + (x * sin - y * cos) * plan.scale,
  ];
}

function drawBoreDimension(sheet, cylinder) {
  const { plan } = sheet;
  const { bore, deck_height, chamber_height } = plan.parts.block;
  const y = deck_height + chamber_height;
  const ends = [-bore / 2, bore / 2].map((x) => onBore(plan, cylinder, x, y));
  drawDimensionLine(sheet, ends[0], ends[1], -1.3 * plan.size, `bore ${lengthText(bore)}`);
}

function drawStrokeDimension(sheet, cylinder) {
  const { plan } = sheet;
  const { parts } = plan;
  const x = parts.block.bore / 2;
  const ends = [parts.top, parts.bottom].map((pin) =>
    onBore(plan, cylinder, x, pin + parts.piston.compression_height),
  );
  const aside = -(parts.block.wall_thickness * plan.scale + 1.4 * plan.size);
  drawDimensionLine(sheet, ends[0], ends[1], aside, `stroke ${lengthText(2 * parts.crank_radius)}`);
}

function drawRodDimension(sheet, cylinder) {
  const { plan } = sheet;
  const { parts } = plan;
  const pin = onBore(plan, cylinder, -parts.pin_offset, plan.pinHeight[cylinder]);
  const angle = plan.throwAngle[parts.cylinders[cylinder].throw - 1];
  const big = [
    plan.end.x + parts.crank_radius * Math.sin(angle) * plan.scale,
    plan.end.y - parts.crank_radius * Math.cos(angle) * plan.scale,
  ];
  const aside = (parts.block.bore / 2) * plan.scale + 2.4 * plan.size;
  drawDimensionLine(sheet, pin, big, -aside, `rod ${lengthText(parts.rod.length)}`);
}

function drawPinOffsetDimension(sheet, cylinder) {
  const { plan } = sheet;
  const { pin_offset, block } = plan.parts;
  const y = plan.pinHeight[cylinder];
  const above = block.deck_height + block.chamber_height - y;
  const ends = [-pin_offset, 0].map((x) => onBore(plan, cylinder, x, y));
  drawDimensionLine(
    sheet,
    ends[0],
    ends[1],
    -above * plan.scale - 1.3 * plan.size,
    `pin offset ${lengthText(pin_offset)}`,
  );
}

/**
 * A dimension along the crank, under the side view, between two places z [m]; its text beside it.
 */
function drawAxialDimension(sheet, from, to, text) {
  const { context, plan } = sheet;
  const { side, scale, size } = plan;
  const y = plan.mainsY + size;
  const ends = [from, to].map((z) => side.x + z * scale);
  drawDimensionLine(sheet, [ends[0], side.y], [ends[1], side.y], y - side.y, "");
  context.font = plan.bold;
  const right = ends[1] < 0.6 * plan.width;
  drawLabel(
    sheet,
    [text],
    right ? ends[1] + 1.8 * size : ends[0] - 1.8 * size,
    y + 0.3 * size,
    right ? "left" : "right",
  );
}

function drawSpacingDimension(sheet, cylinder) {
  const { plan } = sheet;
  const { cylinders, throws } = plan.parts;
  const spacing = plan.parts.main_journal.z[1] - plan.parts.main_journal.z[0];
  const k = cylinders[cylinder].throw - 1;
  const from = throws[k + 1] || k === 0 ? throws[k].z : throws[k - 1].z;
  drawAxialDimension(sheet, from, from + spacing, `throw spacing ${lengthText(spacing)}`);
}

function drawWebOffsetDimension(sheet, cylinder) {
  const { plan } = sheet;
  const k = plan.parts.cylinders[cylinder].throw - 1;
  const [from, to] = [plan.parts.throws[k].z, plan.parts.web.z[2 * k + 1]];
  drawAxialDimension(sheet, from, to, `web offset ${lengthText(to - from)}`);
}

function drawBigEndWidthDimension(sheet, cylinder) {
  const { plan } = sheet;
  const { z } = plan.parts.cylinders[cylinder];
  const wide = plan.parts.crankpin.shell_width;
  drawAxialDimension(sheet, z - wide / 2, z + wide / 2, `big-end width ${lengthText(wide)}`);
}

function drawMainWidthDimension(sheet, cylinder) {
  const { plan } = sheet;
  const { z, shell_width } = plan.parts.main_journal;
  const middle = z[plan.parts.cylinders[cylinder].throw - 1];
  drawAxialDimension(
    sheet,
    middle - shell_width / 2,
    middle + shell_width / 2,
    `main width ${lengthText(shell_width)}`,
  );
}

function drawCrankpinDimension(sheet, cylinder) {
  const { plan } = sheet;
  const { crankpin, crank_radius } = plan.parts;
  const angle = plan.throwAngle[plan.parts.cylinders[cylinder].throw - 1];
  const [x, y] = [
    plan.end.x + crank_radius * Math.sin(angle) * plan.scale,
    plan.end.y - crank_radius * Math.cos(angle) * plan.scale,
  ];
  drawDiameter(sheet, x, y, crankpin.diameter, "crankpin");
}

function drawMainDimension(sheet) {
  const { plan } = sheet;
  drawDiameter(sheet, plan.end.x, plan.end.y, plan.parts.main_journal.diameter, "main");
}

/** A diameter [m] under the end view's crank, about a centre (x, y) px. */
function drawDiameter(sheet, x, y, diameter, name) {
  const { plan } = sheet;
  const half = (diameter / 2) * plan.scale;
  const down = plan.end.y + plan.reach * plan.scale + 1.4 * plan.size - y;
  drawDimensionLine(sheet, [x - half, y], [x + half, y], down, `${name} ⌀ ${lengthText(diameter)}`);
}

function drawCounterweightDimension(sheet, cylinder) {
  const { context, plan } = sheet;
  const { parts, end, scale, size } = plan;
  const own = parts.cylinders[cylinder].throw;
  const weight =
    parts.counterweights.find((one) => one.throw === own && one.web % 2 === 0) ??
    parts.counterweights.find((one) => one.throw === own);
  if (!weight) return;
  const angle = plan.throwAngle[own - 1] + weight.angle;
  const [x, y] = [
    end.x + weight.outer_radius * Math.sin(angle) * scale,
    end.y - weight.outer_radius * Math.cos(angle) * scale,
  ];
  drawDimensionLine(sheet, [end.x, end.y], [x, y], 0, "");
  const degrees = formatShort((weight.angle * 180) / Math.PI, 4);
  const { symbol, si } = shownUnit("kg_mm");
  const moment = withUnit(formatShort(weight.unbalance / si, 4), symbol);
  const radius = lengthText(weight.outer_radius);
  context.font = plan.font;
  drawLabel(
    sheet,
    [`web ${weight.web}: R ${radius}`, `${moment} at ${degrees}°`],
    end.x,
    end.y + plan.reach * scale + 1.3 * size,
    "center",
  );
}

/**
 * A dimension between two points px, drawn `aside` px to the right of the way from one to the other
 * turned by 90° with the clock, with extension lines and its text.
 * @param {any} sheet @param {number[]} from @param {number[]} to
 * @param {number} aside @param {string} text
 */
function drawDimensionLine(sheet, [x1, y1], [x2, y2], aside, text) {
  const { context, plan, inks } = sheet;
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
  drawArrowHead(context, [ax, ay], [way * ux, way * uy], head, true);
  drawArrowHead(context, [bx, by], [-way * ux, -way * uy], head, true);
  if (text) drawDimensionText(sheet, text, [(ax + bx) / 2, (ay + by) / 2], [ux, uy], aside);
}

/** The text of a dimension, along its line, on the side away from the part, never upside down. */
function drawDimensionText(sheet, text, [x, y], [ux, uy], aside) {
  const { context, plan, inks } = sheet;
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
