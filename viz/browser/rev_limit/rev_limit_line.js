/*
 * One line of the rev limit: its mark, its sentence, its true number, its strip along the speeds.
 */

import { verdictMark } from "../figures/marks.js";
import { element, setText } from "../shared/elements.js";
import { verdictOf } from "../shared/verdict.js";
import { firstOver, lineAt, loadText, rpmText, spokenNumber } from "./rev_limit_numbers.js";

export class RevLimitLine {
  /** `frame` has low, top, rated, redline, cycle; `ask` is called with the key for the formula. */
  constructor(line, frame, ask) {
    this.line = line;
    this.frame = frame;
    this.mark = element("span", { class: "mark" });
    this.word = element("span", { class: "verdict-word" });
    this.sentence = element("p", { class: "spoken" });
    this.number = element("strong", { class: "number" });
    this.judged = element("span", { class: "number judged" });
    this.cursor = element("span", { class: "cursor" });
    const how = element(
      "button",
      {
        type: "button",
        "aria-label": `How it is computed: ${line.group}, ${line.label}`,
        onclick: () => ask(line.key),
      },
      "How?",
    );
    this.node = element(
      "li",
      { class: `line ${line.key === frame.first ? "first-limit" : ""}`, "data-line": line.key },
      element("span", { class: "verdict" }, this.mark, this.word),
      element(
        "div",
        { class: "words" },
        element("span", { class: "hidden" }, `${line.group}: `),
        this.sentence,
        element(
          "p",
          { class: "true muted" },
          this.number,
          ` ${line.spoken_label}`,
          this.judged,
          how,
        ),
      ),
      element(
        "div",
        { class: "strip", "aria-hidden": "true" },
        element("div", { class: "track" }, ...this.zones(), this.cursor),
      ),
      element("span", { class: "hidden" }, this.inWords()),
    );
  }

  /** Where the strip changes, said for those who do not see it. */
  inWords() {
    const start = firstOver(this.line.over);
    const { low, top } = this.frame;
    if (this.line.guide)
      return start < top
        ? `Guide value reached at ${rpmText(start)} rpm.`
        : `Guide value not reached up to ${rpmText(top)} rpm.`;
    if (start >= top) return `Within up to ${rpmText(top)} rpm.`;
    const reference =
      this.line.reference === null ? "" : ` Reference: ${rpmText(this.line.reference)} rpm.`;
    return (start <= low ? "Over at every speed." : `Over from ${rpmText(start)} rpm.`) + reference;
  }

  at(rpm) {
    return (
      Math.min(Math.max((rpm - this.frame.low) / (this.frame.top - this.frame.low), 0), 1) * 100
    );
  }

  /** The strip's stretches: thin where within, barred where marginal, hatched where over, and
   * thin in the same colour beyond what has to be passed through. */
  zones() {
    const { line, frame } = this;
    const start = firstOver(line.over);
    const amber = start / (frame.redline / frame.rated);
    const zone = (kind, from, to) => {
      const [left, right] = [this.at(from), this.at(to)];
      return right > left
        ? element("span", { class: `zone ${kind}`, style: `left:${left}%;width:${right - left}%` })
        : null;
    };
    const line_at = (kind, rpm) =>
      element("span", { class: `at ${kind}`, style: `left:${this.at(rpm)}%` });
    const tag =
      start > frame.low && start < frame.top
        ? element(
            "span",
            {
              class: `tag number ${this.at(start) > 82 ? "to-left" : ""}`,
              style: `left:${this.at(start)}%`,
            },
            rpmText(start),
          )
        : null;
    return [
      line.from > frame.low + 1 ? zone("unjudged", frame.low, line.from) : null,
      ...(line.guide
        ? [zone("guide", Math.max(frame.low, line.from), frame.top)]
        : [
            zone(line.doubted ? "marginal" : "within", Math.max(frame.low, line.from), amber),
            zone("marginal", Math.max(amber, line.from), start),
            zone("passed", Math.max(start, frame.low), frame.top),
            ...line.over.map(([from, to]) =>
              zone("over", Math.max(from, frame.low), Math.min(to, frame.top)),
            ),
          ]),
      line_at("rated", frame.rated),
      line_at("redline", frame.redline),
      tag,
      line.reference === null
        ? null
        : element("span", { class: "reference-mark", style: `left:${this.at(line.reference)}%` }),
    ].filter(Boolean);
  }

  show(rpm) {
    const { line, frame } = this;
    const below = rpm < line.from - 0.5;
    const now = lineAt(line, below ? line.from : rpm, frame.cycle);
    const verdict = below
      ? "unjudged"
      : line.guide
        ? "guide"
        : verdictOf(firstOver(line.over), rpm, rpm * (frame.redline / frame.rated), line.doubted);
    if (verdict !== this.verdict) this.showVerdict(verdict);
    this.say(
      below
        ? `Below ${rpmText(line.from)} rpm, below full load, this is not assessed.`
        : now.sentence.words,
      now.numbers,
    );
    this.cursor.style.left = `${this.at(rpm)}%`;
    setText(this.number, below ? "–" : loadText(now.spoken, line.spoken_unit));
    setText(this.judged, below ? "" : this.against(now, verdict));
  }

  /** The sentence as it reads at a speed. */
  toldAt(rpm) {
    const { sentence, numbers } = lineAt(
      this.line,
      Math.max(rpm, this.line.from),
      this.frame.cycle,
    );
    return sentence.words.replace(/\{(\w+)\}/g, (_, name) => numbers[name] ?? "–");
  }

  showVerdict(verdict) {
    this.verdict = verdict;
    this.node.dataset.verdict = verdict;
    this.mark.replaceChildren(...(verdict === "unjudged" ? ["–"] : [verdictMark(verdict)]));
    setText(this.word, verdict === "unjudged" ? "" : verdict);
  }

  /** The criterion's value against what is allowed. */
  against({ value, use }, verdict) {
    const { line } = this;
    const bound = `${line.at_least ? "at least" : "at most"} ${loadText(line.allowed, line.unit)}`;
    const share = use === null ? "far over" : `${spokenNumber(100 * use, 3)} % used`;
    const lower = verdict === "over" && use !== null && use <= 1 ? ", over at lower speed" : "";
    return line.spoken
      ? ` · ${line.label}: ${loadText(value, line.unit)}, ${bound}, ${share}${lower}`
      : `, ${bound}: ${share}${lower} · ${line.label}`;
  }

  /** Set the sentence; its numbers stand out, and only they change while the words stay. */
  say(words, numbers) {
    if (words !== this.words) {
      this.words = words;
      this.slots = [];
      const parts = words.split(/\{(\w+)\}/).map((part, place) => {
        if (place % 2 === 0) return part;
        const slot = element("strong", { class: "number" });
        this.slots.push([part, slot]);
        return slot;
      });
      this.sentence.replaceChildren(...parts);
    }
    for (const [name, slot] of this.slots) setText(slot, numbers[name] ?? "–");
  }
}
