/* The ladder's speed axis and its words. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { LadderScale, ticksBetween } from "../../viz/browser/limits/ladder_scale.js";
import { columnsOf, ladderFigure, rungsByPart } from "../../viz/browser/limits/ladder_columns.js";
import {
  bandWords,
  bareSpeed,
  leftOutWords,
  noteLines,
  shareWords,
} from "../../viz/browser/limits/ladder_words.js";

const LADDER = { low: 1000, top: 20000, rated: 6000, redline: 7000 };

test("the axis ends well past the red line, or where the ladder does", () => {
  assert.equal(new LadderScale(LADDER).end, 1.8 * 7000);
  assert.equal(new LadderScale({ ...LADDER, top: 9000 }).end, 9000);
  assert.equal(new LadderScale({ ...LADDER, redline: null }).end, 1.8 * 6000);
});

test("a speed lies at its share of the axis, and never outside", () => {
  const scale = new LadderScale({ ...LADDER, top: 11000 });
  assert.deepEqual(
    [0, 1000, 6000, 11000, 30000].map((rpm) => scale.at(rpm)),
    [0, 0, 50, 100, 100],
  );
});

test("ticks are round speeds between the ends", () => {
  assert.deepEqual(ticksBetween(1000, 11000), [2000, 4000, 6000, 8000, 10000]);
  assert.deepEqual(ticksBetween(150, 700), [200, 300, 400, 500, 600, 700]);
});

test("the lower of rated speed and red line comes first; one that is none is left out", () => {
  const kinds = (ladder) => new LadderScale(ladder).lines.map(([kind]) => kind);
  assert.deepEqual(kinds(LADDER), ["rated", "redline"]);
  assert.deepEqual(kinds({ ...LADDER, redline: 5000 }), ["redline", "rated"]);
  assert.deepEqual(kinds({ ...LADDER, redline: null }), ["rated"]);
});

test("a rung that gas alone is too much for is met from where that ends", () => {
  const scale = new LadderScale(LADDER);
  assert.equal(scale.metFrom({ over: [] }), 1000);
  assert.equal(scale.metFrom({ over: [[1000, 1800]] }), 1800);
  assert.equal(scale.metFrom({ over: [[7500, 20000]] }), 1000);
});

test("a mark stands at the limit and shows what lies beneath it", () => {
  const scale = new LadderScale(LADDER);
  const mark = (rung) => [scale.limitOf(rung), scale.markOf(rung)];
  assert.deepEqual(mark({ limit: 5900, over: [[5900, 20000]] }), [5900, "over"]);
  assert.deepEqual(mark({ limit: 6500, over: [[6500, 20000]] }), [6500, "marginal"]);
  assert.deepEqual(mark({ limit: null, over: [] }), [Infinity, "within"]);
  assert.deepEqual(mark({ limit: null, over: [[1000, 20000]] }), [1000, "over"]);
  assert.equal(scale.markOf({ limit: 5000, over: [], guide: true }), "guide");
});

test("a stretch that is over is cut at the red line", () => {
  const cut = new LadderScale(LADDER).stretches([[6500, 8000]]);
  assert.deepEqual(cut, [
    { from: 6500, to: 7000, far: false },
    { from: 7000, to: 8000, far: true },
  ]);
});

test("near the rated speed the axis runs from 0.8 to 1.6 of it, past the red line at least", () => {
  const near = (ladder) => new LadderScale({ ...LADDER, ...ladder }, true);
  assert.deepEqual([near({}).start, near({}).end], [0.8 * 6000, 1.6 * 6000]);
  assert.equal(near({ low: 5000 }).start, 5000);
  assert.equal(near({ top: 9000 }).end, 9000);
  assert.equal(near({ redline: 10000 }).end, 1.05 * 10000);
  assert.deepEqual(
    [4800, 7200, 9600].map((rpm) => Math.round(near({}).at(rpm))),
    [0, 50, 100],
  );
});

test("what is over below the axis is told in words, and not drawn", () => {
  const near = new LadderScale(LADDER, true);
  const rung = { limit: null, over: [[1000, 1800]] };
  assert.equal(near.belowWords(rung), "over below 1\u202f800");
  assert.deepEqual(near.stretches(rung.over), []);
  assert.equal(near.belowWords({ ...rung, guide: true }), "");
  assert.equal(near.belowWords({ limit: 8000, over: [[8000, 20000]] }), "");
  assert.equal(new LadderScale(LADDER).belowWords(rung), "");
});

test("a stretch past the end of the axis is not drawn", () => {
  assert.deepEqual(new LadderScale(LADDER).stretches([[15000, 20000]]), []);
});

test("a speed loses its unit, words do not", () => {
  assert.equal(bareSpeed("7 250 rpm"), "7 250");
  assert.equal(bareSpeed("none up to 21 250 rpm"), "none up to 21 250 rpm");
});

test("a share that is none is a dash", () => {
  assert.deepEqual(
    [0.875, null].map((use) => shareWords(use)),
    ["87.5\u202f%", "–"],
  );
});

test("what shares a reason shares a note", () => {
  const lines = noteLines({
    missing: [
      { part: "Rod", label: "bolts", needs: "bolt, limits" },
      { part: "Rod", label: "joint", needs: "bolt, limits" },
    ],
    unjudged: [{ part: "Piston", label: "speed", value_text: "20 m/s", why: "no allowable" }],
  });
  assert.deepEqual(lines, [
    "Not assessed: Rod, bolts; Rod, joint (needs [bolt], [limits] in the design file).",
    "Shown without a verdict: Piston, speed: 20 m/s (no allowable).",
  ]);
});

test("parts follow in the order of their lowest limit", () => {
  const rungs = ["Rod", "Piston", "Rod"].map((part, key) => ({ part, key }));
  assert.deepEqual(
    rungsByPart(rungs).map(([part, own]) => [part, own.map(({ key }) => key)]),
    [
      ["Rod", [0, 2]],
      ["Piston", [1]],
    ],
  );
});

test("against a reference the change stands before the verdict, in the export too", () => {
  const titles = columnsOf({ reference: "Other" }).map(([title]) => title);
  assert.deepEqual(titles.slice(7, 10), ["Margin", "Change from reference", "Verdict"]);
  const rung = { part: "Rod", label: "bolts", change_text: "+120 rpm", use: 0.5 };
  const ladder = { name: "Six", rungs: [rung], rated: 6000, reference: "Other" };
  const { foot, table } = ladderFigure(ladder, null);
  assert.equal(table.rows[0][8], "+120 rpm");
  assert.ok(foot.endsWith("; circles: Other"));
});

test("what is left out makes a mark marginal at best", () => {
  const scale = new LadderScale(LADDER);
  const doubted = (limit) => scale.markOf({ limit, over: [[limit, 20000]], doubted: true });
  assert.deepEqual([8000, 6500, 5900].map(doubted), ["marginal", "marginal", "over"]);
});

test("band and what is left out are words, a dash where there are none", () => {
  const rung = { band: { text: "8 000 rpm (a) to 9 000 rpm (b)" }, left_out: ["One.", "Two."] };
  assert.equal(bandWords(rung), rung.band.text);
  assert.equal(leftOutWords(rung), "One. Two.");
  assert.deepEqual([bandWords({ band: null }), leftOutWords({})], ["–", "–"]);
});
