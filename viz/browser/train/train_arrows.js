/* Forces over the drawn train, all arrows to one stated scale of forces.
 *
 * Colour says cause and the line says it again: gas dashed, inertia dash-dotted, both together
 * solid; a rod in tension is finely dashed. Gas and inertia stand beside the cylinder's axis to be
 * told apart. Labels give the size; the arrow gives the direction. */

import { drawArrowHead } from "../figures/arrow_head.js";
import { formatShort, withUnit } from "../shared/number_words.js";
import { shownUnit, withShownUnit } from "../shared/shown_units.js";
import { romanNumber } from "./train_block.js";
import { captionMiddle, niceBelow, sidePinHeight, VIEW_WORDS } from "./train_plan.js";

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

/**
 * The scale of forces: 1, 2 or 5 times a power of ten, the largest arrow near a fifth of the
 * height.
 */
export function forceScale(scene, height) {
  const [words, length] = STATED_ARROW[shownUnit("system")];
  const wanted = ((scene.arrowPeak || 1) * length) / (0.18 * height);
  const below = niceBelow(wanted);
  const above = below * (String(below).includes("2") ? 2.5 : 2);
  const step = wanted / below < above / wanted ? below : above;
  return {
    pixels: length / step,
    length,
    words,
    text: withUnit(formatShort(step, 2), shownUnit("kN").symbol),
  };
}

/** All arrows that the view asks for. */
export function drawForces(sheet, scene, view, force) {
  const { context, plan } = sheet;
  const { arrows } = view;
  if (!arrows || !Object.values(arrows).some(Boolean)) return;
  context.font = plan.font;
  context.textBaseline = "alphabetic";
  if (arrows.gas || arrows.inertia) drawSideForces(sheet, scene, view, force);
  if (arrows.mains) drawSideMainLoads(sheet, scene, view, force);
  drawEndForces(sheet, scene, view, force);
  drawForceKey(sheet, force);
}

/** Gas on the crown and inertia at the pin of every cylinder in the side view. */
function drawSideForces(sheet, scene, { arrows, cylinder }, force) {
  const { plan, inks } = sheet;
  const { parts, side, scale } = plan;
  const aside = BESIDE_AXIS * parts.block.bore * scale;
  for (let c = 0; c < parts.cylinders.length; c++) {
    const cos = Math.cos(parts.cylinders[c].bank_angle);
    const x = side.x + parts.cylinders[c].z * scale;
    const own = c === cylinder;
    if (arrows.gas) {
      const down = scene.load("gas_force", c, null, plan.at) * force.pixels * cos;
      const crown = side.y - (plan.pinHeight[c] + parts.piston.compression_height) * cos * scale;
      drawForceArrow(
        sheet,
        [x - aside, crown - down],
        [0, down],
        own ? inks.gas : inks.faintGas,
        FORCE_LINES.gas,
      );
    }
    if (arrows.inertia) {
      const down = scene.load("inertia_force", c, null, plan.at) * force.pixels * cos;
      drawForceArrow(
        sheet,
        [x + aside, side.y - sidePinHeight(plan, c) * scale],
        [0, down],
        own ? inks.inertia : inks.faintInertia,
        FORCE_LINES.inertia,
      );
    }
  }
}

/** Upright part of each main's load on its shell, in the side view. */
function drawSideMainLoads(sheet, scene, { cylinder }, force) {
  const { plan, inks } = sheet;
  const { parts, side, scale } = plan;
  const own = parts.cylinders[cylinder].throw - 1;
  for (let m = 0; m < parts.main_journal.z.length; m++) {
    const near = m === own || m === own + 1;
    const [, up] = mainLoad(plan, scene, m);
    const x = side.x + parts.main_journal.z[m] * scale;
    drawForceArrow(
      sheet,
      [x, side.y],
      [0, -up * force.pixels],
      near ? inks.text : inks.faintText,
      FORCE_LINES.both,
    );
  }
}

