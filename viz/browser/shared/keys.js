/* Which key presses a view may take. */

/** True if a key press belongs to a field, heading or dialog that is being used. */
export function keyIsTaken(event) {
  if (event.ctrlKey || event.metaKey || event.altKey) return true;
  const path = event.composedPath().filter((node) => node instanceof HTMLElement);
  if (path.some((node) => node.matches("dialog"))) return true;
  return path.length > 0 && path[0].matches("input, select, textarea, summary, [role=tab]");
}
