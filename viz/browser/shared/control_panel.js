/* The controls: for each field a label, a number box with its unit, a slider and why it matters. */

import { element, setText } from "./elements.js";
import { fullLoadCurve } from "./full_load_curve.js";
import { sendMessage } from "./messages.js";
import { NumberBox, problemLine, sayBelow } from "./number_box.js";
import { emit, pageState, subscribe } from "./page_state.js";

export function render({ model, el }) {
  const panel = new ControlPanel(model);
  el.append(panel.node);
  model.on("values", () => panel.showValues());
  model.on("reference", () => panel.showValues());
  model.on("problem", () => panel.showProblem());
  model.on("groups", () => panel.newGroups());
  model.on("answered", () => panel.answer());
  subscribe(model, "control", (key) => panel.goTo(key));
  subscribe(model, "place", ({ control }) => panel.goTo(control));
}

class ControlPanel {
  constructor(model) {
    this.model = model;
    this.node = element("div", { class: "control-panel" });
    this.waiting = new Map(); // latest value of each key not yet sent
    this.sent = 0;
    this.rebuild();
  }

  /** Take new slider ends in place; build anew only where other fields are to be shown. */
  newGroups() {
    const fresh = this.model.groups.flatMap((group) => group.controls);
    if (fresh.map((control) => control.key).join() !== [...this.controls.keys()].join()) {
      const { id } = this.node.getRootNode().activeElement ?? {};
      this.rebuild();
      if (id) this.node.querySelector(`[id="${id}"]`)?.focus();
      return;
    }
    for (const control of fresh) this.controls.get(control.key).control = control;
    this.showCurves();
    this.showValues();
  }

  rebuild() {
    const kept = new Map(
      [...this.node.querySelectorAll("details")].map((group) => [group.dataset.title, group.open]),
    );
    this.controls = new Map();
    this.node.replaceChildren(
      ...this.model.groups.map((group) =>
        element(
          "details",
          { open: kept.get(group.title) ?? group.open, "data-title": group.title },
          element("summary", {}, group.title),
          group.note ? element("p", { class: "note muted" }, group.note) : null,
          element("p", { class: "warning", role: "status", hidden: true }),
          group.curve ? element("div", { class: "curve" }) : null,
          ...group.controls.map((control) => this.control(control)),
        ),
      ),
    );
    this.showCurves();
    this.showValues();
  }

  /** What stands in a group beside its controls: what is doubted, and the full-load curve. */
  showCurves() {
    for (const group of this.model.groups) {
      const own = [...this.node.querySelectorAll("details")].find(
        ({ dataset }) => dataset.title === group.title,
      );
      const warning = own.querySelector(".warning");
      setText(warning, group.warning ? `▲ ${group.warning}` : "");
      warning.hidden = !group.warning;
      if (group.curve) own.querySelector(".curve").replaceChildren(...fullLoadCurve(group.curve));
    }
  }

  control(control) {
    const id = control.key.replace(/\W/g, "-");
    if (control.ticked) return this.tickBox(control, id);
    if (control.choices.length) return this.choiceBox(control, id);
    const typed = new NumberBox({
      id,
      step: control.slider ? control.slider[2] : 1,
      "aria-describedby": `${id}-why`,
      onchange: () => this.take(control.key),
      onkeydown: (event) => event.key === "Escape" && this.takeBack(control.key),
    });
    const slider =
      control.slider &&
      element("input", {
        type: "range",
        "aria-label": `${control.label}, slider`,
        min: control.slider[0],
        max: control.slider[1],
        step: control.slider[2],
        oninput: () => this.slide(control, typed, slider),
        onpointerdown: () => holdScales(true),
        onpointerup: () => holdScales(false),
        onpointercancel: () => holdScales(false),
      });
    const row = element(
      "div",
      { class: "control" },
      element(
        "div",
        { class: "line" },
        element("label", { for: id }, control.label),
        typed.input,
        element("span", { class: "unit muted" }, control.unit),
      ),
      slider,
      ...this.below(control, id, { box: typed.input, typed, slider, problem: typed.problem }),
    );
    row.addEventListener("focusin", () => emit("dimension", control.key));
    return row;
  }

  /** A box to tick, sent as 1 or 0. */
  tickBox(control, id) {
    const box = element("input", {
      id,
      type: "checkbox",
      "aria-describedby": `${id}-why`,
      onchange: () => this.change(control.key, box.checked ? 1 : 0),
    });
    const problem = problemLine(id);
    return element(
      "div",
      { class: "control" },
      element("label", { class: "tick" }, box, ` ${control.label}`),
      ...this.below(control, id, { box, problem }),
    );
  }

  /** A list to choose from, sent as the place in it, from 0. */
  choiceBox(control, id) {
    const box = element(
      "select",
      {
        id,
        "aria-describedby": `${id}-why`,
        onchange: () => this.change(control.key, Number(box.value)),
      },
      ...control.choices.map((label, place) => element("option", { value: String(place) }, label)),
    );
    const problem = problemLine(id);
    return element(
      "div",
      { class: "control" },
      element("label", { for: id }, control.label),
      box,
      ...this.below(control, id, { box, problem }),
    );
  }

