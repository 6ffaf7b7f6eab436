/* A line of the rev-limit page at any speed. */

import assert from "node:assert/strict";
import { test } from "node:test";

import {
  firstOver,
  keepUnits,
  lineAt,
  loadText,
} from "../../viz/browser/rev_limit/rev_limit_numbers.js";

const SENTENCES = [
  { least: 50, size: 2, words: "many" },
  { least: null, size: null, words: "few" },
];
const LINE = {
  rpm: [1000, 2000, 3000],
  use: [0.1, 0.4, 0.9],
  allowed: 200,
  at_least: false,
  sentences: SENTENCES,
};

test("between two speeds a value is straight in the square of speed", () => {
  for (const rpm of [1000, 1500, 2345, 3000]) {
    const { use, value } = lineAt(LINE, rpm, 0.02);
    assert.ok(Math.abs(use - 0.1 * (rpm / 1000) ** 2) < 1e-12);
    assert.ok(Math.abs(value - 200 * use) < 1e-12);
  }
});

test("beyond the speeds that were sent a value stays", () => {
  assert.equal(lineAt(LINE, 10, 0.02).use, 0.1);
  assert.equal(lineAt(LINE, 9000, 0.02).use, 0.9);
});

test("of a least allowable, the value is what uses it so far", () => {
  const least = { ...LINE, at_least: true };
  assert.equal(lineAt(least, 2000, 0.02).value, 200 / 0.4);
  assert.equal(lineAt({ ...least, use: [0, 0, 0] }, 2000, 0.02).value, null);
});

test("where there is no value on one side there is none between", () => {
  assert.equal(lineAt({ ...LINE, use: [null, 0.4, 0.9] }, 1500, 0.02).value, null);
});

test("the sentence is the first that is large enough, with its own number", () => {
  const large = lineAt(LINE, 2000, 0.02);
  assert.equal(large.sentence.words, "many");
  assert.equal(large.numbers.n, "40");
  assert.equal(lineAt({ ...LINE, inverse: true }, 2000, 0.02).numbers.n, "0.025");
  assert.equal(lineAt(LINE, 1000, 0.02).sentence.words, "few");
});

test("a criterion is first over where the lowest of its spans starts", () => {
  assert.equal(firstOver([]), Infinity);
  assert.equal(
    firstOver([
      [7000, 8000],
      [6500, 6600],
    ]),
    6500,
  );
});

test("numbers stay with their units", () => {
  assert.equal(
    keepUnits("at 6000 rpm, 5 mm of 7 inches"),
    "at 6000\u00a0rpm, 5\u00a0mm of 7 inches",
  );
  assert.equal(loadText(null, "N"), "no load");
  assert.equal(loadText(12345, "N"), "12\u202f300\u202fN");
});
