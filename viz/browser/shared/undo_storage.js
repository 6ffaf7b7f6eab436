/* The steps that can be undone and redone, as this tab keeps them: each says what its text
 * changes, line by line, in that of the step nearer to the design that is shown. */

export const STORED_STEPS = 1_000_000; // characters
const NO_CHANGE = { removed: 0, new: [], count: Infinity };

/**
 * The steps after a draft came: `kept` holds text and steps of before, `changes` what changed.
 * What a tab kept in another form is let go; a page that tells nothing of steps leaves them.
 */
export function followedSteps(kept, changes, text) {
  try {
    const followed = (name) =>
      follow([...(kept.steps?.[name] ?? [])], changes?.[name] ?? NO_CHANGE, kept.text ?? "", text);
    return { past: followed("past"), future: followed("future") };
  } catch {
    return { past: [], future: [] };
  }
}

/** The steps that lead back from another design to what this tab kept. */
export function stepsBack(kept, text) {
  if (typeof kept.text !== "string") return { past: [], future: [] };
  const step = { text: kept.text, rpm: kept.rpm, demo: kept.demo ?? "" };
  return followedSteps(
    kept,
    { past: { ...NO_CHANGE, new: [step] }, future: { ...NO_CHANGE, count: 0 } },
    text,
  );
}

/** Steps cut to a number of characters: those nearest to the present stay. */
export function nearestSteps({ past = [], future = [] } = {}, most = STORED_STEPS) {
  let room = most;
  const cut = (stack) => {
    let first = stack.length;
    while (first > 0 && (room -= JSON.stringify(stack[first - 1]).length) >= 0) first -= 1;
    return stack.slice(first);
  };
  return { past: cut(past), future: cut(future) };
}

/** The steps with some taken away and new ones put there; the nearest is stored against `now`. */
function follow(stack, { removed, new: added, count }, before, now) {
  let text = before;
  for (let i = 0; i < removed && stack.length > 0; i += 1) text = changedText(stack.pop(), text);
  for (const { text: next, ...step } of added) {
    storeAgainst(stack, text, next);
    stack.push({ ...step, ...changeOf(next, next) });
    text = next;
  }
  storeAgainst(stack, text, now);
  stack.splice(0, Math.max(0, stack.length - count));
  return stack;
}

/** Store the nearest step against another text than the one it was stored against. */
function storeAgainst(stack, from, to) {
  if (stack.length === 0) return;
  const nearest = stack.pop();
  stack.push({ ...nearest, ...changeOf(changedText(nearest, from), to) });
}

/** What a text changes in another: lines of it at the head and the tail, and those put between. */
function changeOf(text, near) {
  const [lines, others] = [text.split("\n"), near.split("\n")];
  const most = Math.min(lines.length, others.length);
  let head = 0;
  while (head < most && lines[head] === others[head]) head += 1;
  let tail = 0;
  while (tail < most - head && lines.at(-1 - tail) === others.at(-1 - tail)) tail += 1;
  return { head, tail, put: lines.slice(head, lines.length - tail) };
}

function changedText({ head, tail, put }, near) {
  const lines = near.split("\n");
  return [...lines.slice(0, head), ...put, ...lines.slice(Math.max(lines.length - tail, 0))].join(
    "\n",
  );
}
