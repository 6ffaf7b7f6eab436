/* The form of the selected step: what it shows and what is said of it. */

import { element, setText } from "../shared/elements.js";
import { formatWhole } from "../shared/number_words.js";
import { emit } from "../shared/page_state.js";

const LINE_PICTURES = [
  "rod_force",
  "side_thrust",
  "acceleration",
  "crank_torque",
  "free_force",
  "free_moment",
];
const FILM_PICTURES = ["journal", "load"];
const TABLES = ["films", "margins", "changes", "inputs"];
const CHARTS = ["limit", "limit_own", "shaft_mains", "shaft_moment"];
const STILL = ["ladder", "force_orders", "moment_orders", ...CHARTS, ...TABLES];
/** Which fields matter for a picture and a headline; the others are not shown. */
const MATTERS = {
  cylinder: ({ picture }) =>
    ["train", "big_end"].includes(picture) || LINE_PICTURES.slice(0, 3).includes(picture),
  bearing: ({ picture, headline }) =>
    FILM_PICTURES.includes(picture) || headline.startsWith("film."),
  rung: ({ picture }) => ["limit", "limit_own"].includes(picture),
  angle_deg: ({ picture }) => !STILL.includes(picture),
  moving: ({ picture }) => !STILL.includes(picture),
  forces: ({ picture }) => picture === "train",
};

export class StepForm {
  /** `change` is called with a key and its new value. */
  constructor(change) {
    this.change = change;
    this.rows = {};
    this.fields = {};
    this.of = element("p", { class: "muted of" });
    this.node = element(
      "div",
      { class: "form" },
      this.row("title", "Title", this.text("input", 120)),
      this.row("note", "Note", this.text("textarea", 600)),
      this.row("speaker", "Speaker notes", this.text("textarea", 600)),
      this.row("picture", "Picture", this.select()),
      this.row("cylinder", "Cylinder", this.select(Number)),
      this.row("bearing", "Bearing", this.select()),
      this.row("rung", "Limit", this.select()),
      this.row("angle_deg", "Crank angle, °", this.angle()),
      this.moving(),
      this.forces(),
      this.row("headline", "Headline number", this.select()),
      this.of,
    );
  }

  row(key, label, input) {
    input.id = `step-${key}`;
    input.addEventListener("change", () => this.change(key, this.fields[key].read()));
    this.fields[key] = { input, read: input.readValue ?? (() => input.value) };
    this.rows[key] = element(
      "div",
      { class: "field" },
      element("label", { for: input.id }, label),
      input,
    );
    return this.rows[key];
  }

  text(tag, longest) {
    return element(tag, {
      maxlength: longest,
      rows: tag === "textarea" ? 3 : null,
      type: tag === "input" ? "text" : null,
    });
  }

  /** @param {(text: string) => any} convert */
  select(convert = String) {
    const input = element("select");
    input.readValue = () => convert(input.value);
    return input;
  }

  /** A slider; the stage follows while it is pulled, the step takes the angle at the end. */
  angle() {
    const input = element("input", {
      type: "range",
      min: 0,
      max: 720,
      step: 1,
      oninput: () => emit("step-angle", Number(input.value)),
    });
    input.readValue = () => Number(input.value);
    return input;
  }

  moving() {
    this.box = element("input", {
      type: "checkbox",
      onchange: () => this.change("moving", this.box.checked),
    });
    this.rows.moving = element(
      "label",
      { class: "check" },
      this.box,
      " Moves while it is presented",
    );
    return this.rows.moving;
  }

  forces() {
    this.boxes = element("span", { class: "boxes" });
    this.rows.forces = element(
      "fieldset",
      { class: "forces" },
      element("legend", { class: "muted" }, "Forces"),
      this.boxes,
    );
    return this.rows.forces;
  }

  /** Show a step's values and what each may be. */
  show({ values, choices, cycle, of }) {
    for (const [key, { input }] of Object.entries(this.fields)) {
      if (choices[key]) fillSelect(input, choices[key]);
      if (key === "angle_deg") input.max = cycle;
      if (!input.matches(":focus") || input.value !== String(values[key]))
        input.value = String(values[key]);
    }
    this.box.checked = values.moving;
    this.showForces(choices.forces, values.forces);
    for (const [key, matters] of Object.entries(MATTERS)) this.rows[key].hidden = !matters(values);
    setText(this.of, `Shows ${of.now} at ${formatWhole(of.rpm)} rpm.`);
  }

  showForces(choices, chosen) {
    if (this.boxes.children.length !== choices.length) {
      this.boxes.replaceChildren(
        ...choices.map(([key, label]) =>
          element(
            "label",
            { class: "check" },
            element("input", {
              type: "checkbox",
              value: key,
              onchange: () => this.change("forces", this.chosen()),
            }),
            ` ${label}`,
          ),
        ),
      );
    }
    for (const box of this.boxes.querySelectorAll("input"))
      box.checked = chosen.includes(box.value);
  }

  chosen() {
    return [...this.boxes.querySelectorAll("input")]
      .filter((box) => box.checked)
      .map((box) => box.value);
  }
}

/** Give a select its options, anew only where they are others. */
function fillSelect(select, choices) {
  const key = JSON.stringify(choices);
  if (select.dataset.choices === key) return;
  select.dataset.choices = key;
  select.replaceChildren(...choices.map(([value, label]) => element("option", { value }, label)));
}
