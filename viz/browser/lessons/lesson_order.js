/* The order of options: shuffled, and the same for one student and lesson whenever it is opened. */

const SEED = "sixthrow-lessons-seed";

/** A number of this browser, by which options are shuffled. */
export function studentSeed() {
  try {
    const stored = Number(localStorage.getItem(SEED));
    if (stored > 0) return stored;
    const made = 1 + Math.floor(Math.random() * 2 ** 31);
    localStorage.setItem(SEED, String(made));
    return made;
  } catch {
    return 1; // storage is shut off
  }
}

/** The numbers 0 to `count` − 1 in an order that follows from a seed and a name alone. */
export function shuffledOrder(count, seed, name) {
  const next = randomNumbers(seed, name);
  const order = Array.from({ length: count }, (_, i) => i);
  for (let last = count - 1; last > 0; last--) {
    const other = Math.floor(next() * (last + 1));
    [order[last], order[other]] = [order[other], order[last]];
  }
  return order;
}

/** Even numbers from 0 to 1, by a linear congruence that a hash of the name starts. */
function randomNumbers(seed, name) {
  let state = seed >>> 0;
  for (const letter of name)
    state = (Math.imul(state ^ letter.codePointAt(0), 0x01000193) + 1) >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}
