/* Numbers that people type, read by the rule of apps/controls/form_number.py. */

const SPACE = "[ \u00a0\u2007\u2009\u202f]"; // between groups of three digits
const TYPED = /^([+-]?)([0-9., \u00a0\u2007\u2009\u202f]+)([eE][+-]?[0-9]+)?$/;
const EDGES = /^[\t\n\r \u00a0\u2007\u2009\u202f]+|[\t\n\r \u00a0\u2007\u2009\u202f]+$/g;
const WHOLE = new RegExp(`^(?:[0-9]*|[1-9][0-9]{0,2}(?:${SPACE}[0-9]{3})+)$`);
const PART = new RegExp(`^(?:[0-9]*|[0-9]{3}(?:${SPACE}[0-9]{3})*${SPACE}[0-9]{1,3})$`);
const GROUPED = { ".": /^[1-9][0-9]{0,2}(?:\.[0-9]{3})+$/, ",": /^[1-9][0-9]{0,2}(?:,[0-9]{3})+$/ };
const MOST_QUOTED = 30; // characters of what was typed in a message

/** What is typed, as { value } or { problem }. */
export function parseNumber(text) {
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
  return Number.isFinite(value)
    ? { value }
    : { problem: `must be a finite number (got ${quoted(text)})` };
}

/** Digits before and after the decimal mark, and whether that may be a grouping comma; or null. */
function partedDigits(digits) {
  const mark = digits.lastIndexOf(",") > digits.lastIndexOf(".") ? "," : ".";
  const other = mark === "," ? "." : ",";
  const place = digits.lastIndexOf(mark);
  const [whole, part] =
    place < 0 ? [digits, ""] : [digits.slice(0, place), digits.slice(place + 1)];
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

/** Whether nothing is typed. */
export function isBlank(text) {
  return text.replace(EDGES, "") === "";
}
