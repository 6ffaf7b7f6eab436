/* A row of the ladder: a button with the rung's name, track, limit, use and verdict. */

import { element, setText, svg } from "../shared/elements.js";
import { trackParts } from "./ladder_drawing.js";
import { bareSpeed, DAGGER, shareWords, sourceWords } from "./ladder_words.js";

export class LadderRow {
  /** `pick` is called with the key when the row is clicked. */
  constructor(key, pick) {
    const cell = (name) => element("span", { class: name });
    this.part = cell("of-part");
    this.label = cell("label");
    this.track = svg("svg", { class: "track", "aria-hidden": "true" });
    this.limit = cell("limit number");
    this.use = cell("use number");
    this.usedAt = cell("used-at number");
    this.verdict = cell("verdict");
    this.leftOut = cell("left-out");
    this.known = cell("known");
    this.bandEnds = element("span", { class: "band-ends", "aria-hidden": "true" });
    this.node = element(
      "button",
      { class: "rung", "data-rung": key, tabindex: -1, onclick: () => pick(key) },
      element("span", { class: "name" }, this.part, " ", this.label),
      this.track,
      this.limit,
      this.use,
      this.usedAt,
      this.verdict,
      this.leftOut,
      this.known,
      this.bandEnds,
    );
  }

  show(rung, scale, isFirst) {
    this.node.dataset.verdict = rung.verdict;
    this.node.classList.toggle("first", isFirst);
    this.node.title =
      `${rung.part}: ${rung.label}. ${rung.value_text} at ${rung.used_at}, at maximum use; ` +
      `${rung.allowable_text} allowed. ${rung.margin_text}${misfireWords(rung)}${aside(rung)}`;
    setText(this.part, rung.part);
    setText(this.label, rung.label);
    const others = rung.band?.text ? [hidden(`, ${rung.band.text} by other models`)] : [];
    setText(this.bandEnds, rung.band?.text ? `other models: ${rung.band.text}` : "");
    const change = rung.change_text ? [hidden(`, changed by ${rung.change_text}`)] : [];
    this.limit.replaceChildren(
      hidden(", limit "),
      element("span", { class: "words" }, bareSpeed(rung.limit_text), ...others, ...change),
      hidden(misfireWords(rung)),
    );
    this.use.replaceChildren(
      shareWords(rung.use),
      hidden(" of the allowable used, maximum up to the rated speed, at "),
    );
    this.usedAt.replaceChildren(bareSpeed(rung.used_at), hidden(" rpm, "));
    setText(this.verdict, rung.verdict);
    this.leftOut.replaceChildren(...leftOutSign(rung));
    this.known.replaceChildren(hidden(", allowable "), sourceWords(rung));
    this.track.replaceChildren(...trackParts(scale, rung));
  }

  /** Show whether this is the rung that is shown in detail; Tab goes to that one alone. */
  showCurrent(isCurrent) {
    this.node.tabIndex = isCurrent ? 0 : -1;
    if (isCurrent) this.node.setAttribute("aria-current", "true");
    else this.node.removeAttribute("aria-current");
  }
}

/** What the second mark stands for, as a sentence; empty without one. */
function misfireWords({ misfire }) {
  return misfire ? `. With the worst cylinder misfiring, ${misfire.words}` : "";
}

/** A dagger where something is left out that applies, and in words what. */
function leftOutSign({ left_out: leftOut = [] }) {
  if (!leftOut.length) return [];
  return [
    element("span", { "aria-hidden": "true" }, DAGGER),
    hidden(", something left out applies, "),
  ];
}

/** Left-out words for the row's title. */
function aside({ left_out: leftOut = [] }) {
  return leftOut.map((words) => `\n${DAGGER} ${words}`).join("");
}

function hidden(text) {
  return element("span", { class: "hidden" }, text);
}
