/* Outlines of the parts in the end view, in px with y down, from shapes in metres. */

import { Outline } from "../figures/svg_context.js";
import { webEdges } from "./web_shape.js";

/**
 * Return the outlines of all parts at a scale.
 * @param {object} parts shapes [m, rad]
 * @param {number} scale px per m
 */
export function trainPaths(parts, scale) {
  const px = scaledShape;
  const rod = px(parts.rod, scale);
  const piston = px(parts.piston, scale);
  const shell = (parts.crankpin.diameter / 2) * scale * 1.06;
  return {
    web: webOutline(px(parts.web, scale), parts.crank_radius * scale),
    webEdges: webEdges(px(parts.web, scale), parts.crank_radius * scale),
    counterweights: parts.counterweights.map((one) => sectorOutline(one, scale)),
    rod: rodOutline(rod),
    pocket: rodPocket(rod),
    bolts: boltEnds(rod),
    boltLines: boltLines(rod),
    split: capSplit(rod, shell),
    shell: circleOutline(0, 0, shell),
    piston: pistonOutline(piston),
    pistonInside: pistonInside(piston),
    boss: circleOutline(-parts.pin_offset * scale, 0, piston.boss_radius),
    rings: ringOutlines(piston),
    pin: circleOutline(0, 0, piston.pin_diameter / 2),
    pinBore: circleOutline(0, 0, piston.pin_bore / 2),
  };
}

/**
 * A shape's lengths in px; angles and texts as they are.
 * @returns {any}
 */
export function scaledShape(shape, scale) {
  const scaled = {};
  for (const [name, value] of Object.entries(shape)) {
    if (name.endsWith("angle") || typeof value === "string") scaled[name] = value;
    else if (typeof value === "number") scaled[name] = value * scale;
    else
      scaled[name] = value.map((one) =>
        typeof one === "number" ? one * scale : one.map((part) => part * scale),
      );
  }
  return scaled;
}

export function circleOutline(x, y, radius) {
  const path = new Outline();
  path.arc(x, y, radius, 0, 2 * Math.PI);
  return path;
}

/**
 * The hull of hub and pin end; the crank's axis at the origin, the pin above it. A chamfer that
 * reaches the face at the pin within the round end cuts it flat.
 */
export function webOutline({ hub_radius, pin_end_radius, chamfer_end = Infinity }, crankRadius) {
  const path = new Outline();
  const slope = (hub_radius - pin_end_radius) / crankRadius;
  if (Math.abs(slope) >= 1) {
    const [at, radius] = slope > 0 ? [0, hub_radius] : [-crankRadius, pin_end_radius];
    path.arc(0, at, radius, 0, 2 * Math.PI);
    return path;
  }
  const tangent = Math.asin(slope);
  path.arc(0, 0, hub_radius, -tangent, Math.PI + tangent);
  const [from, to] = [Math.PI + tangent, 2 * Math.PI - tangent];
  const flat = Math.max((chamfer_end - crankRadius) / pin_end_radius, slope);
  if (flat < 1) {
    const cut = Math.asin(flat);
    path.arc(0, -crankRadius, pin_end_radius, from, Math.PI + cut);
    path.arc(0, -crankRadius, pin_end_radius, 2 * Math.PI - cut, to);
  } else path.arc(0, -crankRadius, pin_end_radius, from, to);
  path.closePath();
  return path;
}

/** A ring sector about its angle from the pin, which points up. */
export function sectorOutline({ angle, half_angle, inner_radius, outer_radius }, scale) {
  const path = new Outline();
  if (half_angle <= 0) return path;
  const [from, to] = [angle - half_angle - Math.PI / 2, angle + half_angle - Math.PI / 2];
  path.arc(0, 0, outer_radius * scale, from, to);
  path.arc(0, 0, inner_radius * scale, to, from, true);
  path.closePath();
  return path;
}

