/* The layout of the crank train's picture: scale, places, inks and pose; nothing is drawn here. */

import { mix } from "../figures/mixed_colours.js";
import { between } from "../figures/scene.js";
import { shownUnit } from "../shared/shown_units.js";
import { textScale } from "../shared/projector.js";
import { trainPaths } from "./train_outlines.js";

/** What was worked out for a canvas: its layout, paths and resting parts. */
const trainPlans = new WeakMap();

/** What stands below the view from the front. */
export const VIEW_WORDS = "from the front";

/** Room for arrows over the cylinder heads, of the height. */
const HEADROOM = 0.14;

// --- the plan: all that does not move -------------------------------------------------------

/** Return the plan of a canvas, made anew when parts or size have changed. */
export function trainPlan(context, width, height, scene) {
  let plan = trainPlans.get(context.canvas);
  if (
    !plan ||
    plan.parts !== scene.parts ||
    plan.width !== width ||
    plan.height !== height ||
    plan.enlarged !== textScale()
  ) {
    plan = newTrainPlan(scene.parts, width, height);
    trainPlans.set(context.canvas, plan);
  }
  return plan;
}

function newTrainPlan(parts, width, height) {
  const enlarged = textScale();
  const size = Math.max(12, Math.min(22, Math.round(Math.min(width / 56, height / 28)))) * enlarged;
  /** @type {any} */
  const plan = {
    parts,
    width,
    height,
    enlarged,
    size,
    font: `${size}px system-ui, sans-serif`,
    small: `${Math.max(12, size - 2)}px system-ui, sans-serif`,
    bold: `600 ${size + 2}px system-ui, sans-serif`,
    line: Math.max(1, size / 14),
    reach: crankReach(parts),
    tilt: parts.cylinders[0].bank_angle,
    labels: [],
    pinHeight: new Float64Array(parts.cylinders.length),
    rodAngle: new Float64Array(parts.cylinders.length),
    throwAngle: new Float64Array(parts.throws.length),
  };
  placeViews(plan, trainExtent(parts, plan.reach));
  plan.paths = trainPaths(parts, plan.scale);
  plan.columns = trainColumns(plan);
  plan.order = parts.cylinders
    .map((_, c) => c)
    .sort(
      (a, b) => Math.sin(parts.cylinders[a].bank_angle) - Math.sin(parts.cylinders[b].bank_angle),
    );
  plan.result = { regions: pickRegions(plan), crank: crankCircle(plan), scaleText: "" };
  return plan;
}

/** Greatest distance of a turning part from the crank's axis [m]. */
function crankReach({ crank_radius, web, rod, counterweights }) {
  const pin = crank_radius + Math.max(web.pin_end_radius, rod.big_end_outer_radius);
  return Math.max(pin, ...counterweights.map((weight) => weight.outer_radius));
}

/** Bounds of both views [m] about the crank's axis: z of the side, x of the end, common heights. */
function trainExtent(parts, reach) {
  const extent = { left: -reach, right: reach, low: -reach, high: reach };
  const { block, nose, flange } = parts;
  const half = block.bore / 2 + block.wall_thickness;
  const head = block.deck_height + block.chamber_height;
  for (const { bank_angle } of parts.cylinders) {
    const [sin, cos] = [Math.sin(bank_angle), Math.cos(bank_angle)];
    for (const side of [-half, half]) {
      const [x, y] = [side * cos + head * sin, head * cos - side * sin];
      extent.left = Math.min(extent.left, x);
      extent.right = Math.max(extent.right, x);
      extent.low = Math.min(extent.low, y);
      extent.high = Math.max(extent.high, y);
    }
  }
  extent.low = Math.min(extent.low, block.bulkhead_bottom);
  return Object.assign(extent, { front: nose.z, rear: flange.z + flange.length });
}

/**
 * Set scale [px/m] and origins of both views: beside each other, or stacked where that is larger.
 */
function placeViews(plan, extent) {
  const { width, height, size } = plan;
  const [long, across, tall] = [
    extent.rear - extent.front,
    extent.right - extent.left,
    extent.high - extent.low,
  ];
  const [gap, aside] = [1.2 * size, 1.9 * size];
  const top = 2.9 * size + HEADROOM * height;
  const bottom = 4.4 * size;
  const beside = Math.min(
    (width - 3 * gap - 2 * aside) / (long + across),
    (height - top - bottom) / tall,
  );
  const stacked = Math.min(
    (width - 2 * gap) / Math.max(long, across + (2 * aside) / beside),
    (height - 2 * top - bottom + size) / (2 * tall),
  );
  plan.stacked = stacked > (width < 520 ? 0.9 : 1.2) * beside;
  plan.scale = Math.max(plan.stacked ? stacked : beside, 1);
  const s = plan.scale;
  const spareX = plan.stacked ? 0 : (width - 2 * aside - (long + across) * s) / 3;
  const views = plan.stacked ? 2 : 1;
  const spareY = Math.max(
    0,
    (height - (views * top - (views - 1) * size) - bottom - views * tall * s) / (2 * views),
  );
  const axis = top + spareY + extent.high * s;
  const sideX = (plan.stacked ? (width - long * s) / 2 : spareX) - extent.front * s;
  const endX = plan.stacked
    ? (width - across * s) / 2 - extent.left * s
    : 2 * spareX + long * s + aside - extent.left * s;
  const endAxis = plan.stacked ? axis + top - size + 2 * spareY + tall * s : axis;
  plan.side = { x: sideX, y: axis };
  plan.end = { x: endX, y: endAxis };
  plan.labelY = Math.max(1.2 * size, axis - extent.high * s - HEADROOM * height - 1.5 * size);
  plan.mainsY = axis - Math.min(extent.low, -plan.reach) * s + 1.3 * size;
  plan.footY = height - 0.8 * size;
  plan.bar = lengthBar(s);
}

