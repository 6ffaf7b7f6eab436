/* A scene is decoded from one message, and gives every load at any speed. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { between, decodeScene } from "../../viz/browser/figures/scene.js";

/** A message as Python packs it, with `lead` bytes before it that are not its own. */
function packed(header, rows, lead = 0) {
  const text = new TextEncoder().encode(JSON.stringify(header));
  const padded = Math.ceil(text.length / 4) * 4;
  const message = new Uint8Array(lead + 4 + padded + 4 * rows.length).fill(32);
  const view = new DataView(message.buffer);
  view.setUint32(lead, padded, true);
  message.set(text, lead + 4);
  rows.forEach((value, i) => view.setFloat32(lead + 4 + padded + 4 * i, value, true));
  return message.subarray(lead);
}

const HEADER = {
  points: 4,
  cycleDegrees: 720,
  cylinders: 2,
  speed: 3,
  gasSpeeds: [2, 4],
  like: [
    [0, 0],
    [0, 1],
  ],
  rows: {
    force: { gas: 0, inertia: 8, shape: [1], courses: 2, perCylinder: true },
    moment: { inertia: 12, shape: [2], perCylinder: false },
  },
  orders: {
    force: { gas: [[[[3, 0]]], [[[5, 0]]]], inertia: [[[0, 1]]] },
    moment: { inertia: [[[0.5, 0]]] },
  },
};
const GAS = [
  [10, 20, 30, 40],
  [30, 40, 50, 60],
];
const INERTIA = [1, 0, -1, 0];
const ROWS = [...GAS.flat(), ...INERTIA, 1, 2, 3, 4, 5, 6, 7, 8];
const scene = decodeScene(packed(HEADER, ROWS));

test("a message is read wherever it lies in memory", () => {
  for (const lead of [0, 1, 2, 3, 4]) {
    const { floats, step } = decodeScene(packed(HEADER, ROWS, lead));
    assert.deepEqual([...floats], ROWS);
    assert.equal(step, 180);
  }
});

test("gas is blended by speed, and inertia grows with its square", () => {
  assert.deepEqual([...scene.curve("force", "gas")], [20, 30, 40, 50]);
  assert.deepEqual([...scene.curve("force", "inertia")], [9, 0, -9, 0]);
  assert.deepEqual([...scene.curve("force", "both")], [29, 30, 31, 50]);
});

test("gas beyond the speeds that are given is that of the nearest", () => {
  assert.deepEqual([...scene.at(1).curve("force", "gas")], GAS[0]);
  assert.deepEqual([...scene.at(4).curve("force", "gas")], GAS[1]);
  assert.deepEqual([...scene.at(9).curve("force", "gas")], GAS[1]);
  assert.deepEqual([...scene.curve("force", "gas")], [20, 30, 40, 50]);
});

test("a cylinder that follows another has its row later", () => {
  assert.deepEqual([...scene.curve("force", "gas", 1)], [50, 20, 30, 40]);
});

test("a component of a vector is a row of its own", () => {
  assert.deepEqual([...scene.curve("moment", "inertia", 1)], [45, 54, 63, 72]);
  assert.equal(scene.part("moment", "gas"), null);
});

test("a load between two points lies straight between them", () => {
  assert.equal(scene.load("force", 0, null, 1.5), (30 + 31) / 2);
  assert.equal(scene.load("force", 0, null, 3.5), (50 + 29) / 2);
});

test("sizes of orders are those of gas and inertia together", () => {
  assert.deepEqual(scene.orderSizes("force", 0), [Math.hypot(4, 9)]);
  assert.deepEqual(scene.orderSizes("moment", 0), [4.5]);
});

test("a periodic row has values at any index", () => {
  const row = [0, 10, 20, 30];
  const at = [0, 0.25, 3, 3.5, 4, 7.5, -0.5, -4];
  assert.deepEqual(
    at.map((place) => between(row, place)),
    [0, 2.5, 30, 15, 0, 15, 15, 0],
  );
});
