/* What a lesson draws on the engine. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { markWords, ordersAt } from "../../viz/browser/train/mark_numbers.js";

test("orders add at TDC and oppose each other at BDC", () => {
  const orders = { real: [1, 0.3, 0, -0.01], imaginary: [0, 0, 0, 0] };
  const close = (found, wanted) =>
    found.forEach((value, i) => assert.ok(Math.abs(value - wanted[i]) < 1e-9));
  close(ordersAt(orders, 0), [1, 0.3, 1.29]);
  close(ordersAt(orders, Math.PI), [-1, 0.3, -0.71]);
});

test("marks are said in words, and none where there are none", () => {
  const load = { share: [0.2, 1, 0.5, 0], step: Math.PI / 2 };
  assert.equal(markWords({ pin_load: load }), "; crankpin most loaded 90° from outward");
  assert.match(markWords({ dwell: { top: 0.8, bottom: 1 } }), /dwell 45.8° at TDC, 57.3° at BDC/);
  assert.equal(markWords(null), "");
});
