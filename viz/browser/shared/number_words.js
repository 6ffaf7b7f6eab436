/* Numbers as people read them: the rule stands in viz/number_words.py and is the same here.
 * This file stands in the head of every page, so all that draws there has its functions. */

const THIN_SPACE = "\u2009";
const SINGLE_DIGITS = 7; // what a single-precision number carries
const WRITTEN_WHOLE = 1e15; // from which on a whole number has digits that mean nothing
const ROUNDING = 1e-6; // of the largest value: what single-precision sums leave where nothing is
const SUPERSCRIPT = {
  "-": "⁻",
  0: "⁰",
  1: "¹",
  2: "²",
  3: "³",
  4: "⁴",
  5: "⁵",
  6: "⁶",
  7: "⁷",
  8: "⁸",
  9: "⁹",
};

/** A number with that many significant digits, thin spaces and a true minus sign. */
export function formatNumber(value, digits = 3) {
  if (!Number.isFinite(value)) return "–";
  if (value === 0) return "0";
  let [figures, exponent] = figuresOf(value, Math.max(digits, SINGLE_DIGITS));
  figures = String(halfUp(Number(figures), figures.length - digits));
  if (figures.length > digits) exponent += 1;
  figures = figures.slice(0, digits);
  const sign = value < 0 ? "−" : "";
  if (exponent <= -6 || exponent >= 10) {
    const power = [...String(exponent)].map((digit) => SUPERSCRIPT[digit]).join("");
    return `${sign}${withPoint(figures, digits - 1)}·10${power}`;
  }
  const decimals = digits - 1 - exponent;
  return (
    sign + (decimals > 0 ? withPoint(figures, decimals) : grouped(figures + "0".repeat(-decimals)))
  );
}

/** The nearest whole number, all its digits, with thin spaces and a true minus sign. */
export function formatWhole(value) {
  if (!Number.isFinite(value) || Math.abs(value) >= WRITTEN_WHOLE) return formatNumber(value);
  const size =
    Math.abs(value) < 10 ** SINGLE_DIGITS
      ? Number(Math.abs(value).toPrecision(SINGLE_DIGITS))
      : Math.abs(value);
  const whole = Math.floor(size) + (size - Math.floor(size) >= 0.5 ? 1 : 0);
  return (value < 0 && whole ? "−" : "") + grouped(String(whole));
}

/** A number of at most that many significant digits, without zeros at its end. */
export function formatShort(value, digits = 5) {
  const text = formatNumber(value, digits);
  return text.includes(".") && !text.includes("·") ? text.replace(/\.?0+$/, "") : text;
}

/** A number in words with the symbol of its unit, which may be none. */
export function withUnit(text, symbol) {
  return symbol === "°" ? `${text}°` : `${text} ${symbol}`.trimEnd();
}

/** A direction [°] as whole degrees from 0° to 359°. */
export function turnText(degrees) {
  const turn = Number((((degrees % 360) + 360) % 360).toPrecision(SINGLE_DIGITS));
  return `${Math.floor(turn + 0.5) % 360}°`;
}

/** A value, or 0 where it is rounding beside the largest of its kind. */
export function seenBeside(value, largest) {
  return Math.abs(value) < ROUNDING * largest ? 0 : value;
}

/** Words whose numbers do not break at the end of a line. */
export function unbroken(words) {
  return words.replaceAll(THIN_SPACE, "\u202f");
}

/** The ticks of an axis: as many decimals as tell them apart, the same for all; zero is 0. */
export function tickTexts(ticks) {
  const largest = Math.max(...ticks.map(Math.abs));
  const decimals = [0, 1, 2, 3, 4, 5, 6].find((count) =>
    ticks.every((tick) => Math.abs(tick - Number(tick.toFixed(count))) <= 1e-9 * largest),
  );
  if (decimals === undefined || largest >= 1e10) return ticks.map((tick) => formatNumber(tick));
  return ticks.map((tick) => {
    const [whole, part] = Math.abs(tick).toFixed(decimals).split(".");
    if (!Number(whole) && !Number(part ?? 0)) return "0";
    return (tick < 0 ? "−" : "") + grouped(whole) + (part ? `.${part}` : "");
  });
}

/**
 * The first significant digits of a value, of a tie the larger, and its power of ten.
 * @returns {[string, number]}
 */
function figuresOf(value, count) {
  const [mantissa, power] = Math.abs(value)
    .toExponential(count - 1)
    .split("e");
  return [mantissa.replace(".", ""), Number(power)];
}

/** A whole number without its last `dropped` digits, a tie rounded up. */
function halfUp(whole, dropped) {
  return Math.floor(whole / 10 ** dropped + 0.5);
}

/** Digits with a point before the last `decimals` of them. */
function withPoint(figures, decimals) {
  const padded = figures.padStart(decimals + 1, "0");
  if (decimals === 0) return padded;
  return `${grouped(padded.slice(0, -decimals))}.${padded.slice(-decimals)}`;
}

function grouped(whole) {
  return whole.replace(/\B(?=(\d{3})+$)/g, THIN_SPACE);
}
