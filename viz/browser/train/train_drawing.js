/* The crank train drawn to scale: a side view along the crank and a view from the front.
 *
 * Lengths of `parts` are metres, angles radians. Both views stand as the engine stands: cylinder 1
 * leans by its bank angle. The side view is seen from the right of the front view, cut through the
 * pistons' axes; the front view is cut through the middle of the selected throw, its rear web
 * behind. */

import { strokeAt } from "../figures/strokes.js";
import { drawForces, forceScale } from "./train_arrows.js";
import { drawBackdrop, inkBox, inkShape } from "./train_block.js";
import { drawDimension } from "./train_dimensions.js";
import { drawEndGas, drawSideGas } from "./train_gas.js";
import { drawMarks } from "./train_marks.js";
import { trainPaths } from "./train_outlines.js";
import { poseTrain, sidePinHeight, trainInks, trainPlan } from "./train_plan.js";
import { sideWeb } from "./web_shape.js";

/**
 * Draw both views and return what the caller needs of them.
 * @param {any} context of a canvas or of SVG, in CSS px
 * @param {number} width CSS px
 * @param {number} height CSS px
 * @param {any} scene of one design, with `arrowPeak`
 * @param {any} view angle [°], cylinder (from 0), arrows, colours, dimension, reference,
 *   marks of a lesson
 * @returns {{regions: object[], crank: object, scaleText: string}} where cylinders can be clicked
 *   and the crank be turned [CSS px], scales
 */
export function drawTrain(context, width, height, scene, view) {
  if (!(width > 60 && height > 60)) return { regions: [], crank: null, scaleText: "" };
  const plan = trainPlan(context, width, height, scene);
  const sheet = { context, plan, inks: trainInks(plan, view.colours) };
  const force = forceScale(scene, height);
  poseTrain(plan, scene, view.angle);
  context.save();
  context.lineJoin = "round";
  plan.labels.length = 0;
  drawBackdrop(sheet, view.cylinder);
  drawSideGas(sheet, scene);
  drawSideView(sheet, view.cylinder);
  drawColumnLabels(sheet, scene, view);
  drawEndGas(sheet, scene, view.cylinder);
  drawEndView(sheet, view.cylinder);
  if (view.reference) drawReference(sheet, view);
  drawForces(sheet, scene, view, force);
  if (view.marks) drawMarks(sheet, view);
  if (view.dimension) drawDimension(sheet, view);
  context.restore();
  plan.result.scaleText = `Scale bar ${plan.bar.text}; arrow of ${force.words} ${force.text}`;
  return plan.result;
}

// --- the side view --------------------------------------------------------------------------

/** All throws, rods and pistons at once; what is nearer is drawn later. */
function drawSideView(sheet, selected) {
  const { context, plan, inks } = sheet;
  const { cylinders } = plan.parts;
  for (const c of plan.order) {
    if (Math.sin(cylinders[c].bank_angle) < -0.1)
      drawSidePiston(context, plan, c, c === selected ? inks.full : inks.other);
  }
  for (let k = 0; k < plan.throwAngle.length; k++) drawSideThrow(sheet, k);
  for (const c of plan.order) {
    const ink = c === selected ? inks.full : inks.other;
    if (Math.sin(cylinders[c].bank_angle) >= -0.1) drawSidePiston(context, plan, c, ink);
    drawSidePin(context, plan, c, ink);
    drawSideRod(context, plan, c, ink);
  }
}

