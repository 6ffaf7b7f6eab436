/*
 * Asking for the least inertia over main load, and picking a point of it, in the list or the
 * figure.
 */

import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { NumberBox } from "../shared/number_box.js";
import { formatNumber, withUnit } from "../shared/number_words.js";
import { modelNamed } from "../shared/page_models.js";
import { subscribe } from "../shared/page_state.js";

const FRONT = "shaft_front"; // the figure
const REACH = 40; // [px] from a point that still picks it

export function render({ model, el }) {
  const form = new TradeOff(model);
  el.append(form.node);
  form.wireFigure();
  for (const name of [
    "points",
    "selected",
    "loads",
    "unit",
    "measure",
    "words",
    "title",
    "moment_unit",
    "moment_title",
  ])
    model.on(name, () => form.show());
  model.on("answered", () => form.answer());
}

class TradeOff {
  constructor(model) {
    this.model = model;
    this.asked = model.answered;
    this.isOutdated = false; // what is being searched for is no longer what is asked for
    this.measure = element(
      "select",
      { id: "measure", onchange: () => this.askAnew() },
      element("option", { value: "peak" }, "peak load"),
      element("option", { value: "mean" }, "mean load"),
    );
    this.aside = element("input", {
      type: "checkbox",
      checked: true,
      "data-aside": "",
      onchange: () => this.askAnew(),
    });
    this.bound = new NumberBox({
      id: "moment-bound",
      min: 0,
      step: 100,
      placeholder: "any",
      onchange: () => this.momentBound !== undefined && this.askAnew(),
    });
    this.boundLabel = element("label", { for: "moment-bound" });
    this.find = element(
      "button",
      { type: "button", "data-find": "", onclick: () => this.ask() },
      "Find the trade-off",
    );
    this.words = element("p", { role: "status" });
    this.makeChoice();
    this.makeLimit();
    this.node = this.layout();
    this.show();
  }

  /** The points of the trade-off, and the button that takes one into the design. */
  makeChoice() {
    this.points = element("select", {
      id: "point",
      onchange: () => this.pick(Number(this.points.value)),
    });
    this.use = element(
      "button",
      {
        type: "button",
        "data-use": "",
        onclick: () =>
          sendMessage(this.model, "apply_choice", { index: Number(this.points.value) }),
      },
      "Use these counterweights",
    );
    this.choice = element(
      "div",
      { class: "row" },
      element("label", { for: "point" }, "Point"),
      this.points,
      this.use,
    );
  }

  /** The slider of the largest load on a main. */
  makeLimit() {
    this.limit = element("input", {
      id: "limit",
      type: "range",
      min: 0,
      max: 100,
      step: 1,
      oninput: () => this.sayLimit(),
      onchange: () => sendMessage(this.model, "limit", { share: this.limit.value / 100 }),
    });
    this.limitWords = element("output", { class: "number", for: "limit" });
    this.limitRow = element(
      "div",
      { class: "row slider" },
      element("label", { for: "limit" }, "Maximum main load"),
      this.limit,
      this.limitWords,
    );
  }

  layout() {
    return element(
      "div",
      { class: "trade-off" },
      element(
        "p",
        { class: "muted" },
        "Counterweights of minimum inertia that keep the most loaded main below a limit " +
          "(determinate shaft). Static moment and couple of the shaft are unchanged. " +
          "The offset angle ends where a flank meets the web's cheek.",
      ),
      element(
        "div",
        { class: "row" },
        element("label", { for: "measure" }, "Assessed by the most loaded main's"),
        this.measure,
      ),
      element(
        "div",
        { class: "row" },
        element("label", { class: "row" }, this.aside, "Allow angular offset from 180°"),
      ),
      element("div", { class: "row" }, this.boundLabel, this.bound.input, this.find),
      this.bound.problem,
      this.words,
      this.limitRow,
      this.choice,
    );
  }

  get busy() {
    return this.model.answered < this.asked;
  }

  ask() {
    const bound = this.momentBound;
    if (this.busy || bound === undefined) return;
    this.asked += 1;
    this.show();
    sendMessage(this.model, "front", {
      measure: this.measure.value,
      aside: this.aside.checked,
      moment_bound: bound,
      serial: this.asked,
    });
  }

