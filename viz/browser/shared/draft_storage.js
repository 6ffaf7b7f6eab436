/* The design and its steps as this tab stores them. */

import { nearestSteps, STORED_STEPS } from "./undo_storage.js";

const DRAFT = "sixthrow-draft";

/**
 * Store a design and its steps; of too little room the oldest steps go first, then all of them,
 * then the variants, then the reference; storage may also be shut off.
 */
export function storeDraft(draft) {
  const fewer = (most) => ({ ...draft, steps: nearestSteps(draft.steps, most) });
  for (const smaller of [
    () => fewer(STORED_STEPS),
    () => fewer(STORED_STEPS / 10),
    () => fewer(0),
    () => ({ ...fewer(0), variants: [] }),
    () => ({ ...fewer(0), variants: [], reference: null }),
  ]) {
    try {
      sessionStorage.setItem(DRAFT, JSON.stringify(smaller()));
      return;
    } catch {
      /* the next is smaller */
    }
  }
}

/** The stored design, null where there is none. */
export function storedDraft() {
  try {
    const stored = JSON.parse(sessionStorage.getItem(DRAFT));
    return typeof stored?.text === "string" ? stored : null;
  } catch {
    return null;
  }
}
