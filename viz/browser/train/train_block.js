/* What rests in the crank train's picture: block, mains, shaft ends, captions; and the pen. */

import { drawArrowHead } from "../figures/arrow_head.js";
import { drawCentreLine } from "../figures/centre_line.js";
import { captionMiddle, VIEW_WORDS } from "./train_plan.js";

// --- resting parts --------------------------------------------------------------------------

/**
 * Draw paper, block, mains, ends and scale bar, from a picture kept for this theme and cylinder.
 */
export function drawBackdrop(sheet, selected) {
  const { context, plan, inks } = sheet;
  if (context.inLines) {
    drawResting(sheet, selected);
    return;
  }
  const ratio = context.getTransform().a || 1;
  if (!plan.backdrop || plan.backdropSelected !== selected || plan.backdropRatio !== ratio) {
    plan.backdrop = new OffscreenCanvas(
      Math.ceil(plan.width * ratio),
      Math.ceil(plan.height * ratio),
    );
    plan.backdropSelected = selected;
    plan.backdropRatio = ratio;
    const under = plan.backdrop.getContext("2d", { alpha: false });
    under.scale(ratio, ratio);
    drawResting({ context: under, plan, inks }, selected);
  }
  context.drawImage(plan.backdrop, 0, 0, plan.backdrop.width / ratio, plan.backdrop.height / ratio);
}

function drawResting(sheet, selected) {
  const { context, plan, inks } = sheet;
  context.fillStyle = inks.paper;
  context.fillRect(0, 0, plan.width, plan.height);
  drawSideBlock(sheet);
  drawMains(sheet);
  drawShaftEnds(sheet);
  drawEndBlock(sheet, selected);
  drawCaptions(sheet);
}

/** Bulkheads, bores and centre lines of the side view, faint. */
function drawSideBlock(sheet) {
  const { context, plan, inks } = sheet;
  const { parts, side, scale } = plan;
  const { block } = parts;
  context.lineWidth = plan.line;
  context.fillStyle = inks.bulkhead;
  context.strokeStyle = inks.bulkheadLine;
  for (const z of parts.main_journal.z) {
    const x = side.x + (z - block.bulkhead_width / 2) * scale;
    const [wide, high] = [
      block.bulkhead_width * scale,
      (block.bore_bottom - block.bulkhead_bottom) * scale,
    ];
    context.fillRect(x, side.y - block.bore_bottom * scale, wide, high);
    context.strokeRect(x, side.y - block.bore_bottom * scale, wide, high);
  }
  for (const cylinder of parts.cylinders) drawSideBore(sheet, cylinder);
  const { nose, flange } = parts;
  const from = side.x + nose.z * scale - plan.size * 0.7;
  const to = side.x + (flange.z + flange.length) * scale + plan.size * 0.7;
  drawCentreLine(context, inks.muted, [from, side.y], [to, side.y]);
}

/** A bore in the side view: walls, deck and head, foreshortened by the bank's lean. */
function drawSideBore(sheet, { z, bank_angle }) {
  const { context, plan, inks } = sheet;
  const { side, scale } = plan;
  const { block } = plan.parts;
  const [cos, sin] = [Math.cos(bank_angle), Math.abs(Math.sin(bank_angle))];
  const x = side.x + z * scale;
  const half = (block.bore / 2) * scale;
  const head = side.y - (block.deck_height + block.chamber_height) * cos * scale;
  const deck = side.y - block.deck_height * cos * scale;
  const low = side.y - block.bore_bottom * cos * scale;
  const wall = block.wall_thickness * scale;
  context.fillStyle = inks.bulkhead;
  context.strokeStyle = inks.bulkheadLine;
  if (Math.abs(cos) > 0.3) {
    context.fillRect(x - half - wall, head, wall, low - head);
    context.fillRect(x + half, head, wall, low - head);
    context.beginPath();
    context.moveTo(x - half, low);
    context.lineTo(x - half, head);
    context.lineTo(x + half, head);
    context.lineTo(x + half, low);
    context.moveTo(x - half, deck);
    context.lineTo(x - half - wall, deck);
    context.moveTo(x + half, deck);
    context.lineTo(x + half + wall, deck);
    context.stroke();
  }
  if (Math.abs(cos) <= 0.3) {
    context.beginPath();
    context.ellipse(x, head, half, half * sin, 0, 0, 2 * Math.PI);
    context.stroke();
  }
  drawCentreLine(context, inks.bulkheadLine, [x, head - plan.size * 0.6], [x, side.y]);
}

