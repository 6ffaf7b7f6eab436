/* The train in space: poses against the slider-crank, arrows, rays, cameras; under node. */

import assert from "node:assert/strict";
import { test } from "node:test";

globalThis.Path2D = class {}; // which a browser has, and nothing here draws

const { arrowMesh } = await import("../../viz/browser/solid/solid_arrows.js");
const { cells } = await import("../../viz/browser/solid/solid_actors.js");
const { HALF_VIEW, SolidCamera, VIEWS } = await import("../../viz/browser/solid/solid_camera.js");
const { clearFactor, moveCorners, sectionMotions, sectionsOf } =
  await import("../../viz/browser/solid/solid_deflection.js");
const { nearestPart } = await import("../../viz/browser/solid/solid_picking.js");
const { placed, solidPlan, solidPose, turnedBack, turnedBy } =
  await import("../../viz/browser/solid/solid_pose.js");
const { peakOf, rowsOf, useColour, valueAt } =
  await import("../../viz/browser/solid/solid_results.js");

const NEAR = 1e-9;
const LENGTH = 0.15;
const RADIUS = 0.04;

function near(found, wanted, within = NEAR) {
  found.forEach((value, i) =>
    assert.ok(Math.abs(value - wanted[i]) < within, `${found} ${wanted}`),
  );
}

/** A V2 at 90°: both rods on one pin, no pin offset. */
function twin(points = 720) {
  const parts = {
    top: LENGTH + RADIUS,
    pin_offset: 0,
    crank_radius: RADIUS,
    rod: { length: LENGTH },
    throws: [{ z: 0, angle: 0 }],
    cylinders: [
      { z: -0.01, throw: 1, bank_angle: 0 },
      { z: 0.01, throw: 1, bank_angle: Math.PI / 2 },
    ],
  };
  const own = (c, i) => (2 * Math.PI * i) / points - parts.cylinders[c].bank_angle;
  const lean = (c, i) => Math.asin((RADIUS / LENGTH) * Math.sin(own(c, i)));
  const rows = {
    displacement: (c, i) =>
      1e3 * (parts.top - RADIUS * Math.cos(own(c, i)) - LENGTH * Math.cos(lean(c, i))),
    rod_angle: (c, i) => (180 / Math.PI) * lean(c, i),
  };
  return {
    parts,
    points,
    cycleDegrees: 360,
    row: (name, c) => Array.from({ length: points }, (_, i) => rows[name](c, i)),
  };
}

test("at every angle a rod joins the crankpin and its piston pin", () => {
  const scene = twin();
  const plan = solidPlan(scene);
  for (const degrees of [0, 33, 120, 250.5]) {
    const { shaft, cylinders } = solidPose(plan, scene, degrees);
    scene.parts.cylinders.forEach((place, c) => {
      const pin = placed(shaft, [0, RADIUS, -place.z]);
      near(placed(cylinders[c].rod, [0, 0, 0]), pin);
      near(placed(cylinders[c].rod, [0, LENGTH, 0]), placed(cylinders[c].piston, [0, 0, 0]), 1e-6);
    });
  }
});

test("the crank turns clockwise as seen from the front", () => {
  near(placed(turnedBy(Math.PI / 2, [0, 0, 0]), [0, 1, 0]), [1, 0, 0]);
  const turn = turnedBy(0.7, [1, 2, 3]);
  const there = placed(turn, [0.1, 0.2, 0.3]).map((value, i) => value - turn[12 + i]);
  near(turnedBack(turn, there), [0.1, 0.2, 0.3]);
});

test("an exploded train moves apart along its rods and bores alone", () => {
  const scene = twin();
  const plan = solidPlan(scene);
  const [whole, apart] = [solidPose(plan, scene, 40), solidPose(plan, scene, 40, 1)];
  near(whole.cylinders[1].rod, apart.cylinders[1].rod);
  assert.ok(apart.cylinders[1].piston[12] - whole.cylinders[1].piston[12] > 0.3 * LENGTH);
  assert.ok(apart.shaft[13] < whole.shaft[13] - LENGTH / 2);
});

test("an arrow's mesh ends at its tip", () => {
  const { corners, normals, faces } = arrowMesh([{ from: [0, 0, 0], to: [0, 0.05, 0] }], 0.002);
  const heights = corners.filter((_, i) => i % 3 === 1);
  assert.ok(Math.abs(Math.max(...heights) - 0.05) < 1e-7);
  assert.equal(normals.length, corners.length);
  assert.ok(Math.max(...faces) < corners.length / 3);
  assert.equal(arrowMesh([{ from: [0, 0, 0], to: [0, 1e-5, 0] }], 0.002).faces.length, 0);
});

test("cells say how many corners follow", () => {
  assert.deepEqual([...cells([4, 5, 6, 7, 8, 9], 3)], [3, 4, 5, 6, 3, 7, 8, 9]);
});

