/* The speed of the rev limit: a slider on the strips' own axis, keys, and the speeds of note. */

import { element } from "../shared/elements.js";
import { rpmText } from "./rev_limit_numbers.js";

const STEP = 50,
  LEAP = 500; // [rpm] by key

export class RevLimitDial {
  /** `moved` is called with each new speed [rpm]. */
  constructor(moved) {
    this.moved = moved;
    this.rpm = 0;
    this.slider = element("input", {
      type: "range",
      step: 10,
      "aria-label": "Speed",
      oninput: () => this.moveTo(Number(this.slider.value)),
      onkeydown: (event) => this.key(event) && event.preventDefault(),
    });
    this.marks = element("div", { class: "marks number", "aria-hidden": "true" });
    this.node = element(
      "div",
      { class: "dial" },
      this.marks,
      this.slider,
      (this.ends = element("div", { class: "ends number muted", "aria-hidden": "true" })),
    );
    this.jumps = element("div", { class: "jumps", role: "group", "aria-label": "Go to a speed" });
  }

  setFrame({ low, top, rated, redline, limit }) {
    this.low = low;
    this.top = top;
    this.rated = rated;
    this.redline = redline;
    this.limit = limit;
    [this.slider.min, this.slider.max] = [low, top];
    const at = (rpm) => `left:${(100 * (rpm - low)) / (top - low)}%`;
    this.marks.replaceChildren(
      element(
        "span",
        { class: "rated", style: at(rated) },
        "rated",
        element("span", { class: "value" }, ` ${rpmText(rated)}`),
      ),
      element(
        "span",
        { class: "redline", style: at(redline) },
        "red line",
        element("span", { class: "value" }, ` ${rpmText(redline)}`),
      ),
    );
    this.ends.replaceChildren(
      element("span", {}, rpmText(low)),
      element("span", {}, `${rpmText(top)} rpm`),
    );
    const jump = (name, rpm, hint) =>
      element(
        "button",
        { type: "button", title: hint, "data-jump": name, onclick: () => this.moveTo(rpm) },
        name,
      );
    this.jumps.replaceChildren(
      jump("Rated", rated, `${rpmText(rated)} rpm, key R`),
      jump("Red line", redline, `${rpmText(redline)} rpm, key L`),
      ...(limit && limit <= top
        ? [jump("Governing limit", Math.ceil(limit), `${rpmText(limit)} rpm, key F`)]
        : []),
    );
  }

  /** Move to a speed, within the slider's ends; the slider itself may round it. */
  moveTo(rpm) {
    this.rpm = Math.min(Math.max(rpm, this.low), this.top);
    if (Number(this.slider.value) !== this.rpm) this.slider.value = this.rpm;
    this.moved(this.rpm);
  }

  /** To the next whole step on that side. */
  step(by) {
    const size = Math.abs(by);
    this.moveTo(
      by > 0 ? (Math.floor(this.rpm / size) + 1) * size : (Math.ceil(this.rpm / size) - 1) * size,
    );
  }

  /** Do what a key asks for; returns whether it asked for anything. */
  key({ key, shiftKey, ctrlKey, metaKey, altKey }) {
    if (ctrlKey || metaKey || altKey) return false;
    const step = shiftKey ? LEAP : STEP;
    const way = {
      ArrowRight: step,
      ArrowUp: step,
      ArrowLeft: -step,
      ArrowDown: -step,
      PageUp: LEAP,
      PageDown: -LEAP,
    }[key];
    const place = this.placeOf(key);
    if (way) this.step(way);
    else if (place !== undefined) this.moveTo(place);
    return Boolean(way) || place !== undefined;
  }

  /** The speed that a key names, if it names one. */
  placeOf(key) {
    const first = this.limit && this.limit <= this.top ? Math.ceil(this.limit) : undefined;
    const letter = key.length === 1 ? key.toLowerCase() : key;
    return { Home: this.low, End: this.top, r: this.rated, l: this.redline, f: first }[letter];
  }
}