/** Crankpin, counterweights and webs of one throw. */
function drawSideThrow(sheet, k) {
  const { context, plan, inks } = sheet;
  const { parts, side, scale } = plan;
  const { crankpin, web } = parts;
  const angle = plan.throwAngle[k];
  const height = parts.crank_radius * Math.cos(angle);
  inkBox(
    context,
    [
      side.x + (crankpin.z[k] - crankpin.length / 2) * scale,
      side.y - (height + crankpin.diameter / 2) * scale,
      crankpin.length * scale,
      crankpin.diameter * scale,
    ],
    inks.full.steel,
    inks.full.outline,
    plan.line,
  );
  for (const weight of parts.counterweights) {
    if (weight.throw === k + 1 && weight.half_angle > 0)
      drawSideCounterweight(sheet, weight, angle);
  }
  for (const toPin of [1, -1]) {
    const place = { z: web.z[toPin > 0 ? 2 * k : 2 * k + 1], toPin, angle };
    const { outline, pocket } = sideWeb(web, parts.crank_radius, place, side, scale);
    context.fillStyle = inks.full.steel;
    context.strokeStyle = inks.full.outline;
    context.lineWidth = plan.line;
    context.fill(outline);
    context.stroke(outline);
    strokeHidden(context, pocket);
  }
}

/** Edges that lie behind or within what is drawn. */
function strokeHidden(context, path) {
  context.setLineDash([3, 2]);
  context.stroke(path);
  context.setLineDash([]);
}

/** A counterweight as high as its turned sector reaches; its throw stands at an angle [rad]. */
function drawSideCounterweight(sheet, weight, throwAngle) {
  const { context, plan, inks } = sheet;
  const { side, scale } = plan;
  const middle = throwAngle + weight.angle;
  const [inner, outer, half] = [weight.inner_radius, weight.outer_radius, weight.half_angle];
  const high = sectorTop(middle, half, inner, outer);
  const low = -sectorTop(middle + Math.PI, half, inner, outer);
  inkBox(
    context,
    [
      side.x + (weight.z - weight.thickness / 2) * scale,
      side.y - high * scale,
      weight.thickness * scale,
      (high - low) * scale,
    ],
    inks.full.steelDark,
    inks.full.outline,
    plan.line,
  );
}

/** Greatest height of a ring sector about an angle from upright; radii in any unit. */
function sectorTop(middle, half, inner, outer) {
  const away = Math.abs(Math.atan2(Math.sin(middle), Math.cos(middle)));
  if (away <= half) return outer;
  const edge = Math.cos(away - half);
  return edge * (edge > 0 ? outer : inner);
}

/** Head with its rings, skirt behind and bosses, cut through the pin's axis. */
function drawSidePiston(context, plan, c, ink) {
  const { parts, side, scale } = plan;
  const { piston, rod } = parts;
  const lean = parts.cylinders[c].bank_angle;
  const cos = Math.cos(lean) * scale;
  const x = side.x + parts.cylinders[c].z * scale;
  const pin = side.y - plan.pinHeight[c] * cos;
  const crown = pin - piston.compression_height * cos;
  const half = (piston.diameter / 2) * scale;
  if (Math.abs(Math.cos(lean)) < 0.3) {
    drawSideCrown(context, [x, crown], [half, half * Math.abs(Math.sin(lean))], ink, plan.line);
    return;
  }
  const [ringAt, ringHeight] = piston.ring_grooves[piston.ring_grooves.length - 1];
  const belt = (ringAt + ringHeight + 0.4 * piston.wall_thickness) * cos;
  const skirt = (piston.skirt_width / 2) * scale;
  inkBox(
    context,
    [x - skirt, crown + belt, 2 * skirt, pin + piston.skirt_length * cos - crown - belt],
    ink.inside,
    ink.outline,
    plan.line,
  );
  const gap = (rod.small_end_width / 2) * 1.06 * scale;
  const boss = (piston.pin_length / 2) * 1.03 * scale - gap;
  for (const left of [x - gap - boss, x + gap]) {
    inkBox(
      context,
      [left, crown + belt, boss, pin + piston.boss_radius * cos - crown - belt],
      ink.piston,
      ink.outline,
      plan.line,
    );
  }
  inkBox(context, [x - half, crown, 2 * half, belt], ink.piston, ink.outline, plan.line);
  context.fillStyle = ink.outline;
  for (const [at, height] of piston.ring_grooves) {
    context.fillRect(x - half, crown + at * cos, 2 * half, Math.max(height * cos, 1));
  }
}

