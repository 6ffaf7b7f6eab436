/*
 * Where each part stands in space at a crank angle: matrices by columns, as graphics take them.
 *
 * x to the right and y up as seen from the front, z toward the front [m]; the crank turns
 * clockwise as seen from there. Heights and angles are those of the drawn train.
 */

import { poseTrain } from "../train/train_plan.js";

/** How far parts move apart when exploded, over the rod's length. */
export const APART = { shaft: -0.9, cap: -0.42, pin: 0.2, piston: 0.42 };

/** What a pose is made in: the scene's parts, and room for heights and angles. */
export function solidPlan(scene) {
  const { parts } = scene;
  return {
    parts,
    tilt: parts.cylinders[0].bank_angle,
    pinHeight: new Float64Array(parts.cylinders.length),
    rodAngle: new Float64Array(parts.cylinders.length),
    throwAngle: new Float64Array(parts.throws.length),
    at: 0,
  };
}

/**
 * The pose at a crank angle [°]; `apart` 0 is assembled, 1 exploded.
 * @returns {{shaft: number[], cylinders: Record<string, number[]>[]}}
 */
export function solidPose(plan, scene, degrees, apart = 0) {
  poseTrain(plan, scene, degrees);
  const { parts } = plan;
  const reach = apart * parts.rod.length;
  const turned = (degrees * Math.PI) / 180 + plan.tilt;
  return {
    shaft: turnedBy(turned, [0, APART.shaft * reach, 0]),
    cylinders: parts.cylinders.map((place, c) => {
      const along = (point) => {
        const [x, y] = point;
        const [sin, cos] = [Math.sin(place.bank_angle), Math.cos(place.bank_angle)];
        return [x * cos + y * sin, y * cos - x * sin, -place.z];
      };
      const upright = (by) =>
        turnedBy(place.bank_angle, along([0, plan.pinHeight[c] + by * reach]));
      const own = plan.throwAngle[place.throw - 1] - place.bank_angle;
      const lean = place.bank_angle - plan.rodAngle[c];
      const bigEnd = [Math.sin(own), Math.cos(own)].map((share) => share * parts.crank_radius);
      const down = APART.cap * reach;
      const capEnd = [
        bigEnd[0] - down * Math.sin(plan.rodAngle[c]),
        bigEnd[1] + down * Math.cos(plan.rodAngle[c]),
      ];
      return {
        piston: upright(APART.piston),
        "piston pin": upright(APART.pin),
        rod: turnedBy(lean, along(bigEnd)),
        "rod cap": turnedBy(lean, along(capEnd)),
        bore: turnedBy(place.bank_angle, [0, 0, -place.z]),
      };
    }),
  };
}

/** The matrix that turns with the crank about z [rad], then shifts. */
export function turnedBy(angle, shift) {
  const [x, y, z] = shift;
  const [sin, cos] = [Math.sin(angle), Math.cos(angle)];
  return [cos, -sin, 0, 0, sin, cos, 0, 0, 0, 0, 1, 0, x, y, z, 1];
}

/** A point [x, y, z] moved by a matrix. */
export function placed(m, point) {
  const [x, y, z] = point;
  return [0, 1, 2].map((i) => m[i] * x + m[4 + i] * y + m[8 + i] * z + m[12 + i]);
}

/** A direction turned by a matrix, and back by its inverse. */
export function turnedBack(m, direction) {
  const [x, y, z] = direction;
  return [0, 1, 2].map((i) => m[4 * i] * x + m[4 * i + 1] * y + m[4 * i + 2] * z);
}
