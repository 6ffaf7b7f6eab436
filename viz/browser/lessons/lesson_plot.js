/*
 * The lesson's own plot: axes, the student's drawing by pointer or key, and the true curves on top.
 */

import { pageLines } from "../figures/page_lines.js";
import { pictureButton } from "../figures/picture_button.js";
import { element, svg } from "../shared/elements.js";
import { drawnPart, gridParts, handlePart, lineNames, truthParts } from "./lesson_drawing.js";
import { LessonScale, roundedValue, strokeBetween } from "./lesson_scale.js";
import { plotTable, plotWords } from "./lesson_words.js";

const STEPS_OF_KEYS = { ArrowUp: 0.02, ArrowDown: -0.02, PageUp: 0.1, PageDown: -0.1 };

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
    const isFresh = this.editable !== editable || !isAlike(this.axes, axes);
    this.axes = axes;
    this.editable = editable;
    this.truth = truth;
    if (points) this.points = [...points];
    else if (!editable) this.points = [];
    else if (isFresh || !this.points.length)
      this.points = axes.places.map(() => (axes.low + axes.high) / 2);
    this.touched = Boolean(points);
    this.current = Math.min(this.current ?? 0, axes.places.length - 1);
    const hasDrawing = this.points.length > 0 && !editable;
    this.names.replaceChildren(...lineNames(truth, hasDrawing));
    this.draw();
  }

  resized() {
    const { width, height } = this.place.getBoundingClientRect();
    if (Math.abs(width - this.width) < 1 && Math.abs(height - this.height) < 1) return;
    [this.width, this.height] = [width, height];
    this.draw();
  }

  draw() {
    if (!this.axes || !this.width || !this.height) return;
    const focused = this.picture.getRootNode().activeElement;
    const keepFocus = focused?.classList?.contains("handle");
    this.scale = new LessonScale(this.axes, this.width, this.height);
    this.picture.setAttribute("viewBox", `0 0 ${this.width} ${this.height}`);
    this.picture.setAttribute("aria-label", plotWords(this));
    this.picture.classList.toggle("editable", this.editable);
    this.picture.replaceChildren(
      ...gridParts(this.scale),
      ...(this.truth ? truthParts(this.scale, this.truth) : []),
      ...(this.points.length ? [drawnPart(this.scale, this.points)] : []),
      ...(this.editable ? this.handles() : []),
    );
    if (keepFocus && this.editable) this.focusHandle();
  }

  /** The plot for the dialog of figures, the student's drawing among it. */
  figure() {
    const { xLabel, yLabel } = this.axes;
    return {
      title: `${yLabel || "Value"} over ${xLabel}`,
      words: plotWords(this),
      name: "lesson",
      foot: this.title(),
      table: plotTable(this),
      drawing: () => pageLines(this.node),
    };
  }

  // --- the student's hand -------------------------------------------------------------------

  handles() {
    return this.points.map((value, i) => {
      const handle = handlePart(this.scale, [i, value], i === this.current);
      handle.addEventListener("keydown", (event) => this.key(event, i));
      handle.addEventListener("focus", () => (this.current = i));
      return handle;
    });
  }

  focusHandle() {
    this.picture.querySelectorAll(".handle")[this.current]?.focus({ preventScroll: true });
  }

  key(event, i) {
    const by = STEPS_OF_KEYS[event.key];
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
      this.set(i, this.points[i] + by * (this.axes.high - this.axes.low));
      this.draw();
    } else {
      this.current = to;
      this.draw();
      this.focusHandle();
    }
  }

  set(i, value) {
    this.points[i] = roundedValue(Math.min(Math.max(value, this.axes.low), this.axes.high));
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
    for (const [i, value] of strokeBetween(this.dragged, now)) this.set(i, value);
    this.dragged = now;
    this.current = now.i;
    this.draw();
  }

  /** The place and value under a pointer. */
  at(event) {
    const { left, top } = this.picture.getBoundingClientRect();
    return {
      i: this.scale.nearestPlace(event.clientX - left),
      value: this.scale.valueAt(event.clientY - top),
    };
  }
}

/** Whether two records hold the same. */
function isAlike(record, other) {
  return JSON.stringify(record) === JSON.stringify(other);
}