/** The crown of a piston that lies nearly flat: all that is seen of it. */
function drawSideCrown(context, [x, y], [across, up], ink, line) {
  context.strokeStyle = ink.outline;
  context.lineWidth = line;
  context.beginPath();
  context.ellipse(x, y, across, up, 0, 0, 2 * Math.PI);
  context.stroke();
}

/** Shank, both ends and the split of the cap, seen edge-on. */
function drawSideRod(context, plan, c, ink) {
  const { parts, side, scale } = plan;
  const { rod, cylinders } = parts;
  const x = side.x + cylinders[c].z * scale;
  const lean = cylinders[c].bank_angle - plan.rodAngle[c];
  const small = sidePinHeight(plan, c);
  const big = parts.crank_radius * Math.cos(plan.throwAngle[cylinders[c].throw - 1]);
  const shank = rod.shank_width * scale;
  inkBox(
    context,
    [x - shank / 2, side.y - Math.max(small, big) * scale, shank, Math.abs(small - big) * scale],
    ink.rod,
    ink.outline,
    plan.line,
  );
  const sin = Math.abs(Math.sin(lean));
  const half = Math.max(
    rod.big_end_outer_radius,
    rod.big_end_half_breadth * sin - rod.bolt_bottom * Math.cos(lean),
  );
  const wide = rod.big_end_width * scale;
  inkBox(
    context,
    [x - wide / 2, side.y - (big + half) * scale, wide, 2 * half * scale],
    ink.rod,
    ink.outline,
    plan.line,
  );
  const split =
    side.y - (big - rod.big_end_half_breadth * Math.sin(lean - rod.cap_split_angle)) * scale;
  context.beginPath();
  context.moveTo(x - wide / 2, split);
  context.lineTo(x + wide / 2, split);
  context.stroke();
  const eye = rod.small_end_width * scale;
  const tall = 2 * rod.small_end_outer_radius * scale;
  inkBox(
    context,
    [x - eye / 2, side.y - small * scale - tall / 2, eye, tall],
    ink.rod,
    ink.outline,
    plan.line,
  );
}

/** The piston pin through both bosses; the rod's eye covers its middle. */
function drawSidePin(context, plan, c, ink) {
  const { parts, side, scale } = plan;
  const { pin_length, pin_diameter } = parts.piston;
  inkBox(
    context,
    [
      side.x + (parts.cylinders[c].z - pin_length / 2) * scale,
      side.y - (sidePinHeight(plan, c) + pin_diameter / 2) * scale,
      pin_length * scale,
      pin_diameter * scale,
    ],
    ink.steel,
    ink.outline,
    plan.line,
  );
}

/** Cylinder numbers over the columns, and the stroke that each is in where there is room. */
function drawColumnLabels(sheet, scene, view) {
  const { context, plan, inks } = sheet;
  const { columns, labelY, size } = plan;
  const roomy = columns[0].width > 5.9 * Math.max(12, size - 2);
  context.textAlign = "center";
  for (let c = 0; c < columns.length; c++) {
    const own = c === view.cylinder;
    context.font = plan.bold;
    context.fillStyle = own ? inks.text : inks.muted;
    context.fillText(c + 1, columns[c].x, labelY);
    if (!roomy && !own) continue;
    context.font = plan.small;
    context.fillText(
      strokeAt(scene, c, view.angle % scene.cycleDegrees).short,
      columns[c].x,
      labelY + 1.25 * size,
    );
  }
}

// --- the end view ---------------------------------------------------------------------------

/** The other throws faint, the selected one full, cut through its middle. */
function drawEndView(sheet, selected) {
  const { context, plan, inks } = sheet;
  const { cylinders, throws } = plan.parts;
  const own = cylinders[selected].throw - 1;
  for (let k = throws.length - 1; k >= 0; k--) {
    if (isFirstOfAngle(throws, k, own))
      drawEndThrow(context, plan, k, inks.faint, inks.faint.steel);
  }
  for (let c = cylinders.length - 1; c >= 0; c--) {
    if (c !== selected && isFirstOfPose(plan, c, selected))
      drawEndCylinder(context, plan, c, inks.faint);
  }
  drawEndThrow(context, plan, own, inks.full, inks.full.steelDark);
  drawEndCylinder(context, plan, selected, inks.full);
  drawEndJournals(sheet, own);
}

