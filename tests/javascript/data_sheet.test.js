/* Cells of the data sheet that a paste changes, and rows that a filter shows. */

import assert from "node:assert/strict";
import { test } from "node:test";

import {
  isBlock,
  isShown,
  originCounts,
  pastedCells,
} from "../../viz/browser/data_sheet/sheet_cells.js";

const KEYS = ["a", "b", "c"];

test("a pasted column goes down the rows", () => {
  const { cells, beyond } = pastedCells("1\r\n2,5\r\n", "value", KEYS);
  assert.deepEqual(cells, [
    { key: "a", column: "value", text: "1" },
    { key: "b", column: "value", text: "2,5" },
  ]);
  assert.equal(beyond, 0);
});

test("a pasted block goes across value, origin and note; an empty cell changes nothing", () => {
  const { cells } = pastedCells("1\tdrawing\tsheet 3\tmore\n\tmeasured\t\n", "value", KEYS);
  assert.deepEqual(cells, [
    { key: "a", column: "value", text: "1" },
    { key: "a", column: "origin", text: "drawing" },
    { key: "a", column: "note", text: "sheet 3" },
    { key: "b", column: "origin", text: "measured" },
  ]);
  assert.deepEqual(pastedCells("x\ty", "note", ["a"]).cells, [
    { key: "a", column: "note", text: "x" },
  ]);
});

test("lines beyond the last row are counted", () => {
  const { cells, beyond } = pastedCells("1\n2\n3\n4\n\n5\n", "value", ["a", "b"]);
  assert.equal(cells.length, 2);
  assert.equal(beyond, 3);
});

test("one cell is no block", () => {
  assert.deepEqual(["1", "1\n", "1\t2", "1\n2", " a b "].map(isBlock), [
    false,
    false,
    true,
    true,
    false,
  ]);
});

test("a row is shown by its origin and by every word of the search", () => {
  const row = {
    key: "rod.mass_g",
    label: "Rod mass",
    origin: "measured",
    note: "scale",
    value: "1",
  };
  const shown = (origin, search) => isShown(row, { origin, search, title: "Rod" });
  assert.ok(shown("", ""));
  assert.ok(shown("measured", "SCALE rod"));
  assert.ok(!shown("drawing", ""));
  assert.ok(!shown("", "rod bolt"));
  assert.deepEqual(Object.fromEntries(originCounts([row, row, { origin: null }])), { measured: 2 });
});
