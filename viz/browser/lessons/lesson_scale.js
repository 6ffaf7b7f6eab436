/* Where a lesson's plot has its values: pixels of values, round ticks, curves between points. */

const MARGIN = { left: 52, right: 14, top: 26, bottom: 44 }; // px

/** The axes of a plot on a picture of some width and height [px]. */
export class LessonScale {
  constructor(axes, width, height) {
    this.axes = axes;
    this.left = MARGIN.left;
    this.top = MARGIN.top;
    this.right = width - MARGIN.right;
    this.bottom = height - MARGIN.bottom;
    this.width = width;
    this.height = height;
  }

  x(value) {
    const { start, end, bars } = this.axes;
    const pad = bars ? 24 : 12;
    const room = this.right - this.left - 2 * pad;
    return this.left + pad + ((value - start) / (end - start)) * room;
  }

  y(value) {
    const { low, high } = this.axes;
    return this.top + ((high - value) / (high - low)) * (this.bottom - this.top);
  }

  /** The value at a height [px], within the axis. */
  valueAt(pixel) {
    const { low, high } = this.axes;
    const value = high - ((pixel - this.top) / (this.bottom - this.top)) * (high - low);
    return Math.min(Math.max(value, low), high);
  }

  /** Which of the axes' places is nearest to a pixel across. */
  nearestPlace(pixel) {
    const away = this.axes.places.map((place) => Math.abs(this.x(place) - pixel));
    return away.indexOf(Math.min(...away));
  }

  /** A line through points as SVG path data, broken where there is no value. */
  path(xs, ys) {
    let pen = "M";
    return xs
      .map((x, i) => {
        if (ys[i] === null) {
          pen = "M";
          return "";
        }
        const step = `${pen}${this.x(x).toFixed(1)} ${this.y(ys[i]).toFixed(1)}`;
        pen = "L";
        return step;
      })
      .join("");
  }
}

/** Round values between two ends, some `count` of them. */
export function ticksOf(low, high, count) {
  const rough = (high - low) / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const steps = [1, 2, 2.5, 5, 10].map((factor) => factor * power);
  const step = steps.find((value) => value >= rough * 0.999);
  const found = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high + 1e-9 * step; k++)
    found.push(Number((k * step).toPrecision(10)));
  return found;
}

/** A value as it is stored of a drawing. */
export function roundedValue(value) {
  return Number(value.toPrecision(4));
}

/** A curve's value between its points, null where there is none. */
export function valueBetween(xs, ys, at) {
  for (let i = 1; i < xs.length; i++) {
    if (at > xs[i] || ys[i] === null || ys[i - 1] === null || at < xs[i - 1]) continue;
    const share = (at - xs[i - 1]) / (xs[i] - xs[i - 1]);
    return ys[i - 1] * (1 - share) + ys[i] * share;
  }
  return null;
}

/**
 * The values that a hand sets on its way from one point to another: pairs of place and value.
 * @param {{ i: number, value: number }} from
 * @param {{ i: number, value: number }} to
 */
export function strokeBetween(from, to) {
  const steps = Math.abs(to.i - from.i);
  const toward = Math.sign(to.i - from.i);
  return Array.from({ length: steps + 1 }, (_, k) => {
    const share = steps ? k / steps : 1;
    return [from.i + toward * k, from.value + share * (to.value - from.value)];
  });
}
