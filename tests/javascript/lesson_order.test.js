/* The order of a lesson's options. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { shuffledOrder } from "../../viz/browser/lessons/lesson_order.js";

test("an order holds each option once and is the same for one student and lesson", () => {
  for (let seed = 1; seed < 40; seed++) {
    const order = shuffledOrder(4, seed, "a_lesson check");
    assert.deepEqual([...order].sort(), [0, 1, 2, 3]);
    assert.deepEqual(order, shuffledOrder(4, seed, "a_lesson check"));
  }
});

test("each option comes last about as often over students, and over lessons", () => {
  const last = (orders) => {
    const counts = [0, 0, 0, 0];
    for (const order of orders) counts[order[3]]++;
    return counts;
  };
  const numbers = Array.from({ length: 2000 }, (_, i) => i + 1);
  const students = last(numbers.map((seed) => shuffledOrder(4, seed, "1_dwell predict")));
  const lessons = last(numbers.map((i) => shuffledOrder(4, 77, `${i}_lesson check`)));
  for (const count of [...students, ...lessons]) assert.ok(Math.abs(count - 500) < 110, count);
});