/** A scale bar of 1, 2 or 5 times a power of ten, about 90 px long. */
export function lengthBar(scale) {
  const { symbol, si } = shownUnit("mm");
  const length = niceBelow(130 / scale / si);
  return { pixels: length * si * scale, text: `${length} ${symbol}` };
}

/** The largest of 1, 2 or 5 times a power of ten that is not above a value. */
export function niceBelow(value) {
  const power = 10 ** Math.floor(Math.log10(value));
  const lead = value / power;
  return (lead >= 5 ? 5 : lead >= 2 ? 2 : 1) * power;
}

/** Each cylinder's column in the side view [px]; cylinders on one throw share its width. */
function trainColumns({ parts, side, scale }) {
  const { throws, cylinders, main_journal } = parts;
  const spacing = main_journal.z[1] - main_journal.z[0];
  return cylinders.map((own, c) => {
    const abreast = cylinders.filter((cylinder) => cylinder.throw === own.throw).length;
    const place = cylinders.slice(0, c).filter((cylinder) => cylinder.throw === own.throw).length;
    const middle = throws[own.throw - 1].z + ((place + 0.5) / abreast - 0.5) * spacing;
    return { x: side.x + middle * scale, width: (spacing / abreast) * scale };
  });
}

/** Where a click picks a cylinder [px]: its column, and its bore in the end view of a V or flat. */
function pickRegions(plan) {
  const { parts, columns, side, end, scale, reach, labelY } = plan;
  const regions = columns.map(({ x, width }, cylinder) => ({
    cylinder,
    x: x - width / 2,
    y: labelY - plan.size,
    width,
    height: side.y + reach * scale - labelY + plan.size,
  }));
  if (new Set(parts.cylinders.map((cylinder) => cylinder.bank_angle)).size < 2) return regions;
  const middle = (parts.block.deck_height + parts.block.bore_bottom) / 2;
  const half = (parts.block.bore / 2) * scale;
  const seen = new Set();
  parts.cylinders.forEach(({ bank_angle }, cylinder) => {
    if (seen.has(bank_angle)) return;
    seen.add(bank_angle);
    const x = end.x + middle * Math.sin(bank_angle) * scale;
    const y = end.y - middle * Math.cos(bank_angle) * scale;
    regions.push({ cylinder, x: x - half, y: y - half, width: 2 * half, height: 2 * half });
  });
  return regions;
}

/** The middle of the words below the view from the front [px]; null where they have no room. */
export function captionMiddle({ stacked, width, end, size }) {
  return stacked || width <= 440 ? null : Math.min(end.x, width - 4 * size);
}

/** Where the crank can be taken hold of: its circle in the view from the front [px]. */
function crankCircle({ end, reach, scale }) {
  return { x: end.x, y: end.y, radius: reach * scale };
}

// --- inks -----------------------------------------------------------------------------------

/** Return fills and lines of a theme, full and faint, kept until the theme changes. */
export function trainInks(plan, colours) {
  if (plan.colours === colours) return plan.inks;
  const paper = colours.paper || "#ffffff";
  const text = colours.text || "#1b1f24";
  const muted = colours.muted || text;
  const inkSet = (share) => {
    const faded = (colour) => mix(paper, colour, share);
    const piston = colours.piston || "#e3e7ea";
    return {
      outline: faded(mix(paper, text, 0.85)),
      steel: faded(colours.steel || "#cfd6dc"),
      steelDark: faded(colours.steelDark || "#9aa5af"),
      piston: faded(piston),
      inside: faded(mix(paper, piston, 0.35)),
      rod: faded(colours.rod || "#b9c3cc"),
      pocket: faded(mix(text, colours.rod || "#b9c3cc", 0.9)),
    };
  };
  const wall = colours.line || colours.zero || muted;
  plan.colours = colours;
  plan.backdrop = null;
  plan.inks = {
    paper,
    text,
    muted,
    wall,
    gas: colours.gas || "#D55E00",
    inertia: colours.inertia || "#0072B2",
    reference: colours.reference || muted,
    bulkhead: mix(paper, wall, 0.14),
    bulkheadLine: mix(paper, wall, 0.5),
    faintGas: mix(paper, colours.gas || "#D55E00", 0.45),
    faintInertia: mix(paper, colours.inertia || "#0072B2", 0.45),
    faintText: mix(paper, text, 0.4),
    full: inkSet(1),
    other: inkSet(0.62),
    faint: inkSet(0.26),
  };
  return plan.inks;
}

// --- where everything stands at an angle ----------------------------------------------------

/**
 * Fill the plan's pose at a crank angle [°]: pin heights [m] on the bore, rod and throw angles
 * [rad].
 */
export function poseTrain(plan, scene, degrees) {
  const at = (degrees / scene.cycleDegrees) * scene.points;
  plan.at = at;
  for (let c = 0; c < plan.pinHeight.length; c++) {
    plan.pinHeight[c] = plan.parts.top - between(scene.row("displacement", c), at) * 1e-3;
    plan.rodAngle[c] = (between(scene.row("rod_angle", c), at) * Math.PI) / 180;
  }
  const turned = (degrees * Math.PI) / 180 + plan.tilt;
  for (let k = 0; k < plan.throwAngle.length; k++) {
    plan.throwAngle[k] = turned + plan.parts.throws[k].angle;
  }
}

/** Heights [m] of a cylinder's piston pin in the side view. */
export function sidePinHeight(plan, c) {
  const lean = plan.parts.cylinders[c].bank_angle;
  return plan.pinHeight[c] * Math.cos(lean) + plan.parts.pin_offset * Math.sin(lean);
}