/** A main's load in the view's axes, x to the right and y up. */
function mainLoad(plan, scene, m) {
  const x = scene.load("main_block", m, 0, plan.at);
  const y = scene.load("main_block", m, 1, plan.at);
  const [sin, cos] = [Math.sin(plan.tilt), Math.cos(plan.tilt)];
  return [x * cos + y * sin, y * cos - x * sin];
}

/**
 * Forces of the selected cylinder and its two mains in the end view; sizes give way to a dimension.
 */
function drawEndForces(sheet, scene, { arrows, cylinder, dimension }, force) {
  const { plan, inks } = sheet;
  const quiet = Boolean(dimension);
  const { parts, scale } = plan;
  const load = (name) => scene.load(name, cylinder, null, plan.at);
  const draw = (label, from, by, look) =>
    drawEndForce(sheet, cylinder, {
      label,
      x: from[0],
      y: from[1],
      dx: by[0],
      dy: by[1],
      quiet,
      ...look,
    });
  const look = (line) => ({ line: FORCE_LINES[line], colour: inks[line] ?? inks.text });
  const aside = BESIDE_AXIS * parts.block.bore * scale;
  const pin = plan.pinHeight[cylinder] * scale;
  const pinX = -parts.pin_offset * scale;
  if (arrows.gas) {
    const size = load("gas_force");
    const crown = pin + parts.piston.compression_height * scale;
    const from = [-aside, crown + size * force.pixels];
    draw("gas", from, [0, -size * force.pixels], { ...look("gas"), size, side: -1 });
  }
  if (arrows.inertia) {
    const size = load("inertia_force");
    draw("inertia", [aside, pin], [0, -size * force.pixels], { ...look("inertia"), size, side: 1 });
  }
  if (arrows.rod) {
    const size = load("rod_force");
    const along = size * force.pixels;
    const lean = plan.rodAngle[cylinder];
    const by = [along * Math.sin(lean), -along * Math.cos(lean)];
    draw("rod", [pinX, pin], by, { ...look(size < 0 ? "tension" : "both"), size, side: 1 });
  }
  if (arrows.side) {
    const size = load("side_thrust");
    const wall = (Math.sign(size) * parts.piston.diameter * scale) / 2;
    const by = [-size * force.pixels, 0];
    draw("side", [-wall, pin], by, { ...look("both"), size, side: -Math.sign(size) });
  }
  if (arrows.mains) drawEndMainLoads(sheet, scene, cylinder, force, quiet);
}

/**
 * One arrow given in the cylinder's axes [px, y up] and its label beside the bore: `side` is -1
 * for the left wall, 1 for the right, seen along the cylinder.
 */
function drawEndForce(sheet, cylinder, arrow) {
  const { context, plan } = sheet;
  const { parts, end, scale, size } = plan;
  const lean = parts.cylinders[cylinder].bank_angle;
  const [sin, cos] = [Math.sin(lean), Math.cos(lean)];
  const x = end.x + arrow.x * cos + arrow.y * sin;
  const y = end.y + arrow.x * sin - arrow.y * cos;
  const dx = arrow.dx * cos + arrow.dy * sin;
  const dy = arrow.dx * sin - arrow.dy * cos;
  if (!drawForceArrow(sheet, [x, y], [dx, dy], arrow.colour, arrow.line) || arrow.quiet) return;
  const wall = (parts.block.bore / 2 + parts.block.wall_thickness) * scale + 0.5 * size;
  const reach = arrow.x + arrow.dx;
  const slack = 1.2 * size * Math.abs(sin);
  const out = arrow.side * (Math.max(wall, arrow.side * reach + 0.4 * size) + slack);
  const up = arrow.y + arrow.dy / 2;
  const [atX, atY] = [end.x + out * cos + up * sin, end.y + out * sin - up * cos];
  const right = arrow.side * cos >= 0;
  const lines = [arrow.label, forceText(arrow.size)];
  const labelY = drawLabel(sheet, lines, atX, atY + 0.35 * size, right ? "left" : "right");
  context.strokeStyle = arrow.colour;
  context.lineWidth = plan.line;
  context.beginPath();
  context.moveTo(x + dx / 2, y + dy / 2);
  context.lineTo(atX - (right ? 3 : -3), labelY - 0.35 * size);
  context.stroke();
}

