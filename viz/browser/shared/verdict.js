/* The ladder's verdict, for what asks no Python. */

/**
 * The ladder's verdict on a criterion that is first over at a speed; as `Ladder.verdict` decides.
 */
export function verdictOf(firstOver, rated, redline) {
  if (firstOver <= rated) return "over";
  return firstOver < redline ? "marginal" : "within";
}