/** True if no earlier throw, nor the selected one, stands at the same angle. */
function isFirstOfAngle(throws, k, selected) {
  if (k === selected || sameTurn(throws[k].angle, throws[selected].angle)) return false;
  for (let j = 0; j < k; j++) if (sameTurn(throws[j].angle, throws[k].angle)) return false;
  return true;
}

/** True if no earlier cylinder, nor the selected one, hides this one. */
function isFirstOfPose(plan, c, selected) {
  const { cylinders, throws } = plan.parts;
  const hides = (nearer) =>
    cylinders[nearer].bank_angle === cylinders[c].bank_angle &&
    sameTurn(throws[cylinders[nearer].throw - 1].angle, throws[cylinders[c].throw - 1].angle);
  if (hides(selected)) return false;
  for (let nearer = 0; nearer < c; nearer++) if (hides(nearer)) return false;
  return true;
}

/** True if two angles [rad] point the same way. */
function sameTurn(angle, other) {
  return Math.cos(angle - other) > 1 - 1e-9;
}

/** Rear web with its counterweight; the front web's dashed where it differs. */
function drawEndThrow(context, plan, k, ink, weightFill) {
  const { parts, end, paths } = plan;
  context.save();
  context.translate(end.x, end.y);
  context.rotate(plan.throwAngle[k]);
  let rear = null;
  parts.counterweights.forEach((weight, i) => {
    if (weight.throw !== k + 1 || weight.web % 2) return;
    rear = weight;
    inkShape(context, paths.counterweights[i], weightFill, ink.outline, plan.line);
  });
  inkShape(context, paths.web, ink.steel, ink.outline, plan.line);
  context.lineWidth = plan.line;
  strokeHidden(context, paths.webEdges);
  parts.counterweights.forEach((weight, i) => {
    if (weight.throw !== k + 1 || weight.web % 2 === 0 || sameSector(weight, rear)) return;
    context.lineWidth = plan.line;
    context.setLineDash([6, 3]);
    context.stroke(paths.counterweights[i]);
    context.setLineDash([]);
  });
  context.restore();
}

/** True if two counterweights cover each other. */
function sameSector(weight, other) {
  return other !== null && weight.unbalance === other.unbalance && weight.angle === other.angle;
}

/** Piston, rod and piston pin of one cylinder in its bore. */
function drawEndCylinder(context, plan, c, ink) {
  const { parts, end, scale } = plan;
  context.save();
  context.translate(end.x, end.y);
  context.rotate(parts.cylinders[c].bank_angle);
  context.translate(0, -plan.pinHeight[c] * scale);
  drawPiston(context, plan, ink);
  context.translate(-parts.pin_offset * scale, 0);
  context.rotate(-plan.rodAngle[c]);
  context.translate(0, parts.rod.length * scale);
  drawRod(context, plan, ink);
  context.translate(0, -parts.rod.length * scale);
  inkShape(context, plan.paths.pin, ink.steel, ink.outline, plan.line);
  context.fillStyle = ink.inside;
  context.fill(plan.paths.pinBore);
  context.lineWidth = plan.line;
  context.stroke(plan.paths.pinBore);
  context.restore();
}

/** A piston cut across its pin; the origin is the pin's height on the bore's axis. */
function drawPiston(context, plan, ink) {
  const { paths } = plan;
  inkShape(context, paths.piston, ink.piston, ink.outline, plan.line);
  context.fillStyle = ink.inside;
  context.lineWidth = plan.line;
  context.fill(paths.pistonInside);
  context.stroke(paths.pistonInside);
  context.fillStyle = ink.piston;
  context.fill(paths.boss);
  context.stroke(paths.boss);
  context.fillStyle = ink.outline;
  context.fill(paths.rings);
}

