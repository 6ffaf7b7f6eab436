/* Force arrows in space, all to one scale; their tips, and the mesh of many as one. */

import { niceBelow } from "../train/train_plan.js";

/** Distance of gas and inertia arrows from the cylinder's axis, of the bore. */
const BESIDE_AXIS = 0.34;
const SIDES = 10; // of an arrow's shaft

/** Length of an arrow [m] for a shown unit of force: 1, 2 or 5 times a power of ten. */
export function arrowScale(scene) {
  return niceBelow((1.7 * scene.parts.block.bore) / (scene.arrowPeak || 1));
}

/**
 * The arrows at a pose: cause, what they act on (from 0), start and tip [m].
 * @param {any} plan with heights and angles at `plan.at`
 * @param {{arrows: any, cylinder: number}} view arrows by key, the selected cylinder
 * @returns {{cause: string, on: number, from: number[], to: number[]}[]}
 */
export function forceArrows(plan, scene, view) {
  const { arrows, cylinder } = view;
  const scale = arrowScale(scene);
  const found = [];
  plan.parts.cylinders.forEach((place, c) => {
    for (const arrow of cylinderArrows(plan, scene, c, c === cylinder, arrows))
      found.push({
        cause: arrow.cause,
        on: c,
        from: inSpace(place, arrow.from),
        to: inSpace(
          place,
          arrow.from.map((start, i) => start + arrow.force[i] * scale),
        ),
      });
  });
  return arrows.mains ? [...found, ...mainArrows(plan, scene, scale)] : found;
}

/** Arrows of a cylinder in its own axes: gas and inertia, of the selected one rod and side too. */
function cylinderArrows(plan, scene, c, own, arrows) {
  const { parts } = plan;
  const load = (row) => scene.load(row, c, null, plan.at);
  const pin = plan.pinHeight[c];
  const aside = BESIDE_AXIS * parts.block.bore;
  const found = [];
  const add = (cause, from, force) => found.push({ cause, from, force });
  if (arrows.gas)
    add("gas", [-aside, pin + parts.piston.compression_height], [0, -load("gas_force")]);
  if (arrows.inertia) add("inertia", [aside, pin], [0, -load("inertia_force")]);
  if (!own) return found;
  if (arrows.rod) {
    const [size, lean] = [load("rod_force"), plan.rodAngle[c]];
    add("rod", [-parts.pin_offset, pin], [size * Math.sin(lean), -size * Math.cos(lean)]);
  }
  if (arrows.side) {
    const size = load("side_thrust");
    add("side", [(-Math.sign(size) * parts.piston.diameter) / 2, pin], [-size, 0]);
  }
  return found;
}

/** The load of each main on its shell, from the shaft's axis. */
function mainArrows(plan, scene, scale) {
  const [sin, cos] = [Math.sin(plan.tilt), Math.cos(plan.tilt)];
  return plan.parts.main_journal.z.map((z, m) => {
    const x = scene.load("main_block", m, 0, plan.at);
    const y = scene.load("main_block", m, 1, plan.at);
    const to = [(x * cos + y * sin) * scale, (y * cos - x * sin) * scale, -z];
    return { cause: "mains", on: m, from: [0, 0, -z], to };
  });
}

/** A point of a cylinder's own axes in space. */
function inSpace(place, [x, y]) {
  const [sin, cos] = [Math.sin(place.bank_angle), Math.cos(place.bank_angle)];
  return [x * cos + y * sin, y * cos - x * sin, -place.z];
}

/**
 * Arrows as one mesh: round shafts and heads.
 * @param {{from: number[], to: number[]}[]} arrows
 * @param {number} thick radius of a shaft [m]
 */
export function arrowMesh(arrows, thick) {
  const corners = [];
  const normals = [];
  const faces = [];
  for (const { from, to } of arrows) {
    const along = to.map((value, i) => value - from[i]);
    const long = Math.hypot(...along);
    if (!(long > 0.5 * thick)) continue;
    const unit = along.map((value) => value / long);
    const head = Math.min(6 * thick, 0.7 * long);
    const wide = (2.6 * thick * head) / (6 * thick);
    const rings = [
      [0, thick, 0],
      [long - head, thick, 0],
      [long - head, wide, -1],
      [long - head, wide, 0.4],
      [long, 0, 0.4],
    ];
    const start = corners.length / 3;
    for (const [at, radius, lean] of rings)
      addRing(corners, normals, from, unit, [at, radius, lean]);
    for (const ring of [0, 1, 3]) addFaces(faces, start + ring * SIDES);
  }
  return {
    corners: Float32Array.from(corners),
    normals: Float32Array.from(normals),
    faces: Uint32Array.from(faces),
  };
}

/** A ring of corners about an axis; its normals lean by a share along it. */
function addRing(corners, normals, from, unit, [at, radius, lean]) {
  const [first, second] = across(unit);
  for (let k = 0; k < SIDES; k++) {
    const turn = (2 * Math.PI * k) / SIDES;
    const [sin, cos] = [Math.sin(turn), Math.cos(turn)];
    for (let i = 0; i < 3; i++) {
      const out = cos * first[i] + sin * second[i];
      corners.push(from[i] + at * unit[i] + radius * out);
      normals.push(lean === -1 ? -unit[i] : (out + lean * unit[i]) / Math.hypot(1, lean));
    }
  }
}

/** Triangles between a ring of corners and the next. */
function addFaces(faces, start) {
  for (let k = 0; k < SIDES; k++) {
    const next = (k + 1) % SIDES;
    const [a, b, c, d] = [start + k, start + next, start + SIDES + k, start + SIDES + next];
    faces.push(a, b, d, a, d, c);
  }
}

/** Two directions square to one and to each other. */
function across(unit) {
  const other = Math.abs(unit[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0];
  const first = cross(other, unit);
  const size = Math.hypot(...first);
  const scaled = first.map((value) => value / size);
  return [scaled, cross(unit, scaled)];
}

/** The vector product. */
function cross(one, other) {
  const [[a, b, c], [d, e, f]] = [one, other];
  return [b * f - c * e, c * d - a * f, a * e - b * d];
}
