/* The ladder's verdict, for what asks no Python. */

/**
 * The ladder's verdict on a criterion that is first over at a speed; as `Ladder.verdict` decides.
 * `doubted`: what is left out exceeds the allowable by itself, so it is marginal at best.
 */
export function verdictOf(firstOver, rated, redline, doubted = false) {
  if (firstOver <= rated) return "over";
  return doubted || firstOver < redline ? "marginal" : "within";
}
