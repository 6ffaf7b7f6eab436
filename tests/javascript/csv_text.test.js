/* Comma-separated values; what both languages write the same is held in tests/viz. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { csvOf } from "../../viz/browser/shared/csv_text.js";

test("a number that is none is an empty cell", () => {
  assert.equal(csvOf(["a"], [[NaN], [Infinity], [-2]]), "a\n\n\n-2\n");
});

test("single precision leaves no digits behind that it does not have", () => {
  assert.equal(csvOf(["a"], [[Math.fround(0.1)]]), "a\n0.100000001\n");
});
