/* Colours between those of the theme. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { channels, isDark, mix, ramped } from "../../viz/browser/figures/mixed_colours.js";

test("a colour is read in each of its forms", () => {
  for (const colour of ["#18f", "#1188ff", "rgb(17 136 255)", "rgb(17, 136, 255)"]) {
    assert.deepEqual(channels(colour), [17, 136, 255]);
  }
});

test("a share of the way between two colours", () => {
  assert.equal(mix("#000000", "#ffffff", 0), "rgb(0 0 0)");
  assert.equal(mix("#000000", "#c86400", 0.5), "rgb(100 50 0)");
  assert.equal(mix("#000", "#fff", 1), "rgb(255 255 255)");
});

test("a ramp goes through all its colours", () => {
  const stops = ["#000000", "#640000", "#646400"];
  const at = [0, 0.25, 0.5, 0.75, 1].map((share) => channels(ramped(stops, share)));
  assert.deepEqual(at, [
    [0, 0, 0],
    [50, 0, 0],
    [100, 0, 0],
    [100, 50, 0],
    [100, 100, 0],
  ]);
});

test("a ground is dark or light", () => {
  assert.equal(isDark({ paper: "#12161b" }), true);
  assert.equal(isDark({ paper: "#ffffff" }), false);
});
