/* The dialog of a new design: seven inputs; the rest follows by rules of thumb. */

import { element } from "../shared/elements.js";
import { NumberBox, problemLine, readBoxes, sayBelow } from "../shared/number_box.js";

export class NewDesignDialog {
  /**
   * @param {() => Record<string, any>[]} fields as they are now
   * @param {(form: Record<string, any>) => void} create
   */
  constructor(fields, create) {
    this.fields = fields;
    this.create = create;
    this.rows = element("div", { class: "fields" });
    this.problem = problemLine("new-design");
    this.node = element(
      "dialog",
      { class: "new-design", "aria-label": "New design" },
      element("h2", {}, "New design"),
      element(
        "p",
        { class: "muted" },
        "All else follows by rules of thumb, each with its source as origin: a start, no proof.",
      ),
      element(
        "form",
        { novalidate: true, onsubmit: (event) => this.submit(event) },
        this.rows,
        this.problem,
        element(
          "div",
          { class: "buttons" },
          element("button", { type: "submit" }, "Create design"),
          element("button", { type: "button", onclick: () => this.node.close() }, "Cancel"),
        ),
      ),
    );
  }

  open() {
    if (this.node.open) return;
    this.boxes = {};
    this.picks = {};
    this.rows.replaceChildren(...this.fields().map((field) => this.field(field)));
    this.answer({});
    this.node.showModal();
  }

  field(field) {
    const id = `new-${field.key}`;
    const label = element("label", { for: id }, field.label);
    if (field.choices.length) {
      const options = field.choices.map((choice) => element("option", { value: choice }, choice));
      const pick = element("select", { id }, ...options);
      pick.value = field.value || field.choices[0];
      this.picks[field.key] = pick;
      return element("div", { class: "field" }, label, pick);
    }
    const box = new NumberBox({ id, value: field.value });
    this.boxes[field.key] = box;
    const range = element("span", { class: "muted" }, field.range);
    return element("div", { class: "field" }, label, box.input, range, box.problem);
  }

  submit(event) {
    event.preventDefault();
    const numbers = readBoxes(this.boxes);
    if (!numbers) return;
    const picked = Object.entries(this.picks).map(([key, pick]) => [key, pick.value]);
    this.create({ ...numbers, ...Object.fromEntries(picked) });
  }

  /** Show what is wrong by field, "" for what belongs to none. */
  answer(problems) {
    for (const [key, box] of Object.entries(this.boxes)) box.say(problems[key] ?? "");
    const others = Object.entries(problems).filter(([key]) => !(key in this.boxes));
    sayBelow(this.rows, this.problem, others.map(([, words]) => words).join(" "));
  }

  /** It was created. */
  done() {
    this.node.close();
  }
}
