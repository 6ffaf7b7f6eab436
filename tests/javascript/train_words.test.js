/* The crank train's picture in words, and the largest force of its arrows. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { pageState } from "../../viz/browser/shared/page_state.js";
import { arrowPeak } from "../../viz/browser/train/train_forces.js";
import { trainWords } from "../../viz/browser/train/train_words.js";

test("the largest force counts its size, in each row that has arrows", () => {
  const rows = { gas_force: [3, -1], inertia_force: [-8, 2], rod_force: [5], side_thrust: [7] };
  const asked = [];
  const scene = { curve: (row, part) => (asked.push([row, part]), rows[row]) };
  assert.equal(arrowPeak(scene), 8);
  assert.deepEqual(
    asked,
    Object.keys(rows).map((row) => [row, "both"]),
  );
});

test("the picture names angle, stroke, views and the forces that are shown", () => {
  pageState.units = { kN: { symbol: "kN", si: 1000 } };
  const scene = {
    name: "Six",
    strokes: 4,
    step: 2,
    cycleDegrees: 720,
    trueTdcDegrees: 0,
    firingDegrees: [0, 120],
    load: (row, cylinder, _, at) =>
      ({ gas_force: 30, side_thrust: -1.25 })[row] + cylinder + at - 76,
  };
  const arrows = { gas: true, inertia: false, rod: false, side: true, mains: true };
  assert.equal(
    trainWords(scene, { angle: 150, cylinder: 1, arrows }),
    "Crank train of Six at crank angle 150°, cylinder 2: power; side and front view; " +
      "gas 30.0 kN, side thrust −1.25 kN.",
  );
  assert.ok(trainWords(scene, { angle: 0, cylinder: 0, arrows: {} }).endsWith("and front view."));
});