/** Main journals between their shells. */
function drawMains(sheet) {
  const { context, plan, inks } = sheet;
  const { parts, side, scale } = plan;
  const { diameter, length, shell_width, z } = parts.main_journal;
  const shell = Math.max(2, 0.06 * diameter * scale);
  for (const place of z) {
    const x = side.x + place * scale;
    inkBox(
      context,
      [
        x - (shell_width / 2) * scale,
        side.y - (diameter / 2) * scale - shell,
        shell_width * scale,
        diameter * scale + 2 * shell,
      ],
      inks.other.steelDark,
      inks.other.outline,
      plan.line,
    );
    inkBox(
      context,
      [x - (length / 2) * scale, side.y - (diameter / 2) * scale, length * scale, diameter * scale],
      inks.full.steel,
      inks.full.outline,
      plan.line,
    );
  }
}

/** Nose and flywheel flange. */
function drawShaftEnds(sheet) {
  const { context, plan, inks } = sheet;
  const { parts, side, scale, size } = plan;
  for (const { z, diameter, length } of [parts.nose, parts.flange]) {
    inkBox(
      context,
      [side.x + z * scale, side.y - (diameter / 2) * scale, length * scale, diameter * scale],
      inks.full.steel,
      inks.full.outline,
      plan.line,
    );
  }
  context.font = plan.font;
  context.fillStyle = inks.muted;
  context.textAlign = "center";
  const { nose, flange } = parts;
  context.fillText(
    "front",
    side.x + (nose.z + nose.length / 2) * scale,
    side.y - (nose.diameter / 2) * scale - 0.5 * size,
  );
  const rear = side.x + (flange.z + flange.length) * scale;
  context.textAlign = "right";
  context.fillText("rear", rear + 0.6 * size, side.y - (flange.diameter / 2) * scale - 0.5 * size);
}

/** Bores, crank circle and sense of rotation of the end view. */
function drawEndBlock(sheet, selected) {
  const { context, plan, inks } = sheet;
  const { parts, end, scale, size } = plan;
  const seen = new Set();
  parts.cylinders.forEach(({ bank_angle }) => {
    if (seen.has(bank_angle)) return;
    seen.add(bank_angle);
    const own = bank_angle === parts.cylinders[selected].bank_angle;
    drawEndBore(sheet, bank_angle, own);
  });
  context.strokeStyle = inks.muted;
  context.lineWidth = plan.line;
  context.setLineDash([4, 4]);
  context.beginPath();
  context.arc(end.x, end.y, parts.crank_radius * scale, 0, 2 * Math.PI);
  context.stroke();
  context.setLineDash([]);
  const arm = plan.reach * scale + 0.5 * size;
  drawCentreLine(context, inks.bulkheadLine, [end.x - arm, end.y], [end.x + arm, end.y]);
  drawRotationArrow(sheet);
}