  /**
   * What stands below a control: the way back to the reference, what is wrong, why it is there.
   */
  below(control, id, parts) {
    const back = element("button", {
      class: "back",
      hidden: true,
      onclick: () => this.change(control.key, Number(back.dataset.value)),
    });
    this.controls.set(control.key, { control, back, ...parts });
    return [
      back,
      parts.problem,
      element("p", { class: "why muted", id: `${id}-why` }, control.why),
    ];
  }

  slide(control, typed, slider) {
    typed.show(slider.value);
    emit("dimension", control.key);
    if (control.key === "speed_rpm") emit("speed", Number(slider.value));
    this.change(control.key, Number(slider.value));
  }

  /**
   * Send what is typed in a box; what is no number stays there, with a message, and changes
   * nothing.
   */
  take(key) {
    const value = this.controls.get(key).typed.read();
    if (value !== undefined) this.change(key, value);
  }

  /** Show the last good value again in place of one that was refused. */
  takeBack(key) {
    const { control, typed } = this.controls.get(key);
    this.problemKey = null;
    typed.show(shortValue(this.model.values[key], control.slider));
    typed.say("");
  }

  /** Send a change; while one is under way only the latest value of each key waits. */
  change(key, value) {
    this.waiting.set(key, value);
    this.flush();
  }

  flush() {
    if (this.sent !== this.model.answered || !this.waiting.size) return;
    const [[key, value]] = this.waiting;
    this.waiting.delete(key);
    this.sent += 1;
    emit("working", { who: "controls", on: true });
    sendMessage(this.model, "change", { key, value, serial: this.sent });
  }

  answer() {
    this.flush();
    if (this.sent !== this.model.answered) return;
    emit("working", { who: "controls", on: false });
    this.showProblem();
    this.showValues();
  }

  /** Move the focus to the control of a key; one that is not here is let be. */
  goTo(key) {
    const box = this.controls.get(key)?.box;
    if (!box) return;
    box.closest("details").open = true;
    box.scrollIntoView({ block: "center" });
    box.focus();
  }

  showValues() {
    const { values, reference } = this.model;
    for (const [key, control] of this.controls) {
      if (this.waiting.has(key) || this.sent !== this.model.answered) continue;
      const value = values[key];
      if (value === undefined || value === null) continue;
      this.showValue(control, value);
      this.showReference(control, reference[key], value);
    }
  }

  /** Show a value; what is being typed and not yet accepted stays. */
  showValue({ control, box, typed, slider }, value) {
    const isTyping = box.matches(":focus") && (this.problemKey === control.key || typed?.misread);
    if (control.ticked) box.checked = value > 0;
    else if (control.choices.length) box.value = String(value);
    else if (!isTyping) typed.show(shortValue(value, control.slider));
    if (!slider) return;
    this.setEnds(slider, control.slider, value);
    [, , typed.step] = control.slider;
    slider.value = value;
    slider.setAttribute("aria-valuetext", `${box.value} ${control.unit}`);
  }

  /** The way back to the reference's value, where the value is another. */
  showReference({ control, back }, reference, value) {
    back.hidden = reference === undefined || reference === null;
    back.hidden ||= Math.abs(reference - value) < 1e-9;
    if (back.hidden) return;
    back.dataset.value = reference;
    back.textContent = `↺ reference ${valueWords(control, reference)} ${control.unit}`.trimEnd();
  }

  /** The declared ends, drawn out in whole steps where the value lies beyond them. */
  setEnds(slider, [low, high, step], value) {
    if (value > high) high += step * Math.ceil((1.5 * value - high) / step);
    if (value < low) low -= step * Math.ceil((low - value) / step);
    [slider.min, slider.max, slider.step] = [low, high, step];
  }

  showProblem() {
    const { key = "", text = "" } = this.model.problem;
    this.problemKey = text ? key : null;
    for (const [own, { box, typed, problem }] of this.controls) {
      const mine = text !== "" && own === key;
      if (typed) typed.say(mine ? text : "");
      else sayBelow(box, problem, mine ? text : "");
      if (mine) box.closest("details").open = true;
    }
  }
}

/** While a slider is held, the scales of pictures do not shrink: what changes is seen. */
function holdScales(isHeld) {
  pageState.sliding = isHeld;
  emit("sliding", isHeld);
}

/** A control's value in words: a tick, the name of a choice, else a number. */
function valueWords(control, value) {
  if (control.ticked) return value > 0 ? "on" : "off";
  return control.choices[value] ?? shortValue(value, control.slider);
}

/** A value with as many decimals as its slider's step needs, and no more. */
function shortValue(value, slider) {
  const digits = slider ? Math.max(2, Math.ceil(-Math.log10(slider[2])) + 1) : 4;
  return String(Number(Number(value).toFixed(digits)));
}
