/*
 * The lesson's own plot: axes, the student's drawing by pointer or key, and the true curves on top.
 */

import { pageLines } from "../figures/page_lines.js";
import { pictureButton } from "../figures/picture_button.js";
import { element, svg } from "../shared/elements.js";
import { formatShort, tickTexts, unbroken } from "../shared/number_words.js";

const PLOT_MARGIN = { left: 52, right: 14, top: 26, bottom: 44 };
const LINE_STYLES = ["main", "second", "third", "fourth"];

export class LessonPlot {
  /** `changed` is called when the student changes the drawing, `title` names the lesson. */
  constructor(changed, title) {
    this.changed = changed;
    this.title = title;
    this.points = [];
    this.touched = false;
    this.editable = false;
    this.truth = null;
    this.picture = svg("svg", { class: "lesson-plot", role: "group" });
    this.names = element("p", { class: "lesson-plot-names" });
    this.place = element("div", { class: "lesson-plot-place" }, this.picture);
    this.files = pictureButton(
      "Description, table and export of the lesson's plot",
      () => this.axes && this.figure(),
    );
    this.node = element("div", { class: "lesson-plot-whole" }, this.files, this.names, this.place);
    this.width = 0;
    this.height = 0;
    this.sizes = new ResizeObserver(() => this.resized());
    this.sizes.observe(this.place);
    this.picture.addEventListener("pointerdown", (event) => this.press(event));
    this.picture.addEventListener("pointermove", (event) => this.drag(event));
    for (const name of ["pointerup", "pointercancel"]) {
      this.picture.addEventListener(name, () => (this.dragged = null));
    }
  }

  stop() {
    this.sizes.disconnect();
  }

  /** Show the axes, with a drawing if there is one; `editable` for the student to draw. */
  show(axes, { points = null, editable = false, truth = null } = {}) {
    const fresh =
      !this.axes ||
      JSON.stringify(this.axes) !== JSON.stringify(axes) ||
      this.editable !== editable;
    this.axes = axes;
    this.editable = editable;
    this.truth = truth;
    if (points) this.points = [...points];
    else if (!editable) this.points = [];
    else if (fresh || !this.points.length)
      this.points = axes.places.map(() => (axes.low + axes.high) / 2);
    this.touched = Boolean(points);
    this.current = Math.min(this.current ?? 0, axes.places.length - 1);
    this.showNames();
    this.draw();
  }

  resized() {
    const { width, height } = this.place.getBoundingClientRect();
    if (Math.abs(width - this.width) < 1 && Math.abs(height - this.height) < 1) return;
    [this.width, this.height] = [width, height];
    this.draw();
  }

  // --- scales -----------------------------------------------------------------------------

  x(value) {
    const { start, end } = this.axes;
    const { left, right } = PLOT_MARGIN;
    const pad = this.axes.bars ? 24 : 12;
    return left + pad + ((value - start) / (end - start)) * (this.width - left - right - 2 * pad);
  }

  y(value) {
    const { low, high } = this.axes;
    const { top, bottom } = PLOT_MARGIN;
    return top + ((high - value) / (high - low)) * (this.height - top - bottom);
  }

  valueAt(pixel) {
    const { low, high } = this.axes;
    const { top, bottom } = PLOT_MARGIN;
    const value = high - ((pixel - top) / (this.height - top - bottom)) * (high - low);
    return Math.min(Math.max(value, low), high);
  }

  // --- drawing the picture ------------------------------------------------------------------

  draw() {
    if (!this.axes || !this.width || !this.height) return;
    const focused = this.picture.getRootNode().activeElement;
    const keepFocus = focused?.classList?.contains("handle");
    this.picture.setAttribute("viewBox", `0 0 ${this.width} ${this.height}`);
    this.picture.setAttribute("aria-label", this.words());
    this.picture.classList.toggle("editable", this.editable);
    this.picture.replaceChildren(
      ...this.grid(),
      ...this.truthParts(),
      ...(this.points.length ? this.drawnParts() : []),
      ...(this.editable ? this.handles() : []),
    );
    if (keepFocus && this.editable) this.focusHandle();
  }

  grid() {
    const { left, right, top, bottom } = PLOT_MARGIN;
    const [end, floor] = [this.width - right, this.height - bottom];
    const parts = [];
    const up = ticks(this.axes.low, this.axes.high, 5);
    const upTexts = tickTexts(up).map(unbroken);
    for (const [i, tick] of up.entries()) {
      const y = this.y(tick);
      parts.push(
        svg("line", { class: tick === 0 ? "zero" : "grid", x1: left, x2: end, y1: y, y2: y }),
      );
      parts.push(
        svg("text", { x: left - 6, y: y + 4, class: "tick", "text-anchor": "end" }, upTexts[i]),
      );
    }
    const across = this.axes.bars
      ? range(1, 8)
      : ticks(this.axes.start, this.axes.end, this.width < 420 ? 4 : 7);
    const acrossTexts = tickTexts(across).map(unbroken);
    for (const [i, tick] of across.entries()) {
      const x = this.x(tick);
      parts.push(svg("line", { class: "grid", x1: x, x2: x, y1: top, y2: floor }));
      parts.push(
        svg("text", { x, y: floor + 16, class: "tick", "text-anchor": "middle" }, acrossTexts[i]),
      );
    }
    const middle = (left + end) / 2;
    parts.push(
      svg(
        "text",
        { x: middle, y: this.height - 6, class: "axis", "text-anchor": "middle" },
        this.axes.xLabel,
      ),
    );
    parts.push(svg("text", { x: 2, y: 10, class: "axis" }, this.axes.yLabel));
    return parts;
  }

