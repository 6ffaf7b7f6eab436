/* A box for a number: keys step it, and what cannot be read is said below it. */

import { element, setText } from "./elements.js";
import { isBlank, parseNumber } from "./typed_number.js";

const LEAP = 10; // steps with Shift or a Page key

/** The line below a control that says why its value is rejected, hidden until there is a reason. */
export function problemLine(id) {
  const line = { class: "problem", id: id && `${id}-problem`, role: "alert", hidden: true };
  return element("p", line);
}

export class NumberBox {
  /**
   * `step` is what an arrow key adds, `min` the minimum that keys go down to; the rest are
   * attributes.
   * @param {Record<string, any>} given
   */
  constructor({ id = undefined, value = "", step = 1, min = -Infinity, ...attributes }) {
    this.step = step;
    this.min = min;
    this.misread = false;
    this.problem = problemLine(id);
    this.input = element("input", {
      id,
      type: "text",
      inputmode: "decimal",
      role: "spinbutton",
      class: "number",
      autocomplete: "off",
      spellcheck: "false",
      "aria-errormessage": id && `${id}-problem`,
      value,
      ...attributes,
    });
    this.input.addEventListener("keydown", (event) => this.key(event));
    this.input.addEventListener("input", () => this.tellValue());
    this.tellValue();
  }

  /**
   * The number typed, null if the box is empty; undefined, and a message beside it, if it is none.
   */
  read() {
    if (isBlank(this.input.value)) {
      this.say("");
      return null;
    }
    const { value, problem = "" } = parseNumber(this.input.value);
    this.say(problem);
    this.misread = problem !== "";
    return value;
  }

  /** Show a value; a message about what was typed before goes. */
  show(value) {
    this.input.value = value;
    this.tellValue();
    if (this.misread) this.say("");
  }

  /** Say what is wrong beside the box, or nothing. */
  say(text) {
    this.misread = false;
    sayBelow(this.input, this.problem, text);
  }

  /** Tell assistive programs the value. */
  tellValue() {
    const { value } = parseNumber(this.input.value);
    if (value === undefined) this.input.removeAttribute("aria-valuenow");
    else this.input.setAttribute("aria-valuenow", value);
  }

  key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const way = { ArrowUp: 1, ArrowDown: -1, PageUp: LEAP, PageDown: -LEAP }[event.key];
    if (!way || this.input.disabled) return;
    event.preventDefault();
    const value = this.read();
    if (value === undefined) return;
    const leap = event.shiftKey && Math.abs(way) === 1 ? LEAP : 1;
    const next = Math.max((value ?? 0) + way * leap * this.step, this.min);
    this.show(String(Number(next.toPrecision(12))));
    for (const name of ["input", "change"])
      this.input.dispatchEvent(new Event(name, { bubbles: true }));
  }
}

/** Say what is wrong with an input in the paragraph that belongs to it, or nothing. */
export function sayBelow(input, problem, text) {
  problem.hidden = text === "";
  setText(problem, text);
  if (text) input.setAttribute("aria-invalid", "true");
  else input.removeAttribute("aria-invalid");
}

/** The numbers of boxes by name, or null if one cannot be read; every such box says why. */
export function readBoxes(boxes) {
  const read = Object.entries(boxes).map(([name, box]) => [name, box.read()]);
  return read.some(([, value]) => value === undefined) ? null : Object.fromEntries(read);
}
