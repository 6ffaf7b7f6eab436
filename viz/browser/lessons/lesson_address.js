/* The address of a lesson and its step: #lesson=3_six_and_four&step=why. */

/**
 * The lesson and step that an address names, nulls where it names none.
 * @param {string} hash
 */
export function placeOf(hash) {
  const found = new URLSearchParams(hash.replace(/^#/, ""));
  return { key: found.get("lesson"), step: found.get("step") };
}

/** Put a lesson and its step into the address, so that it can be copied. */
export function rememberPlace(key, step) {
  const { pathname, search } = window.location;
  const place = new URLSearchParams({ lesson: key, step });
  window.history.replaceState(window.history.state, "", `${pathname}${search}#${place}`);
}
