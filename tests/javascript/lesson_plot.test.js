/* A lesson's plot: its scale, what a hand draws, its words and its table. */

import assert from "node:assert/strict";
import { test } from "node:test";

import {
  LessonScale,
  strokeBetween,
  ticksOf,
  valueBetween,
} from "../../viz/browser/lessons/lesson_scale.js";
import { plotTable, plotWords } from "../../viz/browser/lessons/lesson_words.js";

const AXES = {
  start: 0,
  end: 100,
  low: -10,
  high: 10,
  places: [0, 50, 100],
  xLabel: "speed, rpm",
  yLabel: "force, N",
};
const TRUTH = { x: [0, 100], lines: [{ label: "gas", y: [1, 3] }] };

test("a height gives back the value it stands for, within the axis", () => {
  const scale = new LessonScale(AXES, 400, 300);
  for (const value of [-10, -2.5, 0, 10])
    assert.ok(Math.abs(scale.valueAt(scale.y(value)) - value) < 1e-12);
  assert.equal(scale.valueAt(-100), 10);
  assert.equal(scale.valueAt(1000), -10);
});

test("the place nearest to the pointer is the one meant", () => {
  const scale = new LessonScale(AXES, 400, 300);
  assert.deepEqual(
    [20, 45, 80].map((at) => scale.nearestPlace(scale.x(at))),
    [0, 1, 2],
  );
});

test("a line breaks where there is no value", () => {
  const path = new LessonScale(AXES, 400, 300).path([0, 25, 50, 75, 100], [0, 1, null, 1, 0]);
  assert.equal(path.replace(/[^ML]/g, ""), "MLML");
});

test("ticks are round and reach both ends", () => {
  assert.deepEqual(ticksOf(-10, 10, 5), [-10, -5, 0, 5, 10]);
  assert.deepEqual(ticksOf(0, 0.3, 5), [0, 0.1, 0.2, 0.3]);
});

test("a curve is straight between its points and nowhere else", () => {
  assert.equal(valueBetween([0, 10, 20], [0, 4, 8], 5), 2);
  assert.equal(valueBetween([0, 10, 20], [0, null, 8], 5), null);
  assert.equal(valueBetween([0, 10], [0, 4], 11), null);
});

test("a fast hand leaves no point out, in both directions", () => {
  assert.deepEqual(strokeBetween({ i: 1, value: 0 }, { i: 3, value: 4 }), [
    [1, 0],
    [2, 2],
    [3, 4],
  ]);
  assert.deepEqual(strokeBetween({ i: 2, value: 4 }, { i: 1, value: 0 }), [
    [2, 4],
    [1, 0],
  ]);
  assert.deepEqual(strokeBetween({ i: 2, value: 4 }, { i: 2, value: 5 }), [[2, 5]]);
});

test("the words name each line's range and the critical speeds", () => {
  const truth = { ...TRUTH, criticals: [{ x: 6000, words: "1½" }] };
  assert.equal(
    plotWords({ axes: AXES, truth: null, points: [1, 2] }),
    "force, N over speed, rpm; 2 points to set",
  );
  assert.equal(
    plotWords({ axes: AXES, truth, points: [] }),
    "force, N over speed, rpm: gas from 1 to 3; critical speeds: order 1½ at 6\u2009000",
  );
});

test("the drawing follows the true lines in the table", () => {
  const { head, rows } = plotTable({ axes: AXES, truth: TRUTH, points: [5, 6, 7] });
  assert.deepEqual(head, ["What", "speed, rpm", "force, N"]);
  assert.deepEqual(rows, [
    ["gas", 0, 1],
    ["gas", 100, 3],
    ["your drawing", 0, 5],
    ["your drawing", 50, 6],
    ["your drawing", 100, 7],
  ]);
});
