/* Which key presses a view may take, and those of undo and redo. */

/** True if a key press belongs to a field, heading or dialog that is being used. */
export function keyIsTaken(event) {
  if (event.ctrlKey || event.metaKey || event.altKey) return true;
  const path = event.composedPath().filter((node) => node instanceof HTMLElement);
  if (path.some((node) => node.matches("dialog"))) return true;
  return path.length > 0 && path[0].matches("input, select, textarea, summary, [role=tab]");
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
