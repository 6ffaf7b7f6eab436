/* A number that a student gives: a box with its unit, and what it came to. */

import { element, setText } from "../shared/elements.js";
import { parseNumber } from "../shared/typed_number.js";

export class AmountBox {
  /** `give` is called with the number; `label` is the button's. */
  constructor({ unit, give, label, isPrediction }) {
    this.give = give;
    this.isPrediction = isPrediction;
    this.unit = unit;
    this.box = element("input", {
      type: "text",
      inputmode: "decimal",
      autocomplete: "off",
      maxlength: 24,
      "aria-label": unit ? `Your answer in ${unit}` : "Your answer",
      oninput: () => this.typed(),
      onkeydown: (event) => event.key === "Enter" && this.send(),
    });
    this.button = element(
      "button",
      { type: "button", class: "primary", disabled: true, onclick: () => this.send() },
      label,
    );
    this.problem = element("p", { class: "problem", role: "alert", hidden: true });
    this.verdict = element("span", { class: "option-verdict" });
    this.row = element(
      "div",
      { class: "amount" },
      element("label", {}, this.box, ` ${unit}`),
      this.verdict,
    );
    this.node = element("div", {}, this.row, this.problem, this.button);
  }

  typed() {
    this.button.disabled = !this.box.value.trim();
    this.problem.hidden = true;
  }

  send() {
    if (this.button.disabled || this.button.hidden) return;
    const { value, problem } = parseNumber(this.box.value);
    if (problem) setText(this.problem, `Your answer ${problem}.`);
    this.problem.hidden = !problem;
    if (!problem) this.give(value);
  }

  /** Show what was given; `again` lets the student give another number. */
  show({ value, right, good }, again) {
    if (parseNumber(this.box.value).value !== value) this.box.value = String(value);
    const isClosed = !again || good;
    this.box.readOnly = isClosed;
    this.button.hidden = isClosed;
    this.button.disabled = true;
    if (this.isPrediction) setText(this.verdict, `the engine: ${right}`);
    else {
      this.row.classList.toggle("right", good);
      this.row.classList.toggle("wrong", !good);
      setText(this.verdict, good ? "✓ right" : "✗ not quite");
    }
  }
}