/** The rod's whole outline; an oblique cap is turned about the big end's centre. */
function rodOutline(rod) {
  if (rod.cap_split_angle === 0) return straightRod(rod);
  const path = shankOutline(rod);
  path.addPath(circleOutline(0, 0, rod.big_end_outer_radius));
  const bosses = new Outline();
  const breadth = rod.big_end_half_breadth;
  const inner = 0.62 * breadth;
  for (const x of [-breadth, inner])
    bosses.rect(x, -0.7 * rod.bolt_top, breadth - inner, 0.7 * rod.bolt_top - rod.bolt_bottom);
  path.addPath(bosses, new DOMMatrix().rotate((rod.cap_split_angle * 180) / Math.PI));
  return path;
}

/** Small end, shank, shoulders and cap in one line, for a cap that is split squarely. */
function straightRod(rod) {
  const path = new Outline();
  const {
    length,
    small_end_outer_radius: eye,
    big_end_outer_radius: big,
    big_end_half_breadth: breadth,
  } = rod;
  const [narrow, wide] = [rod.shank_breadth_small_end / 2, rod.shank_breadth_big_end / 2];
  const [shoulder, cap] = [rod.bolt_top, -rod.bolt_bottom];
  const drop = Math.sqrt(eye * eye - narrow * narrow);
  const foot = shankFoot(rod);
  path.arc(0, -length, eye, Math.atan2(drop, -narrow), Math.atan2(drop, narrow) + 2 * Math.PI);
  path.lineTo(wide, -foot);
  path.quadraticCurveTo(wide + 0.12 * (breadth - wide), -shoulder, breadth, -shoulder);
  path.lineTo(breadth, cap);
  const from = Math.asin(Math.min(cap / big, 1));
  path.arc(0, 0, big, from, Math.PI - from);
  path.lineTo(-breadth, cap);
  path.lineTo(-breadth, -shoulder);
  path.quadraticCurveTo(-wide - 0.12 * (breadth - wide), -shoulder, -wide, -foot);
  path.closePath();
  return path;
}

/** Height over the big end at which the shank meets it. */
function shankFoot(rod) {
  const wide = Math.min(rod.shank_breadth_big_end / 2, 0.98 * rod.big_end_outer_radius);
  return Math.max(1.3 * rod.bolt_top, Math.sqrt(rod.big_end_outer_radius ** 2 - wide ** 2));
}

/** Small end and shank alone. */
function shankOutline(rod) {
  const path = new Outline();
  const { length, small_end_outer_radius: eye } = rod;
  const [narrow, wide] = [rod.shank_breadth_small_end / 2, rod.shank_breadth_big_end / 2];
  const drop = Math.sqrt(eye * eye - narrow * narrow);
  path.arc(0, -length, eye, Math.atan2(drop, -narrow), Math.atan2(drop, narrow) + 2 * Math.PI);
  path.lineTo(wide, -0.3 * rod.bolt_top);
  path.lineTo(-wide, -0.3 * rod.bolt_top);
  path.closePath();
  return path;
}

/** The pocket between the flanges of the I-section. */
function rodPocket(rod) {
  const path = new Outline();
  const top = rod.length - 1.3 * rod.small_end_outer_radius;
  const foot = shankFoot(rod);
  const low = foot + 0.12 * rod.big_end_outer_radius;
  if (top - low < rod.small_end_outer_radius) return path;
  const breadthAt = (height) => {
    const share = (height - foot) / (rod.length - foot);
    const full = rod.shank_breadth_big_end * (1 - share) + rod.shank_breadth_small_end * share;
    return full / 2 - rod.flange_breadth;
  };
  const [a, b] = [breadthAt(top), breadthAt(low)];
  path.moveTo(-a, -top + a);
  path.arc(0, -top + a, a, Math.PI, 2 * Math.PI);
  path.lineTo(b, -low - b * 0.5);
  path.quadraticCurveTo(b, -low, 0, -low);
  path.quadraticCurveTo(-b, -low, -b, -low - b * 0.5);
  path.closePath();
  return path;
}

