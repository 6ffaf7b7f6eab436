/* One of the two designs: which it is, its rated speed, and how to choose another. */

import { element, setText, svg } from "../shared/elements.js";
import { formatWhole, withUnit } from "../shared/number_words.js";
import { fileButton } from "../shared/text_file.js";

const MOST_DESIGN_BYTES = 1_000_000;

export class ComparedSide {
  /** `ask` sends a message to Python; `refuse` says what is wrong with a file. */
  constructor(side, demos, ask, refuse) {
    this.side = side;
    const letter = side.toUpperCase();
    this.own = element("option", { value: "" });
    this.choice = element(
      "select",
      { "aria-label": `Design ${letter}`, onchange: () => this.choose(ask) },
      this.own,
      ...demos.map((name) => element("option", { value: name }, name)),
    );
    this.rated = element("span", { class: "rated number muted" });
    const take = (name, text) => ask("open", { side, name, text });
    this.node = element(
      "div",
      { class: `side ${side}`, role: "group", "aria-label": `Design ${letter}` },
      svg(
        "svg",
        { viewBox: "0 0 34 10", class: "key", "aria-hidden": "true" },
        svg("path", { d: "M1 5H33" }),
      ),
      element("strong", { class: "letter" }, letter),
      this.choice,
      fileButton("Open a file", ".toml", MOST_DESIGN_BYTES, take, refuse),
      this.rated,
    );
  }

  choose(ask) {
    if (this.choice.value) ask("demo", { side: this.side, name: this.choice.value });
    this.show(this.shown); // until Python has taken it
  }

  /** Show what stands on this side, or null where nothing does. */
  show(shown) {
    this.shown = shown;
    setText(this.own, shown ? (shown.demo ? "Other design…" : shown.name) : "Choose a design…");
    this.own.disabled = Boolean(shown?.demo);
    this.choice.value = shown?.demo ?? "";
    this.choice.title = shown ? [shown.name, shown.note].filter(Boolean).join(": ") : "";
    setText(this.rated, shown ? `rated ${withUnit(formatWhole(shown.rated), "rpm")}` : "");
  }
}