  truthParts() {
    if (!this.truth) return [];
    const parts = [
      ...this.criticals(),
      ...(this.truth.bars
        ? this.bars()
        : this.truth.lines.map((line, k) =>
            svg("path", { class: `line ${LINE_STYLES[k]}`, d: this.path(this.truth.x, line.y) }),
          )),
    ];
    if (this.truth.mark !== null && this.truth.mark !== undefined) parts.push(...this.marks());
    return parts;
  }

  /** Critical speeds as lines with their order over them; the strongest are named first. */
  criticals() {
    const { top, bottom } = PLOT_MARGIN;
    const named = [];
    return (this.truth.criticals ?? []).flatMap(({ x, words }) => {
      const at = this.x(x);
      const line = svg("line", {
        class: "critical",
        x1: at,
        x2: at,
        y1: top,
        y2: this.height - bottom,
      });
      if (named.some((other) => Math.abs(other - at) < 26)) return [line];
      named.push(at);
      return [
        line,
        svg("text", { x: at, y: top - 3, class: "tick", "text-anchor": "middle" }, words),
      ];
    });
  }

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

  bars() {
    const { x, lines } = this.truth;
    const room = (this.x(x[1]) - this.x(x[0])) * 0.76;
    const width = room / lines.length;
    const floor = this.y(Math.max(this.axes.low, 0));
    return lines.flatMap((line, k) =>
      line.y.map((value, i) => {
        const left = this.x(x[i]) - room / 2 + k * width;
        const top = this.y(value ?? 0);
        return svg("rect", {
          class: `bar ${LINE_STYLES[k]}`,
          x: left,
          y: top,
          width: width - 1,
          height: Math.max(floor - top, 0),
        });
      }),
    );
  }

  /** Where the present design stands on each curve. */
  marks() {
    const { x, lines, mark } = this.truth;
    return lines.flatMap((line, k) => {
      const value = valueBetween(x, line.y, mark);
      if (value === null) return [];
      return [
        svg("circle", {
          class: `mark ${LINE_STYLES[k]}`,
          cx: this.x(mark),
          cy: this.y(value),
          r: 5,
        }),
      ];
    });
  }

  /**
   * The names of the lines over the plot; beside each the line's own style, so colour is not
   * needed.
   */
  showNames() {
    const names = (this.truth?.lines ?? []).map((line, k) => [line.label, LINE_STYLES[k]]);
    if (names.length && this.points.length && !this.editable) names.push(["your drawing", "drawn"]);
    const sample = (style) =>
      svg(
        "svg",
        { class: "sample lesson-plot", viewBox: "0 0 28 12", "aria-hidden": "true" },
        this.truth.bars
          ? svg("rect", { class: `bar ${style}`, x: 8, y: 1, width: 12, height: 10 })
          : svg("line", { class: `line ${style}`, x1: 0, x2: 28, y1: 6, y2: 6 }),
      );
    const criticals = this.truth?.criticals?.length
      ? [
          element(
            "span",
            {},
            svg(
              "svg",
              { class: "sample lesson-plot", viewBox: "0 0 28 12", "aria-hidden": "true" },
              svg("line", { class: "critical", x1: 14, x2: 14, y1: 0, y2: 12 }),
            ),
            " critical speed, by its order",
          ),
        ]
      : [];
    this.names.replaceChildren(
      ...(names.length > 1 ? names : []).map(([name, style]) =>
        element("span", {}, sample(style), ` ${name}`),
      ),
      ...criticals,
    );
  }

  drawnParts() {
    return [svg("path", { class: "line drawn", d: this.path(this.axes.places, this.points) })];
  }

  // --- the student's hand -------------------------------------------------------------------

  handles() {
    return this.points.map((value, i) => {
      const [x, y] = [this.x(this.axes.places[i]), this.y(value)];
      const handle = svg(
        "g",
        {
          class: "handle",
          role: "slider",
          tabindex: i === this.current ? 0 : -1,
          "aria-label": `${this.axes.xLabel} ${formatShort(this.axes.places[i], 4)}`,
          "aria-orientation": "vertical",
          "aria-valuemin": this.axes.low,
          "aria-valuemax": this.axes.high,
          "aria-valuenow": rounded(value),
          "aria-valuetext": `${formatShort(value, 4)}, ${this.axes.yLabel}`,
        },
        svg("circle", { class: "reach", cx: x, cy: y, r: 13 }),
        svg("circle", { class: "knob", cx: x, cy: y, r: 6 }),
      );
      handle.addEventListener("keydown", (event) => this.key(event, i));
      handle.addEventListener("focus", () => (this.current = i));
      return handle;
    });
  }

