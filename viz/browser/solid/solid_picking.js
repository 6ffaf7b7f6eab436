/* Which body a ray meets first: the ray goes into each body's own frame. */

import { turnedBack } from "./solid_pose.js";

/**
 * The nearest part that a ray meets, or null; parts have pieces, a matrix and an actor.
 * @param {{from: number[], along: number[]}} ray in space
 * @param {any[]} parts
 * @param {(point: number[]) => boolean} isThere whether something at a point is not cut away
 */
export function nearestPart(ray, parts, isThere = () => true) {
  let [nearest, best] = [Infinity, null];
  for (const part of parts) {
    const m = part.matrix;
    const from = turnedBack(
      m,
      [0, 1, 2].map((i) => ray.from[i] - m[12 + i]),
    );
    const along = turnedBack(m, ray.along);
    for (const piece of part.body.pieces) {
      for (const distance of meetings(from, along, piece)) {
        const point = ray.from.map((start, i) => start + distance * ray.along[i]);
        if (distance < nearest && isThere(point)) [nearest, best] = [distance, part];
      }
    }
  }
  return best;
}

/** Distances along a ray at which it meets the triangles of a piece (Möller and Trumbore, 1997). */
function* meetings(from, along, { corners, faces }) {
  for (let f = 0; f < faces.length; f += 3) {
    const [a, b, c] = [3 * faces[f], 3 * faces[f + 1], 3 * faces[f + 2]];
    const [e1x, e1y, e1z] = [0, 1, 2].map((i) => corners[b + i] - corners[a + i]);
    const [e2x, e2y, e2z] = [0, 1, 2].map((i) => corners[c + i] - corners[a + i]);
    const px = along[1] * e2z - along[2] * e2y;
    const py = along[2] * e2x - along[0] * e2z;
    const pz = along[0] * e2y - along[1] * e2x;
    const det = e1x * px + e1y * py + e1z * pz;
    if (Math.abs(det) < 1e-15) continue;
    const [tx, ty, tz] = [0, 1, 2].map((i) => from[i] - corners[a + i]);
    const u = (tx * px + ty * py + tz * pz) / det;
    if (u < 0 || u > 1) continue;
    const [qx, qy, qz] = [ty * e1z - tz * e1y, tz * e1x - tx * e1z, tx * e1y - ty * e1x];
    const v = (along[0] * qx + along[1] * qy + along[2] * qz) / det;
    if (v < 0 || u + v > 1) continue;
    const distance = (e2x * qx + e2y * qy + e2z * qz) / det;
    if (distance > 0) yield distance;
  }
}