/** A bore in the end view, leaning by its bank angle [rad]. */
function drawEndBore(sheet, bankAngle, own) {
  const { context, plan, inks } = sheet;
  const { end, scale, size } = plan;
  const { block } = plan.parts;
  const half = (block.bore / 2) * scale;
  const wall = block.wall_thickness * scale;
  const head = (block.deck_height + block.chamber_height) * scale;
  const low = block.bore_bottom * scale;
  context.save();
  context.translate(end.x, end.y);
  context.rotate(bankAngle);
  context.lineWidth = plan.line;
  context.fillStyle = inks.bulkhead;
  context.strokeStyle = own ? inks.wall : inks.bulkheadLine;
  context.fillRect(-half - wall, -head, wall, head - low);
  context.fillRect(half, -head, wall, head - low);
  context.strokeRect(
    -half - wall,
    -block.deck_height * scale,
    wall,
    block.deck_height * scale - low,
  );
  context.strokeRect(half, -block.deck_height * scale, wall, block.deck_height * scale - low);
  context.beginPath();
  context.moveTo(-half, -block.deck_height * scale);
  context.lineTo(-half, -head);
  context.lineTo(half, -head);
  context.lineTo(half, -block.deck_height * scale);
  context.stroke();
  drawCentreLine(
    context,
    inks.bulkheadLine,
    [0, -head - 0.6 * size],
    [0, plan.reach * scale + 0.5 * size],
  );
  context.restore();
}

/** An arc that runs the way the crank turns: clockwise from the front. */
function drawRotationArrow(sheet) {
  const { context, plan, inks } = sheet;
  const { end, scale, size } = plan;
  const radius = plan.reach * scale + 0.8 * size;
  const [from, to] = [0.6 * Math.PI, 0.84 * Math.PI];
  context.strokeStyle = context.fillStyle = inks.muted;
  context.lineWidth = 1.4 * plan.line;
  context.beginPath();
  context.arc(end.x, end.y, radius, from, to);
  context.stroke();
  const [x, y] = [end.x + radius * Math.cos(to), end.y + radius * Math.sin(to)];
  drawArrowHead(context, [x, y], [-Math.sin(to), Math.cos(to)], 0.75 * size, true);
}

/** Numbers of the mains, what each view is, and the bar of lengths. */
function drawCaptions(sheet) {
  const { context, plan, inks } = sheet;
  const { parts, side, scale, size, bar } = plan;
  context.font = plan.font;
  context.fillStyle = inks.muted;
  context.textAlign = "center";
  parts.main_journal.z.forEach((z, i) => {
    context.fillText(romanNumber(i + 1), side.x + z * scale, plan.mainsY);
  });
  const [x, y] = [0.9 * size, plan.footY];
  const middle = captionMiddle(plan);
  if (middle !== null) context.fillText(VIEW_WORDS, middle, y);
  context.textAlign = "left";
  context.fillText(bar.text, x + bar.pixels + 0.5 * size, y);
  context.strokeStyle = inks.text;
  context.lineWidth = 1.3 * plan.line;
  context.beginPath();
  for (const at of [x, x + bar.pixels]) {
    context.moveTo(at, y - 0.7 * size);
    context.lineTo(at, y);
  }
  context.moveTo(x, y - 0.35 * size);
  context.lineTo(x + bar.pixels, y - 0.35 * size);
  context.stroke();
}

/** I, II, III … as mains are numbered. */
export function romanNumber(number) {
  /** @type {[number, string][]} */
  const digits = [
    [10, "X"],
    [9, "IX"],
    [5, "V"],
    [4, "IV"],
    [1, "I"],
  ];
  let text = "";
  for (const [value, letters] of digits) {
    while (number >= value) {
      text += letters;
      number -= value;
    }
  }
  return text;
}

// --- strokes of the pen ---------------------------------------------------------------------

/** A filled box with an outline; x, y, width and height in px. */
export function inkBox(context, [x, y, width, height], fill, outline, line) {
  context.fillStyle = fill;
  context.strokeStyle = outline;
  context.lineWidth = line;
  context.fillRect(x, y, width, height);
  context.strokeRect(x, y, width, height);
}

/** A filled shape with one outline around all its overlapping pieces, which wind the same way. */
export function inkShape(context, path, fill, outline, line) {
  context.fillStyle = fill;
  context.strokeStyle = outline;
  context.lineWidth = 2 * line;
  context.stroke(path);
  context.fill(path);
}
