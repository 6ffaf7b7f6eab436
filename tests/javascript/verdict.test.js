/* The ladder's verdict: over up to the rated speed, marginal up to the redline. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { verdictOf } from "../../viz/browser/shared/verdict.js";

test("a criterion is judged by where it is first over", () => {
  const at = (firstOver) => verdictOf(firstOver, 6000, 6500);
  assert.deepEqual([5999, 6000, 6001, 6499.9, 6500, Infinity].map(at), [
    "over",
    "over",
    "marginal",
    "marginal",
    "within",
    "within",
  ]);
});

test("what is left out makes it marginal at best", () => {
  const at = (firstOver) => verdictOf(firstOver, 6000, 6500, true);
  assert.deepEqual([6000, 6001, Infinity].map(at), ["over", "marginal", "marginal"]);
});
