/* Which key presses undo and redo. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { historyKey } from "../../viz/browser/shared/keys.js";

test("Ctrl or ⌘ with Z undoes, with Shift Z or Y it redoes", () => {
  assert.equal(historyKey({ key: "z", ctrlKey: true }), "undo");
  assert.equal(historyKey({ key: "z", metaKey: true }), "undo");
  assert.equal(historyKey({ key: "Z", ctrlKey: true, shiftKey: true }), "redo");
  assert.equal(historyKey({ key: "y", ctrlKey: true }), "redo");
});

test("other keys and those with Alt do neither", () => {
  assert.equal(historyKey({ key: "z" }), null);
  assert.equal(historyKey({ key: "x", ctrlKey: true }), null);
  assert.equal(historyKey({ key: "z", ctrlKey: true, altKey: true }), null);
});
