/* A tab stores a fresh draft before its page is left, and a page that stays can be left again. */

import assert from "node:assert/strict";
import { test } from "node:test";

const stored = new Map();
globalThis.sessionStorage = {
  getItem: (key) => stored.get(key) ?? null,
  setItem: (key, text) => stored.set(key, text),
};
const { TabDraft } = await import("../../viz/browser/shared/tab_draft.js");

function tab() {
  const sent = [];
  const draft = new TabDraft({ page: "Limits", pages: [] }, (kind, fields) => sent.push(fields));
  return { draft, sent };
}

test("a page is left once, with the draft that was asked for", (t) => {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const { draft, sent } = tab();
  let left = 0;
  draft.leave(() => (left += 1));
  draft.leaveWith(sent[0].serial - 1);
  assert.equal(left, 0);
  draft.leaveWith(sent[0].serial);
  t.mock.timers.tick(10_000);
  assert.equal(left, 1);
});

test("a page that stays can be left again", (t) => {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const { draft, sent } = tab();
  let left = 0;
  for (let time = 0; time < 2; time++) {
    draft.leave(() => (left += 1));
    draft.leaveWith(sent[time].serial);
  }
  assert.equal(left, 2);
});

test("a server that does not answer holds nobody back", (t) => {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const { draft } = tab();
  let left = 0;
  draft.leave(() => (left += 1));
  draft.leave(() => (left += 1));
  t.mock.timers.tick(10_000);
  assert.equal(left, 1);
});
