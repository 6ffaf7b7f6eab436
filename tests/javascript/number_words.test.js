/* Ticks of axes; what both languages write the same is held in tests/viz. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { tickTexts, unbroken } from "../../viz/browser/shared/number_words.js";

test("the ticks of an axis have as many decimals as tell them apart", () => {
  const wanted = [
    [
      [0, 2000, 4000, 10000],
      ["0", "2\u2009000", "4\u2009000", "10\u2009000"],
    ],
    [
      [-0.5, -0.0, 0.5, 1],
      ["−0.5", "0", "0.5", "1.0"],
    ],
    [
      [-20, -10, 0],
      ["−20", "−10", "0"],
    ],
    [
      [0, 0.05, 0.1, 0.15000000000000002],
      ["0", "0.05", "0.10", "0.15"],
    ],
    [
      [0, 1e-8, 2e-8],
      ["0", "1.00·10⁻⁸", "2.00·10⁻⁸"],
    ],
    [
      [0, 5e10],
      ["0", "5.00·10¹⁰"],
    ],
    [[], []],
    [[7], ["7"]],
  ];
  for (const [ticks, texts] of wanted) assert.deepEqual(tickTexts(ticks), texts);
});

test("no line breaks within a number", () => {
  assert.equal(unbroken("12\u2009345 rpm"), "12\u202f345 rpm");
});
