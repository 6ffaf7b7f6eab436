/* The keys of a page, and those of undo and redo. */

import { element } from "./elements.js";

/** A dialog that lists keys, each [key, what it does]. */
export function keysDialog(keys) {
  const entries = keys.flatMap(([key, what]) => [element("dt", {}, key), element("dd", {}, what)]);
  return element(
    "dialog",
    { "aria-label": "Keys" },
    element("h2", {}, "Keys"),
    element("dl", {}, ...entries),
    element("form", { method: "dialog" }, element("button", {}, "Close")),
  );
}

/** Which of undo and redo a key press asks for, null for another key. */
export function historyKey({ key, ctrlKey, metaKey, altKey, shiftKey }) {
  if (!(ctrlKey || metaKey) || altKey) return null;
  const letter = key.toLowerCase();
  if (letter === "y") return "redo";
  if (letter !== "z") return null;
  return shiftKey ? "redo" : "undo";
}

/** Whether an element is being typed in, and has an undo of its own. */
export function isTypedIn(target) {
  return (
    target instanceof HTMLElement &&
    target.matches("input:not([type=range], [type=checkbox]), textarea")
  );
}
