/* A lesson's plot in words, and as a table. */

import { formatShort } from "../shared/number_words.js";

/** The plot in words: its axes, the range of each line, the critical speeds. */
export function plotWords({ axes, truth, points }) {
  const title = `${axes.yLabel || "value"} over ${axes.xLabel}`;
  if (!truth) return `${title}; ${points.length} points to set`;
  const lines = truth.lines.map(({ label, y }) => {
    const known = y.filter((value) => value !== null);
    return `${label} from ${formatShort(known[0], 4)} to ${formatShort(known.at(-1), 4)}`;
  });
  const criticals = (truth.criticals ?? []).map(
    ({ x, words }) => `order ${words} at ${formatShort(x, 4)}`,
  );
  const crossings = criticals.length ? `; critical speeds: ${criticals.join(", ")}` : "";
  return `${title}: ${lines.join("; ")}${crossings}`;
}

/** The plot as a table, the student's drawing last. */
export function plotTable({ axes, truth, points }) {
  const lines = truth?.lines ?? [];
  const rows = lines.flatMap(({ label, y }) => truth.x.map((x, i) => [label, x, y[i] ?? ""]));
  const drawn = points.map((y, i) => ["your drawing", axes.places[i], y]);
  return { head: ["What", axes.xLabel, axes.yLabel || "value"], rows: [...rows, ...drawn] };
}
