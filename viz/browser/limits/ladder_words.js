/* What the ladder writes: speeds, shares, sources of allowables, and the notes under it. */

import { formatNumber, formatWhole, unbroken } from "../shared/number_words.js";

const KNOWN = {
  published: "published",
  memory: "memory",
  practice: "practice",
  physics: "equilibrium",
  weak: "weak source",
  given: "given",
};

/** Where an allowable is known from, in words. */
export function sourceWords({ confidence }) {
  return KNOWN[confidence] ?? confidence;
}

export function rpmWords(rpm) {
  return unbroken(formatWhole(rpm));
}

/** A speed without its unit, which the column's head names. */
export function bareSpeed(text) {
  return text.replace(/^([^a-z]*) rpm$/, "$1");
}

/** A share of the allowable in percent, a dash where there is none. */
export function shareWords(use) {
  return Number.isFinite(use) ? `${unbroken(formatNumber(100 * use))}\u202f%` : "–";
}

/** The sign of something left out that applies, in words and tables. */
export const DAGGER = "\u2020";

/** What a rung leaves out and applies to the design, as one text, a dash where nothing does. */
export function leftOutWords({ left_out: leftOut = [] }) {
  return leftOut.join(" ") || "–";
}

/** The limit by other models with their names, a dash without a band. */
export function bandWords({ band }) {
  return band?.text || "–";
}

/** What is not assessed, and what is shown without a verdict, each with the reason. */
export function noteLines({ missing = [], unjudged = [] }) {
  const bracketed = (needs) =>
    needs
      .split(", ")
      .map((field) => `[${field}]`)
      .join(", ");
  const name = ({ part, label }) => `${part}, ${label}`;
  const notAssessed = gathered(missing, ({ needs }) => needs, name);
  const noVerdict = gathered(
    unjudged,
    ({ why }) => why,
    (rung) => `${name(rung)}: ${rung.value_text}`,
  );
  return [
    ...notAssessed.map(
      ([needs, words]) => `Not assessed: ${words} (needs ${bracketed(needs)} in the design file).`,
    ),
    ...noVerdict.map(([why, words]) => `Shown without a verdict: ${words} (${why}).`),
  ];
}

/** The words of all that share a reason, joined: pairs of reason and words. */
export function gathered(things, reasonOf, wordsOf) {
  const found = new Map();
  for (const thing of things) {
    const reason = reasonOf(thing);
    found.set(reason, [...(found.get(reason) ?? []), wordsOf(thing)]);
  }
  return [...found].map(([reason, words]) => [reason, words.join("; ")]);
}