test("a view shows all points, and fills the picture in one direction", () => {
  const points = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => [k & 1, (k >> 1) & 1, (k >> 2) & 1]);
  for (const name of Object.keys(VIEWS)) {
    const camera = new SolidCamera();
    camera.show(name);
    const { position } = camera.place(points, 1.5);
    const { right, up, back } = camera.axes;
    const seen = points.map((point) => {
      const by = point.map((value, i) => value - position[i]);
      const along = (axis) => by.reduce((sum, value, i) => sum + value * axis[i], 0);
      const tan = -along(back) * Math.tan(HALF_VIEW);
      return Math.max(Math.abs(along(right)) / tan / 1.5, Math.abs(along(up)) / tan);
    });
    assert.ok(Math.max(...seen) < 1 && Math.max(...seen) > 0.85, `${name} ${seen}`);
  }
});

test("a ray meets the nearest part that is not cut away", () => {
  const piece = {
    corners: Float32Array.from([-1, -1, 0, 1, -1, 0, 0, 1, 0]),
    faces: Uint32Array.from([0, 1, 2]),
  };
  const at = (z, name) => ({ name, matrix: turnedBy(0.2, [0, 0, z]), body: { pieces: [piece] } });
  const parts = [at(0, "far"), at(1, "near")];
  const ray = { from: [0, 0, 5], along: [0, 0, -1] };
  assert.equal(nearestPart(ray, parts).name, "near");
  assert.equal(nearestPart(ray, parts, (point) => point[2] < 0.5).name, "far");
  assert.equal(nearestPart({ from: [3, 0, 5], along: [0, 0, -1] }, parts), null);
});

test("a result is the size of its components, and its peak that of the cycle", () => {
  const scene = { points: 4, load: (name, row, component, at) => (component ? 4 : 3) * (at + row) };
  const terms = [[["load", 0, 2]], [["load", 1, 2]]];
  const result = { components: terms, allowable: 50 };
  assert.equal(valueAt(result, scene, [0, 1], 1), 20);
  assert.equal(peakOf(result, scene, [0]), 30);
  assert.deepEqual(
    rowsOf("crankpin", 1, { cylinders: [{ throw: 1 }, { throw: 2 }, { throw: 1 }] }),
    [0, 2],
  );
  assert.deepEqual(rowsOf("main journal", 3, {}), [2]);
});

test("only what is over the allowable has the colour of what is over", () => {
  const colours = { bad: "#a33f77" };
  assert.equal(useColour(1.001, colours), "#a33f77");
  assert.equal(useColour(1, colours), "rgb(253 231 37)");
  assert.equal(useColour(0, colours), "rgb(68 1 84)");
});

/** A deflection of five sections whose shift along x is the place over the load along y. */
function bent() {
  const place = [-0.1, -0.05, 0, 0.05, 0.1];
  const influence = new Float32Array(5 * 6 * 3);
  place.forEach((z, s) => {
    influence[s * 18 + 1] = z;
    influence[s * 18 + 5 * 3 + 2] = 1e-6;
  });
  return { place, loads: 3, order: [], influence, real: [], imaginary: [] };
}

test("sections move by the rods' forces and the speed squared", () => {
  const scene = {
    parts: { throws: [{ angle: Math.PI / 2 }], cylinders: [{ throw: 1 }] },
    speed: 100,
  };
  scene.load = (_, __, axis) => (axis === 0 ? 3 : 7);
  const found = sectionMotions(bent(), scene, 0);
  near([found[0], found[5], found[24]], [-0.1 * 3, 0.01, 0.1 * 3], 1e-7);
  near([sectionMotions(bent(), scene, 0, "bending")[5]], [0]);
  near([sectionMotions(bent(), scene, 0, "twist")[0]], [0]);
});

test("a twist takes the place of the turn, with rotation", () => {
  const scene = { parts: { throws: [{ angle: 0 }], cylinders: [] }, speed: 100, step: 1 };
  const wave = { order: [2], real: [0.1, 0, 0, 0, 0], imaginary: [0.2, 0, 0, 0, 0] };
  near([sectionMotions({ ...bent(), ...wave }, scene, 0)[5]], [-0.1], 1e-9);
  near([sectionMotions({ ...bent(), ...wave }, scene, 45)[5]], [0.2], 1e-9);
});

test("corners move with the sections between which they are", () => {
  const corners = [0, 0.02, 0.075, 0.01, 0, -0.2];
  const motions = new Float64Array(30);
  for (let s = 0; s < 5; s++) motions[6 * s] = s;
  motions[6 * 4 + 5] = Math.PI / 2;
  const out = new Float64Array(6);
  moveCorners(out, corners, sectionsOf(corners, bent().place), motions, 1);
  near(out, [0.5, 0.02, 0.075, 4, 0.01, -0.2]);
});

test("the factor is a round number that shows the largest movement", () => {
  const parts = { crank_radius: 0.04, block: { bore: 0.08 } };
  near([clearFactor({ shift: 6e-5, turn: 0 }, parts)], [200]);
  near([clearFactor({ shift: 0, turn: 0 }, parts)], [1]);
});
