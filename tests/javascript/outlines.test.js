/* Outlines of parts, which canvas and SVG draw alike, and lengths that are read off a picture. */

import assert from "node:assert/strict";
import { test } from "node:test";

/* What a browser has and node has not: paths that are drawn, which nobody looks at here. */
globalThis.Path2D = class {};
for (const name of ["moveTo", "lineTo", "arc", "ellipse", "closePath", "rect", "addPath"]) {
  globalThis.Path2D.prototype[name] = () => {};
}
for (const name of ["quadraticCurveTo", "bezierCurveTo"])
  globalThis.Path2D.prototype[name] = () => {};
globalThis.DOMMatrix = class Matrix {
  constructor([a, b, c, d, e, f] = [1, 0, 0, 1, 0, 0]) {
    Object.assign(this, { a, b, c, d, e, f });
  }

  scale(across, down) {
    const { a, b, c, d, e, f } = this;
    return new Matrix([a * across, b * across, c * down, d * down, e, f]);
  }
};

const { circleOutline, scaledShape, sectorOutline, webOutline } =
  await import("../../viz/browser/train/train_outlines.js");
const { niceBelow, sidePinHeight } = await import("../../viz/browser/train/train_plan.js");
const { niceAbove } = await import("../../viz/browser/figures/feeder.js");

const SHARES = Array.from({ length: 50 }, (_, i) => (i + 1) / 50);

/** Points along an outline: its corners, and each curve in small steps. */
function pointsOf({ pieces }) {
  const points = [];
  for (const [letter, ...at] of pieces) {
    const from = points.at(-1);
    if (letter === "C") points.push(...SHARES.map((share) => onCurve(from, at, share)));
    else if (letter !== "Z") points.push(at);
  }
  return points;
}

/** A point of a cubic curve from a point through two to a third. */
function onCurve(from, [x1, y1, x2, y2, x3, y3], t) {
  const parts = [(1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t ** 2, t ** 3];
  const sum = (...values) => values.reduce((total, value, i) => total + parts[i] * value, 0);
  return [sum(from[0], x1, x2, x3), sum(from[1], y1, y2, y3)];
}

/** The area inside an outline of one piece, by its corners. */
function areaOf(outline) {
  const points = pointsOf(outline);
  let twice = 0;
  points.forEach(([x, y], i) => {
    const [nextX, nextY] = points[(i + 1) % points.length];
    twice += x * nextY - nextX * y;
  });
  return Math.abs(twice) / 2;
}

function near(value, wanted, share) {
  assert.ok(Math.abs(value - wanted) <= share * wanted, `${value} is not ${wanted}`);
}

test("a circle has its radius all round", () => {
  for (const [x, y] of pointsOf(circleOutline(3, -4, 10)).slice(1)) {
    near(Math.hypot(x - 3, y + 4), 10, 3e-4);
  }
});

test("a sector has the area of its part of a ring", () => {
  const sector = { angle: 2, half_angle: 0.8, inner_radius: 0.03, outer_radius: 0.07 };
  near(areaOf(sectorOutline(sector, 1000)), 0.8 * (70 ** 2 - 30 ** 2), 1e-3);
  assert.deepEqual(sectorOutline({ ...sector, half_angle: 0 }, 1000).pieces, []);
});

test("a web is the hull of its two round ends", () => {
  const [hub, pin, crank] = [40, 25, 50];
  const tangent = Math.asin((hub - pin) / crank);
  const ends = hub ** 2 * (Math.PI / 2 + tangent) + pin ** 2 * (Math.PI / 2 - tangent);
  const middle = (hub + pin) * crank * Math.cos(tangent);
  near(areaOf(webOutline({ hub_radius: hub, pin_end_radius: pin }, crank)), ends + middle, 1e-3);
});

test("a web whose one end lies within the other is a circle", () => {
  near(areaOf(webOutline({ hub_radius: 60, pin_end_radius: 5 }, 50)), Math.PI * 60 ** 2, 1e-3);
  near(areaOf(webOutline({ hub_radius: 5, pin_end_radius: 60 }, 50)), Math.PI * 60 ** 2, 1e-3);
});

test("lengths of a shape are scaled, angles are not", () => {
  const shape = {
    angle: 1,
    half_angle: 0.5,
    radius: 2,
    name: "web",
    grooves: [
      [1, 2],
      [3, 4],
    ],
  };
  assert.deepEqual(scaledShape(shape, 10), {
    angle: 1,
    half_angle: 0.5,
    radius: 20,
    name: "web",
    grooves: [
      [10, 20],
      [30, 40],
    ],
  });
});

test("a scale bar is 1, 2 or 5 times a power of ten", () => {
  assert.deepEqual([1, 1.99, 2, 4.9, 5, 99, 100].map(niceBelow), [1, 1, 2, 2, 5, 50, 100]);
});

test("an axis ends at a round number", () => {
  assert.deepEqual(
    [0, NaN, 1, 1.2, 1.6, 7, 8.1, 81, 950].map(niceAbove),
    [1, 1, 1, 1.5, 2, 8, 10, 100, 1000],
  );
});

test("a leaning cylinder's pin stands lower from the side, and with its offset", () => {
  const lean = Math.PI / 3;
  const parts = { cylinders: [{ bank_angle: 0 }, { bank_angle: lean }], pin_offset: 0.001 };
  const plan = { parts, pinHeight: [0.2, 0.2] };
  assert.equal(sidePinHeight(plan, 0), 0.2);
  near(sidePinHeight(plan, 1), 0.1 + 0.001 * Math.sin(lean), 1e-12);
});
