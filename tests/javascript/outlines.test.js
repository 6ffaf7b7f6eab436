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
const { sideWeb, webEdges, webSide } = await import("../../viz/browser/train/web_shape.js");
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

const FLAT_WEB = {
  hub_radius: 35,
  pin_end_radius: 27.5,
  thickness: 20,
  chamfer_start: 66.5,
  chamfer_end: 86.5,
  pocket_radius: 0,
  pocket_depth: 0,
  pocket_height: 39,
};
const CUT_WEB = { ...FLAT_WEB, chamfer_start: 41.5, chamfer_end: 61.5 };

/** Highest and lowest corner of a web from the side at a distance from its face at the pin. */
function spanAt(web, angle, along) {
  const heights = webSide(web, 39, angle)
    .filter(([at]) => Math.abs(at - along) < 1e-9)
    .map(([, height]) => height);
  return [Math.min(...heights), Math.max(...heights)];
}

test("a flat web is a box from the side, as high as its ends reach", () => {
  assert.equal(webSide(FLAT_WEB, 39, 0).length, 4);
  assert.deepEqual(spanAt(FLAT_WEB, 0, 20), [-35, 66.5]);
  const [low, high] = spanAt(FLAT_WEB, Math.PI, 0);
  near(-low, 66.5, 1e-12);
  near(high, 35, 1e-12);
});

test("a chamfer slopes across a web whose pin is up or down", () => {
  assert.deepEqual(spanAt(CUT_WEB, 0, 20), [-35, 41.5]);
  assert.deepEqual(spanAt(CUT_WEB, 0, 0), [-35, 61.5]);
  assert.deepEqual(spanAt(CUT_WEB, 0, 10), [-35, 51.5]);
  near(-spanAt(CUT_WEB, Math.PI, 20)[0], 41.5, 1e-12);
});

test("a chamfered web turned aside reaches as high as the points of its faces", () => {
  for (const angle of [0.3, 0.9, 1.4, 2.2]) {
    for (const limit of [41.5, 51.5, 61.5]) {
      const along = 61.5 - limit;
      const corners = pointsOf(webOutline(FLAT_WEB, 39));
      const clipped = corners
        .flatMap(([x, y], i) => {
          const [nextX, nextY] = corners[(i + 1) % corners.length];
          return SHARES.map((share) => [x + share * (nextX - x), -y - share * (nextY - y)]);
        })
        .filter(([, y]) => y <= limit);
      const highest = Math.max(
        ...clipped.map(([x, y]) => y * Math.cos(angle) + Math.abs(x) * Math.sin(angle)),
      );
      assert.ok(Math.abs(spanAt(CUT_WEB, angle, along)[1] - highest) < 0.6);
    }
  }
});

test("a chamfer that reaches the face at the pin cuts the web's round end flat", () => {
  const points = pointsOf(webOutline(CUT_WEB, 39));
  near(Math.max(...points.map(([, y]) => -y)), 61.5, 1e-9);
  const cut = areaOf(webOutline(FLAT_WEB, 39)) - areaOf(webOutline(CUT_WEB, 39));
  const turn = Math.acos((61.5 - 39) / 27.5);
  near(cut, 27.5 ** 2 * (turn - Math.sin(turn) * Math.cos(turn)), 2e-2);
});

test("a pocket stands in the face at the main on either side of the pin", () => {
  const web = { ...CUT_WEB, pocket_radius: 9, pocket_depth: 4 };
  for (const toPin of [1, -1]) {
    const { pocket } = sideWeb(web, 39, { z: 100, toPin, angle: 0 }, { x: 0, y: 0 }, 1);
    const along = pointsOf(pocket).map(([x]) => toPin * (100 - x));
    near(Math.max(...along), 10, 1e-12); // its lower edge, at 30, lies below the chamfer
    near(Math.min(...along), 6, 1e-12);
    near(along[0], 6, 1e-12); // its upper edge, at 48, lies in what the chamfer took
  }
  assert.ok(pointsOf(webEdges(web, 39)).some(([, y]) => y === -41.5));
  assert.deepEqual(webEdges(FLAT_WEB, 39).pieces, []);
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
