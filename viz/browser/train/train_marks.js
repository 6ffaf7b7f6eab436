/*
 * What a lesson draws on the selected cylinder in the end view: the dwell on the crank circle and
 * the leaning rod, the orders of the acceleration as arrows that add up, the load on the crankpin.
 */

import { drawArrowHead } from "../figures/arrow_head.js";
import { formatShort, withUnit } from "../shared/number_words.js";
import { degreeText, heaviestAngle, ordersAt } from "./mark_numbers.js";
import { drawLabel } from "./train_arrows.js";

const DEEP = 0.5; // of the pin's radius: the band of the largest load
const DRAWN = { dwell: drawDwell, orders: drawOrders, pin_load: drawPinLoad };

/**
 * Draw the marks of a lesson, by name as `viz.lessons.engine_marks` gives them.
 * @param {any} sheet context, plan and inks
 * @param {any} view marks, cylinder (from 0), colours
 */
export function drawMarks(sheet, view) {
  sheet.context.font = sheet.plan.font;
  for (const [name, mark] of Object.entries(view.marks ?? {})) DRAWN[name]?.(sheet, view, mark);
}

/** A cylinder of the end view: its lean [rad], and canvas places of its own axes [m]. */
function placesOf(plan, cylinder) {
  const { end, scale } = plan;
  const lean = plan.parts.cylinders[cylinder].bank_angle;
  const [sin, cos] = [Math.sin(lean), Math.cos(lean)];
  const at = (x, y) => [end.x + (x * cos + y * sin) * scale, end.y + (x * sin - y * cos) * scale];
  return { lean, at };
}

// --- the dwell and the leaning rod ------------------------------------------------------------

function drawDwell(sheet, { cylinder }, { top, bottom }) {
  const { context, plan, inks } = sheet;
  const { lean } = placesOf(plan, cylinder);
  const radius = plan.parts.crank_radius * plan.scale;
  for (const [middle, width] of [
    [lean, top],
    [lean + Math.PI, bottom],
  ]) {
    const up = middle - Math.PI / 2;
    context.strokeStyle = inks.inertia; // a label changes it
    context.lineWidth = 5 * plan.line;
    context.beginPath();
    context.arc(plan.end.x, plan.end.y, radius, up - width / 2, up + width / 2);
    context.stroke();
    const [away, angle] = [radius + 0.8 * plan.size, up + width / 2];
    const [x, y] = [
      plan.end.x + away * Math.cos(angle),
      plan.end.y + away * Math.sin(angle) + 0.35 * plan.size,
    ];
    context.fillStyle = inks.text;
    drawLabel(sheet, ["dwell", degreeText(width)], x, y, Math.cos(angle) < 0 ? "right" : "left");
  }
  drawLean(sheet, cylinder);
}

/** The rod's axis beside that of the cylinder, with the angle between them. */
function drawLean(sheet, cylinder) {
  const { context, plan, inks } = sheet;
  const { parts } = plan;
  const { at } = placesOf(plan, cylinder);
  const [pinX, pinY] = [-parts.pin_offset, plan.pinHeight[cylinder]];
  const lean = plan.rodAngle[cylinder];
  const long = parts.rod.length;
  const pin = at(pinX, pinY);
  context.lineWidth = 1.5 * plan.line;
  context.strokeStyle = inks.text;
  strokeLine(context, pin, at(pinX + long * Math.sin(lean), pinY - long * Math.cos(lean)), []);
  strokeLine(context, pin, at(pinX, pinY - 0.8 * long), [6, 3]);
  const side = parts.block.bore / 2 + parts.block.wall_thickness;
  const [x, y] = at(-side, pinY - 0.55 * long);
  drawLabel(sheet, ["rod leans", degreeText(Math.abs(lean))], x - 0.4 * plan.size, y, "right");
}

function strokeLine(context, from, to, dash) {
  context.setLineDash(dash);
  context.beginPath();
  context.moveTo(...from);
  context.lineTo(...to);
  context.stroke();
  context.setLineDash([]);
}

// --- the orders of the acceleration -------------------------------------------------------------