/** Turn a path made for a square split to the rod's own split. */
function turnedToSplit(path, rod) {
  const turned = new Outline();
  turned.addPath(path, new DOMMatrix().rotate((rod.cap_split_angle * 180) / Math.PI));
  return turned;
}

/** Heads of the bolts under the cap. */
function boltEnds(rod) {
  const path = new Outline();
  const half = 0.75 * rod.bolt_diameter;
  for (const side of [-1, 1]) {
    path.rect(side * rod.bolt_offset - half, -rod.bolt_bottom - half, 2 * half, 1.7 * half);
  }
  return turnedToSplit(path, rod);
}

/** Axes of the bolts. */
function boltLines(rod) {
  const path = new Outline();
  for (const side of [-1, 1]) {
    path.moveTo(side * rod.bolt_offset, -0.9 * rod.bolt_top);
    path.lineTo(side * rod.bolt_offset, -rod.bolt_bottom + 0.8 * rod.bolt_diameter);
  }
  return turnedToSplit(path, rod);
}

/** The plane between rod and cap, on both sides of the shell. */
function capSplit(rod, shell) {
  const path = new Outline();
  for (const side of [-1, 1]) {
    path.moveTo(side * shell, 0);
    path.lineTo(side * rod.big_end_half_breadth, 0);
  }
  return turnedToSplit(path, rod);
}

/** The piston's outside: crown, lands and skirt; the bowl is cut out of the crown. */
function pistonOutline(piston) {
  const path = new Outline();
  const half = piston.diameter / 2;
  const crown = -piston.compression_height;
  path.moveTo(-half, crown);
  if (piston.bowl_depth > 0) {
    const bowl = piston.bowl_diameter / 2;
    const deep = crown + piston.bowl_depth;
    path.lineTo(-bowl, crown);
    path.bezierCurveTo(-1.1 * bowl, deep, -0.75 * bowl, deep, -0.55 * bowl, deep);
    path.quadraticCurveTo(-0.25 * bowl, deep, 0, crown + 0.5 * piston.bowl_depth);
    path.quadraticCurveTo(0.25 * bowl, deep, 0.55 * bowl, deep);
    path.bezierCurveTo(0.75 * bowl, deep, 1.1 * bowl, deep, bowl, crown);
  }
  path.lineTo(half, crown);
  path.lineTo(half, piston.skirt_length);
  path.lineTo(-half, piston.skirt_length);
  path.closePath();
  return path;
}

/** The hollow under the crown. */
function pistonInside(piston) {
  const path = new Outline();
  const half = piston.diameter / 2 - piston.wall_thickness;
  const belt = piston.diameter / 2 - 2.2 * piston.wall_thickness;
  const [last, height] = piston.ring_grooves[piston.ring_grooves.length - 1];
  const beltEnd = -piston.compression_height + last + height + 0.6 * piston.wall_thickness;
  const roof =
    -piston.compression_height +
    Math.max(piston.crown_thickness, piston.bowl_depth + 0.5 * piston.crown_thickness);
  const round = 0.5 * belt;
  path.moveTo(-half, piston.skirt_length);
  path.lineTo(-half, beltEnd + 1.2 * piston.wall_thickness);
  path.lineTo(-belt, beltEnd);
  path.quadraticCurveTo(-belt, roof, -belt + round, roof);
  path.lineTo(belt - round, roof);
  path.quadraticCurveTo(belt, roof, belt, beltEnd);
  path.lineTo(half, beltEnd + 1.2 * piston.wall_thickness);
  path.lineTo(half, piston.skirt_length);
  path.closePath();
  return path;
}

/** Rings in their grooves on both sides. */
function ringOutlines(piston) {
  const path = new Outline();
  const half = piston.diameter / 2;
  for (const [at, height] of piston.ring_grooves) {
    for (const x of [-half, half - piston.ring_depth]) {
      path.rect(x, -piston.compression_height + at, piston.ring_depth, height);
    }
  }
  return path;
}
