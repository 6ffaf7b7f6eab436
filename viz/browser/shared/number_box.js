/* A box for a number: what is typed is read by the rule of apps/controls/form_number.py; keys step it. */

import { element, setText } from "./elements.js";

const SPACE = "[ \u00a0\u2007\u2009\u202f]"; // between groups of three digits
const TYPED = /^([+-]?)([0-9., \u00a0\u2007\u2009\u202f]+)([eE][+-]?[0-9]+)?$/;
const EDGES = /^[\t\n\r \u00a0\u2007\u2009\u202f]+|[\t\n\r \u00a0\u2007\u2009\u202f]+$/g;
const WHOLE = new RegExp(`^(?:[0-9]*|[1-9][0-9]{0,2}(?:${SPACE}[0-9]{3})+)$`);
const PART = new RegExp(`^(?:[0-9]*|[0-9]{3}(?:${SPACE}[0-9]{3})*${SPACE}[0-9]{1,3})$`);
const GROUPED = { ".": /^[1-9][0-9]{0,2}(?:\.[0-9]{3})+$/, ",": /^[1-9][0-9]{0,2}(?:,[0-9]{3})+$/ };
const MOST_QUOTED = 30; // characters of what was typed in a message
const LEAP = 10; // steps with Shift or a Page key

/** What is typed, as { value } or { problem }. */
function parseNumber(text) {
  const typed = text.replace(EDGES, "").replaceAll("−", "-");
  const [, sign, digits, power = ""] = TYPED.exec(typed) ?? [];
  const parted = digits === undefined ? null : partedDigits(digits);
  if (!parted) return { problem: `must be a number such as 1234.5 (got ${quoted(text)})` };
  const { whole, part, isUnclear } = parted;
  if (isUnclear) {
    const ways = [`${sign}${whole}.${part}${power}`, `${sign}${whole}${part}${power}`];
    return { problem: `must be written ${ways.join(" or ")} (got ${quoted(text)})` };
  }
  const value = Number(`${sign}${whole || 0}.${part || 0}${power}`);
  return Number.isFinite(value) ? { value } : { problem: `must be a finite number (got ${quoted(text)})` };
}

/** Digits before and after the decimal mark, and whether that may be a grouping comma; or null. */
function partedDigits(digits) {
  const mark = digits.lastIndexOf(",") > digits.lastIndexOf(".") ? "," : ".";
  const other = mark === "," ? "." : ",";
  const place = digits.lastIndexOf(mark);
  const [whole, part] = place < 0 ? [digits, ""] : [digits.slice(0, place), digits.slice(place + 1)];
  if (whole.includes(other)) {
    const isRight = GROUPED[other].test(whole) && /^[0-9]*$/.test(part);
    return isRight ? { whole: whole.replaceAll(other, ""), part, isUnclear: false } : null;
  }
  if (!WHOLE.test(whole) || !PART.test(part) || !(whole + part)) return null;
  const isUnclear = mark === "," && /^[1-9][0-9]{0,2}$/.test(whole) && /^[0-9]{3}$/.test(part);
  const [plainWhole, plainPart] = [whole, part].map((one) => one.replace(/[^0-9]/g, ""));
  return { whole: plainWhole, part: plainPart, isUnclear };
}

function quoted(text) {
  const letters = [...text];
  return `"${letters.slice(0, MOST_QUOTED).join("")}${letters.length > MOST_QUOTED ? "…" : ""}"`;
}

export class NumberBox {
  /** `step` is what an arrow key adds, `min` the least that keys go down to; the rest are attributes. */
  constructor({ id, value = "", step = 1, min = -Infinity, ...attributes }) {
    Object.assign(this, { step, min, misread: false });
    this.problem = element("p", { class: "problem", id: id && `${id}-problem`, role: "alert", hidden: true });
    this.input = element("input", {
      id, type: "text", inputmode: "decimal", role: "spinbutton", class: "number", autocomplete: "off",
      spellcheck: "false", "aria-errormessage": id && `${id}-problem`, value, ...attributes,
    });
    this.input.addEventListener("keydown", (event) => this.key(event));
    this.input.addEventListener("input", () => this.tellValue());
    this.tellValue();
  }

  /** The number typed, null if the box is empty; undefined, and a message beside it, if it is none. */
  read() {
    if (!this.input.value.replace(EDGES, "")) {
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
    for (const name of ["input", "change"]) this.input.dispatchEvent(new Event(name, { bubbles: true }));
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