/** The first order, the second from its tip on, and beside them the sum of all. */
function drawOrders(sheet, { cylinder, colours }, orders) {
  const { plan, inks } = sheet;
  const { parts } = plan;
  const { at, lean } = placesOf(plan, cylinder);
  const angle = plan.throwAngle[parts.cylinders[cylinder].throw - 1] - lean;
  const [first, second, sum] = ordersAt(orders, angle);
  const length = 1.2 * parts.crank_radius;
  const wall = parts.block.bore / 2 + parts.block.wall_thickness;
  const column = (k) => wall + ((0.9 + 1.5 * k) * plan.size) / plan.scale;
  const base = plan.pinHeight[cylinder];
  const tip = base - first * length;
  const arrow = (k, from, by, look) =>
    drawOrder(sheet, at(column(k), from), at(column(k), from - by * length), look);
  arrow(0, base, first, { colour: inks.inertia, dash: [6, 3], words: "1" });
  arrow(1, tip, second, { colour: colours.second || inks.text, dash: [2, 3], words: "2" });
  arrow(2, base, sum, { colour: inks.text, dash: [], words: "sum" });
  sheet.context.lineWidth = plan.line;
  sheet.context.strokeStyle = inks.muted;
  strokeLine(sheet.context, at(column(0), base), at(column(2), base), [2, 2]);
  strokeLine(sheet.context, at(column(0), tip), at(column(1), tip), [2, 2]);
  const [x, y] = at(column(0), Math.max(base, tip, base - sum * length));
  const value = withUnit(formatShort(Math.abs(sum * orders.scale), 3), orders.unit);
  drawLabel(sheet, ["acceleration", value], x, y - 2.9 * plan.size, "left");
}

function drawOrder({ context, plan }, from, to, { colour, dash, words }) {
  const long = Math.hypot(to[0] - from[0], to[1] - from[1]);
  context.strokeStyle = context.fillStyle = colour;
  context.lineWidth = 2.2 * plan.line;
  strokeLine(context, from, to, dash);
  if (long > 3) {
    const [ux, uy] = [(to[0] - from[0]) / long, (to[1] - from[1]) / long];
    drawArrowHead(context, to, [ux, uy], Math.min(0.6 * plan.size, long), true);
  }
  const down = to[1] >= from[1] ? 1 : -0.3;
  context.textAlign = "center";
  context.fillText(words, to[0], to[1] + down * plan.size);
}

// --- the load on the crankpin -------------------------------------------------------------------

/** The crankpin's surface, the deeper the band, the larger the load there over the cycle. */
function drawPinLoad(sheet, { cylinder }, load) {
  const { context, plan, inks } = sheet;
  const { parts, end, scale } = plan;
  const turned = plan.throwAngle[parts.cylinders[cylinder].throw - 1];
  const radius = (parts.crankpin.diameter / 2) * scale;
  const x = end.x + parts.crank_radius * Math.sin(turned) * scale;
  const y = end.y - parts.crank_radius * Math.cos(turned) * scale;
  const point = (angle, out) => [
    x + out * radius * Math.sin(turned + angle),
    y - out * radius * Math.cos(turned + angle),
  ];
  context.beginPath();
  load.share.forEach((share, k) => context.lineTo(...point(k * load.step, 1 - DEEP * share)));
  context.closePath();
  for (let k = load.share.length; k >= 0; k--) context.lineTo(...point(k * load.step, 1));
  context.closePath();
  context.fillStyle = inks.inertia;
  context.fill();
  const angle = heaviestAngle(load);
  const [tipX, tipY] = point(angle, 1);
  const isLeft = Math.sin(turned + angle) < 0;
  const away = (plan.reach * scale + 0.6 * plan.size) * (isLeft ? -1 : 1);
  context.fillStyle = inks.text;
  const labelY = drawLabel(
    sheet,
    ["polished side"],
    end.x + away,
    tipY + 0.35 * plan.size,
    isLeft ? "right" : "left",
  );
  context.strokeStyle = inks.text;
  context.lineWidth = plan.line;
  strokeLine(context, [tipX, tipY], [end.x + away, labelY - 0.35 * plan.size], []);
}
