/* The tolerance study's form: how far each kind of part scatters, and what follows in words. */

import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { NumberBox, readBoxes } from "../shared/number_box.js";
import { emit } from "../shared/page_state.js";
import { TypingPause } from "../shared/typing_pause.js";

export function render({ model, el }) {
  const form = new ScatterForm(model);
  el.append(form.node);
  for (const name of ["study", "problem", "answered", "busy"]) model.on(name, () => form.show());
  model.on("remove", () => form.leave());
}

class ScatterForm {
  constructor(model) {
    this.model = model;
    this.asked = model.answered;
    this.boxes = {}; // of numbers
    this.pause = new TypingPause(() => this.ask());
    this.picks = {};
    this.verdict = element("p", { class: "verdict", role: "status" });
    this.hint = element("p", {});
    this.problem = element("p", { class: "bad", role: "alert" });
    this.status = element("span", { class: "muted", role: "status" });
    this.bob = element("p", { class: "muted" });
    this.formulas = element("ul", { class: "formulas" });
    this.node = element(
      "div",
      { class: "scatter" },
      this.verdict,
      this.hint,
      this.problem,
      this.tolerances(),
      this.bob,
      element("details", {}, element("summary", {}, "Formulas with values"), this.formulas),
    );
    this.show();
  }

  /** How far each kind of part scatters, and how many shafts are drawn. */
  tolerances() {
    const { model } = this;
    const { fields } = model;
    return element(
      "details",
      { open: true },
      element(
        "summary",
        {},
        element("strong", {}, "Tolerances of parts"),
        element("span", { class: "muted" }, " (initial values are examples)"),
      ),
      element(
        "div",
        { class: "spreads" },
        ...model.rows.flatMap((row) => this.spread(row, fields)),
      ),
      element(
        "div",
        { class: "row grade" },
        ...this.pick("grade", "Grade", model.grades, fields.grade),
      ),
      element(
        "div",
        { class: "row" },
        ...this.pick(
          "bob",
          "Bob weights",
          [
            ["needed", "as the engine needs"],
            ["on", "on the pins"],
            ["off", "none"],
          ],
          fields.bob,
        ),
        ...this.number("share", "with", fields.share, "% of reciprocating mass"),
      ),
      element(
        "div",
        { class: "row" },
        ...this.number("samples", "Sample size", fields.samples),
        ...this.number("seed", "Seed", fields.seed),
        this.status,
      ),
    );
  }

  /** A kind of part: its label, number, unit, and the way it scatters. */
  spread([name, label, unit], fields) {
    const ways = [
      ["normal", "σ standard deviation"],
      ["uniform", "± half width, uniform"],
    ];
    const [title, number, problem] = this.number(name, label, fields[name]);
    const [, way] = this.pick(`${name}_way`, "", ways, fields[`${name}_way`]);
    way.setAttribute("aria-label", `${label}: distribution`);
    return [title, number, element("span", { class: "muted" }, unit), way, problem];
  }

  number(name, label, value, unit = null) {
    const box = new NumberBox({
      id: name,
      value,
      min: 0,
      oninput: () => this.pause.later(),
      onchange: () => this.ask(),
    });
    this.boxes[name] = box;
    return [
      element("label", { for: name }, label),
      box.input,
      ...(unit ? [element("span", { class: "muted" }, unit)] : []),
      box.problem,
    ];
  }

  pick(name, label, options, value) {
    const box = element(
      "select",
      { id: name, onchange: () => this.ask() },
      ...options.map(([key, words]) => element("option", { value: key }, words)),
    );
    box.value = value;
    this.picks[name] = box;
    return [element("label", { for: name }, label), box];
  }

  /** Ask for the study of what the form holds, once for the same values. */
  ask() {
    this.pause.stop();
    const numbers = readBoxes(this.boxes);
    if (!numbers) return;
    const selected = Object.entries(this.picks).map(([name, { value }]) => [name, value]);
    const values = { ...numbers, ...Object.fromEntries(selected) };
    const sent = JSON.stringify(values);
    if (sent === this.sent) return;
    this.sent = sent;
    this.asked += 1;
    sendMessage(this.model, "scatter", { serial: this.asked, ...values });
    this.show();
  }

  get busy() {
    return this.model.busy || this.model.answered < this.asked;
  }

  leave() {
    this.pause.stop();
    emit("working", { who: "scatter", on: false });
  }

  show() {
    const { study, problem } = this.model;
    emit("working", { who: "scatter", on: this.busy });
    this.node.setAttribute("aria-busy", this.busy);
    setText(this.status, this.busy ? "Sampling shafts…" : "");
    setText(
      this.problem,
      problem ? `✕ ${problem}${study.verdict ? " The last result stays." : ""}` : "",
    );
    this.problem.hidden = !problem;
    for (const name of ["verdict", "hint", "bob"]) {
      setText(this[name], study[name] ?? "");
      this[name].hidden = !study[name];
    }
    this.formulas.replaceChildren(...(study.formulas ?? []).map((text) => element("li", {}, text)));
  }
}