/** A rod with shank, cap and bolts; the origin is the big end's centre. */
function drawRod(context, plan, ink) {
  const { paths } = plan;
  inkShape(context, paths.bolts, ink.steelDark, ink.outline, plan.line);
  inkShape(context, paths.rod, ink.rod, ink.outline, plan.line);
  context.lineWidth = plan.line;
  context.fillStyle = ink.pocket;
  context.fill(paths.pocket);
  context.stroke(paths.pocket);
  context.stroke(paths.boltLines);
  context.stroke(paths.split);
  inkShape(context, paths.shell, ink.inside, ink.outline, plan.line);
}

/** Crankpin in its shell, and the main journal behind the web, dashed. */
function drawEndJournals(sheet, k) {
  const { context, plan, inks } = sheet;
  const { parts, end, scale, size } = plan;
  const angle = plan.throwAngle[k];
  const [x, y] = [
    end.x + parts.crank_radius * Math.sin(angle) * scale,
    end.y - parts.crank_radius * Math.cos(angle) * scale,
  ];
  context.fillStyle = inks.full.steel;
  context.strokeStyle = inks.full.outline;
  context.lineWidth = plan.line;
  context.beginPath();
  context.arc(x, y, (parts.crankpin.diameter / 2) * scale, 0, 2 * Math.PI);
  context.fill();
  context.stroke();
  context.setLineDash([5, 3]);
  context.beginPath();
  context.arc(end.x, end.y, (parts.main_journal.diameter / 2) * scale, 0, 2 * Math.PI);
  context.stroke();
  context.setLineDash([]);
  context.beginPath();
  const arm = 0.35 * size;
  for (const [at, up] of [
    [x, y],
    [end.x, end.y],
  ]) {
    context.moveTo(at - arm, up);
    context.lineTo(at + arm, up);
    context.moveTo(at, up - arm);
    context.lineTo(at, up + arm);
  }
  context.moveTo(end.x, end.y);
  context.lineTo(x, y);
  context.stroke();
}

/** The reference's selected cylinder as thin lines over the end view, at this view's scale. */
function drawReference(sheet, { reference, angle, cylinder }) {
  const { context, plan, inks } = sheet;
  const other = referencePlan(plan, reference);
  if (cylinder >= other.pinHeight.length) return;
  poseTrain(other, reference, angle);
  const { parts, paths, scale } = other;
  const place = parts.cylinders[cylinder];
  context.strokeStyle = inks.reference;
  context.lineWidth = 1.2 * plan.line;
  context.save();
  context.translate(plan.end.x, plan.end.y);
  context.save();
  context.rotate(other.throwAngle[place.throw - 1]);
  context.stroke(paths.web);
  parts.counterweights.forEach((weight, i) => {
    if (weight.throw === place.throw && weight.web % 2 === 0)
      context.stroke(paths.counterweights[i]);
  });
  context.restore();
  context.rotate(place.bank_angle);
  context.translate(0, -other.pinHeight[cylinder] * scale);
  context.stroke(paths.piston);
  context.translate(-parts.pin_offset * scale, 0);
  context.rotate(-other.rodAngle[cylinder]);
  context.translate(0, parts.rod.length * scale);
  context.stroke(paths.rod);
  context.restore();
}

/** A plan of the reference's parts at this plan's scale, kept with it. */
function referencePlan(plan, reference) {
  if (plan.other?.parts !== reference.parts) {
    const { parts } = reference;
    plan.other = {
      parts,
      scale: plan.scale,
      tilt: parts.cylinders[0].bank_angle,
      paths: trainPaths(parts, plan.scale),
      pinHeight: new Float64Array(parts.cylinders.length),
      rodAngle: new Float64Array(parts.cylinders.length),
      throwAngle: new Float64Array(parts.throws.length),
    };
  }
  return plan.other;
}
