/* Steps to undo are stored as what each changes, and lead back to every text. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { followedSteps, nearestSteps, stepsBack } from "../../viz/browser/shared/undo_storage.js";

const text = (bore, stroke) => `[cylinder]\nbore_mm = ${bore}\nstroke_mm = ${stroke}\n`;
const STAYS = { removed: 0, new: [], count: Infinity };

/** The texts that steps lead back to, the nearest first. */
function ledTo(steps, now) {
  const texts = [];
  for (const { head, tail, put } of [...steps].reverse()) {
    const near = (texts.at(-1) ?? now).split("\n");
    texts.push([...near.slice(0, head), ...put, ...near.slice(near.length - tail)].join("\n"));
  }
  return texts;
}

/** Make changes one after another: the text of before becomes a step. */
function changed(texts) {
  let kept = { text: texts[0] };
  for (const next of texts.slice(1)) {
    const changes = { past: { ...STAYS, new: [{ text: kept.text, rpm: 1 }] }, future: STAYS };
    kept = { text: next, steps: followedSteps(kept, changes, next) };
  }
  return kept;
}

test("steps lead back to every text", () => {
  const texts = [text(80, 70), text(81, 70), text(81, 90.5), "", text(81, 90.5), text(1, 2)];
  const { steps, text: now } = changed(texts);
  assert.deepEqual(ledTo(steps.past, now), texts.slice(0, -1).reverse());
  assert.deepEqual(
    steps.past.map(({ rpm }) => rpm),
    texts.slice(1).map(() => 1),
  );
});

test("a step holds the changed lines alone", () => {
  const { steps } = changed([text(80, 70), text(80, 71)]);
  assert.deepEqual(steps.past[0].put, ["stroke_mm = 70"]);
});

test("steps taken away are gone, and the rest still lead back", () => {
  const texts = [text(80, 70), text(81, 70), text(82, 71)];
  const kept = changed(texts);
  const undone = { past: { ...STAYS, removed: 1 }, future: STAYS };
  const { past } = followedSteps(kept, undone, texts[1]);
  assert.deepEqual(ledTo(past, texts[1]), [texts[0]]);
});

test("no more steps stay than are told", () => {
  const kept = changed([1, 2, 3, 4].map((bore) => text(bore, 1)));
  const { past } = followedSteps(kept, { past: { ...STAYS, count: 2 }, future: STAYS }, kept.text);
  assert.deepEqual(ledTo(past, kept.text), [text(3, 1), text(2, 1)]);
});

test("another design leads back to what was kept", () => {
  const { past, future } = stepsBack({ text: text(80, 70), rpm: 6000 }, text(90, 50));
  assert.deepEqual(ledTo(past, text(90, 50)), [text(80, 70)]);
  assert.deepEqual(future, []);
  assert.deepEqual(stepsBack({}, "x"), { past: [], future: [] });
});

test("what was stored in another form is dropped", () => {
  const steps = followedSteps({ text: "a", steps: { past: [null] } }, undefined, "b");
  assert.deepEqual(steps, { past: [], future: [] });
});

test("where there is little room, the nearest steps stay", () => {
  const { steps } = changed([1, 2, 3, 4].map((bore) => text(bore, 1)));
  const room = JSON.stringify(steps.past.at(-1)).length + JSON.stringify(steps.past.at(-2)).length;
  assert.deepEqual(nearestSteps(steps, room).past, steps.past.slice(-2));
  assert.deepEqual(nearestSteps(steps, room - 1).past, steps.past.slice(-1));
  assert.deepEqual(nearestSteps(undefined), { past: [], future: [] });
});
