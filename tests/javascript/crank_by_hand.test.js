/* The crank turned by hand: by its circle, by a curve, by a polar diagram. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { LineFeeder } from "../../viz/browser/figures/line_feeder.js";
import { PolarFeeder } from "../../viz/browser/figures/polar_feeder.js";
import { turnBetween } from "../../viz/browser/train/crank_drag.js";

test("a turn past upright is the short way", () => {
  assert.equal(turnBetween(170, -170), 20);
  assert.equal(turnBetween(-170, 170), -20);
  assert.equal(turnBetween(10, 35), 25);
});

test("a place on a curve's axes is its angle", () => {
  assert.equal(new LineFeeder({ name: "a", curves: [] }).angleAt({ x: 123 }), 123);
});

test("a place on a polar diagram is the angle of the nearest load, of the nearest diagram", () => {
  const polar = new PolarFeeder({ name: "b", diagrams: [] });
  assert.equal(polar.angleAt({ x: 0, y: 0 }), null);
  const round = [0, 1, 2, 3].map((quarter) => (quarter * Math.PI) / 2);
  const course = (size) => [
    round.map((a) => size * Math.sin(a)),
    round.map((a) => size * Math.cos(a)),
  ];
  polar.traces = [{ both: course(10) }, { both: course(5) }];
  polar.centres = [
    [0, 0],
    [2.9, 0],
  ];
  polar.ring = 10;
  polar.step = 90;
  assert.equal(polar.angleAt({ x: 0.8, y: 0.1 }), 90);
  assert.equal(polar.angleAt({ x: 2.9, y: -0.6 }), 180);
});
