/* The speeds of the comparison: each design at its rated one, or both at one that can be set. */

import { element, setText } from "../shared/elements.js";
import { NumberBox } from "../shared/number_box.js";
import { formatWhole, withUnit } from "../shared/number_words.js";

export const RATED = "rated";
export const SHARED = "shared";

export class ComparedSpeeds {
  /** `ask` sends a message to Python; `chosen` is called with the view that is chosen. */
  constructor(ask, chosen) {
    this.view = RATED;
    const radio = (view) =>
      element("input", {
        type: "radio",
        name: "speeds",
        value: view,
        checked: view === RATED,
        onchange: () => chosen(view),
      });
    this.radios = { [RATED]: radio(RATED), [SHARED]: radio(SHARED) };
    this.rated = element("span", { class: "number muted" });
    this.rpm = new NumberBox({
      step: 50,
      min: 1,
      "aria-label": "Speed of both, rpm",
      onchange: () => {
        const rpm = this.rpm.read();
        if (rpm === undefined) return; // what is wrong stands beside the box
        chosen(SHARED);
        if (rpm !== null) ask("speed", { rpm });
        this.show(this.sides); // until Python has taken it
      },
    });
    this.node = element(
      "fieldset",
      { class: "speeds" },
      element("legend", { class: "hidden" }, "Speeds of curves and results"),
      element("span", { class: "muted", "aria-hidden": "true" }, "Speeds"),
      element(
        "label",
        {},
        this.radios[RATED],
        element("span", {}, "each at its rated speed"),
        this.rated,
      ),
      element("label", {}, this.radios[SHARED], element("span", {}, "both at")),
      element(
        "span",
        { class: "shared" },
        this.rpm.input,
        element("span", { class: "muted" }, " rpm"),
      ),
      this.rpm.problem,
    );
  }

  show(sides) {
    this.sides = sides;
    const { a, b, rpm } = sides;
    setText(
      this.rated,
      [
        a && `A ${withUnit(formatWhole(a.rated), "rpm")}`,
        b && `B ${withUnit(formatWhole(b.rated), "rpm")}`,
      ]
        .filter(Boolean)
        .join(", "),
    );
    this.rpm.show(String(Number(rpm.toFixed(2))));
  }

  choose(view) {
    this.view = view;
    this.radios[view].checked = true;
  }

  /** Speeds of A and B [rpm] in the view; A's is null where there is no A. */
  get rpms() {
    const { a, b, rpm } = this.sides;
    return this.view === SHARED ? { a: a && rpm, b: rpm } : { a: a && a.rated, b: b.rated };
  }

  /** The speeds in words. */
  get words() {
    const { a, b } = this.rpms;
    if (a === null) return `B at ${withUnit(formatWhole(b), "rpm")}`;
    return this.view === SHARED
      ? `both at ${withUnit(formatWhole(b), "rpm")}`
      : `A at ${withUnit(formatWhole(a), "rpm")}, B at ${withUnit(formatWhole(b), "rpm")}`;
  }
}
