/*
 * How the shaft's sections move: under gas + speed² · inertia, and by the twist of one speed.
 *
 * A section has a shift of its point on the axis [m] and a turn [rad], in throw 1's axes: x
 * across, y outward, z from front to rear; a turn about z is against rotation.
 */

import { niceBelow } from "../train/train_plan.js";
import { unpacked } from "./solid_scene.js";

const MOTIONS = 6; // of a section
const TURN = 5; // the one about the shaft's axis
const SHOWN = 0.25; // of the bore, at most, by the largest movement
const LOOKS = 90; // angles at which the largest is sought

/**
 * Decode a message; `missing` says what the design lacks.
 * @returns {any}
 */
export function decodeDeflection(message) {
  const { header, floats } = unpacked(message);
  if (header.missing !== undefined) return header;
  const sections = header.place.length;
  const waves = sections * header.order.length;
  const [first, second] = [sections * MOTIONS * header.loads, waves];
  return {
    ...header,
    influence: floats.subarray(0, first),
    real: floats.subarray(first, first + second),
    imaginary: floats.subarray(first + second, first + 2 * second),
  };
}

/**
 * Movement of every section at a fractional grid index, six numbers each; `which` is "bending",
 * "twist" or "both".
 */
export function sectionMotions(deflection, scene, at, which = "both") {
  const loads = pinLoads(scene, at);
  const sections = deflection.place.length;
  const found = new Float64Array(sections * MOTIONS);
  for (let i = 0; i < found.length; i++) {
    const isTurn = i % MOTIONS === TURN;
    if (which !== "both" && isTurn !== (which === "twist")) continue;
    const start = i * deflection.loads;
    for (let k = 0; k < loads.length; k++) found[i] += deflection.influence[start + k] * loads[k];
  }
  if (deflection.order.length && which !== "bending") addTwist(found, deflection, scene, at);
  return found;
}

/** The rods' forces on the pins in throw 1's axes, x and y of each, and last the speed squared. */
function pinLoads(scene, at) {
  const { throws, cylinders } = scene.parts;
  const loads = new Float64Array(2 * throws.length + 1);
  cylinders.forEach((place, c) => {
    const t = place.throw - 1;
    const [sin, cos] = [Math.sin(throws[t].angle), Math.cos(throws[t].angle)];
    const [x, y] = [0, 1].map((axis) => scene.load("big_end_crank", c, axis, at));
    loads[2 * t] -= x * cos + y * sin;
    loads[2 * t + 1] -= y * cos - x * sin;
  });
  loads[loads.length - 1] = scene.speed ** 2;
  return loads;
}

/** Put the chain's vibration in the place of the turns about the axis. */
function addTwist(found, { order, real, imaginary }, scene, at) {
  const angle = (at * scene.step * Math.PI) / 180;
  for (let s = 0; s * MOTIONS < found.length; s++) {
    let turn = 0;
    order.forEach((wave, k) => {
      const i = s * order.length + k;
      turn += real[i] * Math.cos(wave * angle) - imaginary[i] * Math.sin(wave * angle);
    });
    found[s * MOTIONS + TURN] = -turn;
  }
}

/** The largest shift of a section [m] and turn about the axis [rad] over the cycle. */
export function largestMotions(deflection, scene, which) {
  let [shift, turn] = [0, 0];
  for (let look = 0; look < LOOKS; look++) {
    const found = sectionMotions(deflection, scene, (look * scene.points) / LOOKS, which);
    for (let i = 0; i < found.length; i += MOTIONS) {
      shift = Math.max(shift, Math.hypot(found[i], found[i + 1]));
      turn = Math.max(turn, Math.abs(found[i + TURN]));
    }
  }
  return { shift, turn };
}

/** The factor that makes the largest movement plain: 1, 2 or 5 times a power of ten. */
export function clearFactor({ shift, turn }, parts) {
  const reach = shift + turn * parts.crank_radius;
  return reach > 0 ? niceBelow((SHOWN * parts.block.bore) / reach) : 1;
}

/** For each corner (x, y, z of the solids) the section before it, and its share of the next. */
export function sectionsOf(corners, place) {
  const count = corners.length / 3;
  const [before, share] = [new Uint16Array(count), new Float32Array(count)];
  for (let i = 0; i < count; i++) {
    const along = -corners[3 * i + 2];
    let s = 0;
    while (s < place.length - 2 && along > place[s + 1]) s++;
    before[i] = s;
    share[i] = Math.min(1, Math.max(0, (along - place[s]) / (place[s + 1] - place[s])));
  }
  return { before, share };
}

/** Write corners, moved by a factor times their sections' movement, into `out`. */
export function moveCorners(out, corners, { before, share }, motions, factor) {
  const motion = new Float64Array(MOTIONS);
  for (let i = 0, k = 0; i < before.length; i++, k += 3) {
    const [start, part] = [before[i] * MOTIONS, share[i]];
    for (let m = 0; m < MOTIONS; m++)
      motion[m] = factor * ((1 - part) * motions[start + m] + part * motions[start + MOTIONS + m]);
    const [x, y] = [corners[k], corners[k + 1]];
    const [sin, cos] = [Math.sin(motion[TURN]), Math.cos(motion[TURN])];
    out[k] = motion[0] + x * cos - y * sin;
    out[k + 1] = motion[1] + x * sin + y * cos;
    out[k + 2] = corners[k + 2] - motion[2] - motion[3] * y + motion[4] * x;
  }
}