/** Loads of the mains beside the selected throw, at the crank's axis; sizes underneath. */
function drawEndMainLoads(sheet, scene, cylinder, force, quiet) {
  const { plan, inks } = sheet;
  const { end, size } = plan;
  const own = plan.parts.cylinders[cylinder].throw - 1;
  const edge = Math.min(plan.width - 6, end.x + plan.reach * plan.scale + 2 * size);
  for (const m of [own, own + 1]) {
    const [right, up] = mainLoad(plan, scene, m);
    const long = Math.hypot(right, up);
    const [dx, dy] = [right * force.pixels, -up * force.pixels];
    const name = romanNumber(m + 1);
    if (drawForceArrow(sheet, [end.x, end.y], [dx, dy], inks.text, FORCE_LINES.both)) {
      const off = (0.8 * size) / (long * force.pixels);
      drawLabel(
        sheet,
        [name],
        end.x + dx * (1 + off),
        end.y + dy * (1 + off) + 0.35 * size,
        "center",
      );
    }
    if (quiet) continue;
    const y = end.y + plan.reach * plan.scale + (m === own ? 1.2 : 2.4) * size;
    drawLabel(sheet, [`main ${name} ${forceText(long)}`], edge, y, "right");
  }
}

/** The arrow that stands for a stated force, beside the bar of lengths. */
function drawForceKey(sheet, force) {
  const { context, plan, inks } = sheet;
  const { size, bar, footY } = plan;
  const x = 0.9 * size + bar.pixels + (1.6 + 0.62 * bar.text.length) * size;
  drawForceArrow(sheet, [x, footY - 0.35 * size], [force.length, 0], inks.text, FORCE_LINES.both);
  context.fillStyle = inks.muted;
  context.textAlign = "left";
  const start = x + force.length + 0.5 * size;
  const whole = `${force.text}  (${force.words})`;
  const middle = captionMiddle(plan);
  const words = middle === null ? 0 : context.measureText(VIEW_WORDS).width / 2 + 0.5 * size;
  const fits = start + context.measureText(whole).width < (middle ?? plan.width) - words;
  context.fillText(fits ? whole : force.text, start, footY);
}

/** A size of force, as the scene has it, with three digits and its unit. */
function forceText(force) {
  return withShownUnit(Math.abs(force), "kN");
}

// --- strokes of the pen ---------------------------------------------------------------------

/**
 * Draw an arrow from (x, y) by (dx, dy) px; returns false, drawing nothing, where it is too short.
 */
function drawForceArrow({ context, plan }, [x, y], [dx, dy], colour, line) {
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
  drawArrowHead(context, [x + dx, y + dy], [ux, uy], head, line.filled);
  return true;
}

/**
 * Lines of text with a rim of paper, kept on the canvas and off other labels; returns the first's y
 * [px].
 */
export function drawLabel(sheet, lines, x, y, align) {
  const { context, plan, inks } = sheet;
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

/**
 * The nearest height [px] to y at which a label of this width and height is clear of the others.
 */
function freeHeight(plan, left, y, wide, tall) {
  const step = 0.6 * plan.size;
  const clear = (at) =>
    plan.labels.every(
      (one) =>
        at >= one.y + one.tall ||
        at + tall <= one.y ||
        one.left > left + wide ||
        one.left + one.wide < left,
    );
  let free = y;
  for (let k = 1; k < 14 && !clear(free); k++)
    free = y + (k % 2 ? 1 : -1) * Math.ceil(k / 2) * step;
  plan.labels.push({ left, y: free, wide, tall });
  return free;
}
