/* Links that hold a design: one that no page would open is refused when it is made. */

import assert from "node:assert/strict";
import { test } from "node:test";

globalThis.window = {
  location: { origin: "http://localhost", pathname: "/limits", hash: "", search: "" },
};
const { linkOf, linkedScene } = await import("../../viz/browser/shared/share_link.js");

/** Text that deflate cannot shorten much. */
function noise(length) {
  let state = 1;
  const letters = Array.from({ length }, () => {
    state = (state * 48271) % 2147483647;
    return String.fromCharCode(33 + (state % 90));
  });
  return letters.join("");
}

test("a link opens as what it was made of", async () => {
  const link = await linkOf({ text: "name = 'a'", place: 3 });
  window.location.hash = link.slice(link.indexOf("#"));
  assert.deepEqual(await linkedScene(), { text: "name = 'a'", place: 3 });
});

test("a design too long for a link is refused, with its length", async () => {
  await assert.rejects(linkOf({ text: noise(250_000) }), /at most 200000 characters \(got \d{6}\)/);
});
