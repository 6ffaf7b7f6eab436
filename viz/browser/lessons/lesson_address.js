/* The address of a lesson, its step and question: #lesson=3_six_and_four&step=check&question=2. */

/**
 * The lesson, step and question (from 0) that an address names, nulls where it names none.
 * @param {string} hash
 */
export function placeOf(hash) {
  const found = new URLSearchParams(hash.replace(/^#/, ""));
  const question = Math.max(Math.trunc(Number(found.get("question"))) || 1, 1) - 1;
  return { key: found.get("lesson"), step: found.get("step"), question };
}

/** Put a lesson, its step and question into the address, so that it can be copied. */
export function rememberPlace(key, step, question = 0) {
  const { pathname, search } = window.location;
  const place = new URLSearchParams({ lesson: key, step });
  if (step === "check" && question) place.set("question", String(question + 1));
  window.history.replaceState(window.history.state, "", `${pathname}${search}#${place}`);
}
