/* The units in which quantities are shown on this page. */

import { formatNumber, withUnit } from "./number_words.js";
import { pageState } from "./page_state.js";

/**
 * The unit in which a quantity is shown on this page: its `symbol`, and `si`, the SI value of one.
 */
export function shownUnit(key) {
  pageState.units ??= JSON.parse(document.getElementById("units").textContent);
  return pageState.units[key];
}

/** A value in the unit shown, with it; `key` is the unit's in the design file. */
export function withShownUnit(value, key, digits = 3) {
  return withUnit(formatNumber(value, digits), shownUnit(key).symbol);
}
