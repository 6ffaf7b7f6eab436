/* The strokes of a cylinder over the cycle. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { strokeAt, strokesOf } from "../../viz/browser/figures/strokes.js";

const four = { strokes: 4, cycleDegrees: 720, firingDegrees: [0, 240], trueTdcDegrees: 0 };
const two = { strokes: 2, cycleDegrees: 360, firingDegrees: [0, 90], trueTdcDegrees: 1 };

test("strokes fill the cycle without a gap, cut at its ends", () => {
  for (const scene of [four, two]) {
    for (const cylinder of [0, 1]) {
      const strokes = strokesOf(scene, cylinder);
      assert.equal(strokes[0].start, 0);
      assert.equal(strokes.at(-1).end, scene.cycleDegrees);
      strokes.slice(1).forEach(({ start }, i) => assert.equal(start, strokes[i].end));
    }
  }
});

test("power begins where a cylinder fires", () => {
  assert.equal(strokeAt(four, 1, 239.9).name, "compression");
  assert.equal(strokeAt(four, 1, 240).name, "power");
  assert.equal(strokeAt(two, 1, 91).index, 0);
  assert.equal(strokeAt(two, 1, 90.9).index, 1);
});

test("the end of the cycle is its start", () => {
  assert.deepEqual(strokeAt(four, 0, 720), strokeAt(four, 0, 0));
});