  focusHandle() {
    this.picture.querySelectorAll(".handle")[this.current]?.focus({ preventScroll: true });
  }

  key(event, i) {
    const height = this.axes.high - this.axes.low;
    const by = { ArrowUp: 0.02, ArrowDown: -0.02, PageUp: 0.1, PageDown: -0.1 }[event.key];
    const last = this.points.length - 1;
    const to = {
      ArrowLeft: Math.max(i - 1, 0),
      ArrowRight: Math.min(i + 1, last),
      Home: 0,
      End: last,
    }[event.key];
    if (by === undefined && to === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    if (by !== undefined) {
      this.set(i, this.points[i] + by * height);
      this.draw();
    } else {
      this.current = to;
      this.draw();
      this.focusHandle();
    }
  }

  set(i, value) {
    this.points[i] = rounded(Math.min(Math.max(value, this.axes.low), this.axes.high));
    this.touched = true;
    this.changed();
  }

  press(event) {
    if (!this.editable || event.button) return;
    this.picture.setPointerCapture(event.pointerId);
    this.dragged = this.at(event);
    this.current = this.dragged.i;
    this.set(this.dragged.i, this.dragged.value);
    this.draw();
    event.preventDefault();
    this.focusHandle();
  }

  /** Set the point under the pointer, and those it has passed over since. */
  drag(event) {
    if (!this.editable || !this.dragged) return;
    const now = this.at(event);
    const from = this.dragged;
    const steps = Math.abs(now.i - from.i);
    for (let k = 0; k <= steps; k++) {
      const share = steps ? k / steps : 1;
      this.set(
        from.i + Math.sign(now.i - from.i) * k,
        from.value + share * (now.value - from.value),
      );
    }
    this.dragged = now;
    this.current = now.i;
    this.draw();
  }

  at(event) {
    const box = this.picture.getBoundingClientRect();
    const pixel = event.clientX - box.left;
    const away = this.axes.places.map((place) => Math.abs(this.x(place) - pixel));
    return { i: away.indexOf(Math.min(...away)), value: this.valueAt(event.clientY - box.top) };
  }

  /** The plot for the dialog of figures, the student's drawing among it. */
  figure() {
    const { places, xLabel, yLabel } = this.axes;
    const lines = this.truth?.lines ?? [];
    const rows = lines.flatMap(({ label, y }) =>
      this.truth.x.map((x, i) => [label, x, y[i] ?? ""]),
    );
    if (this.points.length) rows.push(...this.points.map((y, i) => ["your drawing", places[i], y]));
    return {
      title: `${yLabel || "Value"} over ${xLabel}`,
      words: this.words(),
      name: "lesson",
      foot: this.title(),
      table: { head: ["What", xLabel, yLabel || "value"], rows },
      drawing: () => pageLines(this.node),
    };
  }

  /** The plot in words. */
  words() {
    const axes = `${this.axes.yLabel || "value"} over ${this.axes.xLabel}`;
    if (!this.truth) return `${axes}; ${this.points.length} points to set`;
    const lines = this.truth.lines.map(({ label, y }) => {
      const known = y.filter((one) => one !== null);
      return `${label} from ${formatShort(known[0], 4)} to ${formatShort(known.at(-1), 4)}`;
    });
    const criticals = (this.truth.criticals ?? []).map(
      ({ x, words }) => `order ${words} at ${formatShort(x, 4)}`,
    );
    const crossings = criticals.length ? `; critical speeds: ${criticals.join(", ")}` : "";
    return `${axes}: ${lines.join("; ")}${crossings}`;
  }
}

/** Round values between two ends, some `count` of them. */
function ticks(low, high, count) {
  const rough = (high - low) / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 2.5, 5, 10].map((one) => one * power).find((one) => one >= rough * 0.999);
  const found = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high + 1e-9 * step; k++)
    found.push(Number((k * step).toPrecision(10)));
  return found;
}

function range(from, to) {
  return Array.from({ length: to - from + 1 }, (_, i) => from + i);
}

function rounded(value) {
  return Number(value.toPrecision(4));
}

/** A curve's value between its points, null where there is none. */
function valueBetween(xs, ys, at) {
  for (let i = 1; i < xs.length; i++) {
    if (at > xs[i] || ys[i] === null || ys[i - 1] === null || at < xs[i - 1]) continue;
    const share = (at - xs[i - 1]) / (xs[i] - xs[i - 1]);
    return ys[i - 1] * (1 - share) + ys[i] * share;
  }
  return null;
}