  /**
   * The maximum internal bending moment in the unit shown; null where the box is empty, undefined
   * where it is misread.
   */
  get momentBound() {
    return this.bound.read();
  }

  /**
   * Ask again where a trade-off is shown that is no longer of what is asked for; once it is
   * answered where one is being searched for.
   */
  askAnew() {
    if (this.busy) this.isOutdated = true;
    else if (this.model.points.length) this.ask();
  }

  answer() {
    this.show();
    if (this.busy || !this.isOutdated) return;
    this.isOutdated = false;
    this.askAnew();
  }

  pick(index) {
    sendMessage(this.model, "pick_choice", { index });
  }

  /** Let the figure's points be selected: by pointer, and by arrow keys while it has the focus. */
  wireFigure() {
    this.drawing = document.querySelector(`figure[data-plot="${FRONT}"] .drawing`);
    this.drawing.tabIndex = 0;
    const keyed = (event) => this.key(event.key) && event.preventDefault();
    this.drawing.addEventListener("keydown", keyed);
    this.model.on("remove", () => this.drawing.removeEventListener("keydown", keyed));
    subscribe(this.model, "tapped", ({ plot, x, y }) => plot === FRONT && this.pickNear(x, y));
    this.show();
  }

  /** Do what a key asks for; returns whether it asked for anything. */
  key(key) {
    const { points, selected } = this.model;
    const to = {
      ArrowLeft: selected - 1,
      ArrowRight: selected + 1,
      Home: 0,
      End: points.length - 1,
    }[key];
    if (to === undefined || !points.length) return false;
    if (to >= 0 && to < points.length && to !== selected) this.pick(to);
    return true;
  }

  /** Pick the point nearest to a place in the axes' units, if it is near enough to be meant. */
  pickNear(x, y) {
    const { x_range, y_range, inner_width, inner_height } = modelNamed(`${FRONT}_figure`);
    const { data } = modelNamed(`${FRONT}_main_marks`);
    const [across, up] = [
      inner_width / (x_range.end - x_range.start),
      inner_height / (y_range.end - y_range.start),
    ];
    const far = Array.from(data.x, (one, i) =>
      Math.hypot((one - x) * across, (data.y[i] - y) * up),
    );
    const nearest = far.indexOf(Math.min(...far));
    if (far[nearest] < REACH) this.pick(nearest);
  }

  /** The slider's place from the selected load. */
  showLimit() {
    const [low, high, selected] = this.model.loads;
    this.limitRow.hidden = !(high > low);
    if (this.limitRow.hidden) return;
    this.limit.value = Math.round((100 * (selected - low)) / (high - low));
    this.sayLimit();
  }

  sayLimit() {
    const [low, high] = this.model.loads;
    const words = withUnit(
      formatNumber(low + ((high - low) * this.limit.value) / 100),
      this.model.unit,
    );
    setText(this.limitWords, words);
    this.limit.setAttribute("aria-valuetext", words);
  }

  show() {
    const { model, busy } = this;
    this.find.disabled = busy;
    setText(this.find, busy ? "Searching…" : "Find the trade-off");
    this.node.setAttribute("aria-busy", busy);
    setText(this.words, busy ? "Searching for minimum inertia; please wait." : model.words);
    this.choice.hidden = !model.points.length;
    this.showLimit();
    this.points.replaceChildren(
      ...model.points.map((text, place) => element("option", { value: place }, text)),
    );
    if (model.selected >= 0) this.points.value = model.selected;
    if (this.drawing) this.drawing.style.cursor = model.points.length ? "pointer" : "";
    setText(
      this.boundLabel,
      `Maximum internal bending moment${model.moment_unit && `, ${model.moment_unit}`}`,
    );
    for (const [plot, title] of [
      [FRONT, model.title],
      [`${FRONT}_moment`, model.moment_title],
    ]) {
      const caption = document.querySelector(`figure[data-plot="${plot}"] figcaption span`);
      if (caption && title) setText(caption, title);
    }
  }
}
