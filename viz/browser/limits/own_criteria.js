/* A design's own criteria: the list of them, and the dialog in which one is written. */

import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { NumberBox, problemLine, sayBelow } from "../shared/number_box.js";
import { NamePicker } from "./name_picker.js";

const PAUSE = 350; // ms without a key before what is typed is checked

export function render({ model, el }) {
  const view = new OwnCriteria(model);
  el.append(view.node);
  model.on("rows", () => view.showRows());
  model.on("msg:custom", (message) => view.receive(message.data ?? message));
}

class OwnCriteria {
  constructor(model) {
    this.model = model;
    this.asked = 0;
    this.mayBeEmpty = true; // nothing is said of an empty field before it is to be saved
    this.list = element("ul", {});
    this.add = element("button", { type: "button", onclick: () => this.open(-1) }, "Add criterion");
    this.node = element(
      "section",
      { class: "own-criteria", "aria-label": "Own criteria" },
      element("h2", {}, "Own criteria"),
      this.list,
      this.add,
      this.dialog(),
    );
    this.showRows();
  }

  // --- the list ---------------------------------------------------------------------------

  showRows() {
    const rows = this.model.rows;
    this.list.replaceChildren(...rows.map((row, index) => this.row(row, index)));
    this.add.disabled = rows.length >= this.model.most;
  }

  row(row, index) {
    const button = (words, deed) =>
      element(
        "button",
        { type: "button", "aria-label": `${words} ${row.name}`, onclick: deed },
        words,
      );
    return element(
      "li",
      {},
      element("span", { class: "own-name", title: row.words }, row.name),
      button("Edit", () => this.open(index)),
      button("Remove", () => this.remove(index)),
    );
  }

  remove(index) {
    sendMessage(this.model, "remove", { index });
    this.add.focus();
  }

  // --- the dialog -------------------------------------------------------------------------

  dialog() {
    const typed = { oninput: () => this.later(), autocomplete: "off" };
    const text = (name, attributes) => element("input", { id: `own-${name}`, ...attributes });
    this.inputs = {
      name: text("name", { ...typed, maxlength: 60 }),
      expression: element("textarea", {
        id: "own-expression",
        rows: 2,
        maxlength: 200,
        spellcheck: "false",
        oninput: () => this.later(),
      }),
      source: text("source", { ...typed, maxlength: 300 }),
    };
    this.bound = this.pick("bound", [
      ["most", "at most"],
      ["least", "at least"],
    ]);
    this.unit = this.pick("unit", this.model.units);
    this.allowable = new NumberBox({ id: "own-allowable", oninput: () => this.later() });
    this.problems = Object.fromEntries(
      ["name", "expression", "unit", "source", ""].map((key) => [
        key,
        problemLine(`own-${key || "form"}`),
      ]),
    );
    this.words = element("p", { class: "found", role: "status" });
    this.names = new NamePicker(this.model.names, (name) => this.insert(name));
    this.frame = element(
      "dialog",
      { "aria-label": "Own criterion", "data-quoted": "" }, // names and units are the file's
      element("h2", {}, "Own criterion"),
      element("form", { novalidate: true, onsubmit: (event) => this.save(event) }, ...this.parts()),
    );
    return this.frame;
  }

  pick(name, options) {
    const made = options.map(([value, words]) => element("option", { value }, words));
    return element("select", { id: `own-${name}`, onchange: () => this.check() }, ...made);
  }

  parts() {
    const field = (name, label, ...inside) =>
      element(
        "div",
        { class: "field" },
        element("label", { for: `own-${name}` }, label),
        ...inside,
      );
    const { name, expression, source } = this.inputs;
    return [
      field("name", "Name", name, this.problems.name),
      field("expression", "Expression", expression, this.problems.expression),
      element(
        "p",
        { class: "muted" },
        "+ − * / ** ( ), abs, sqrt, min, max. With a unit the result is converted and its kind ",
        "checked; a plain number takes each name in the unit listed.",
      ),
      this.names.node,
      element(
        "div",
        { class: "bound" },
        field("bound", "Allowed", this.bound),
        field("allowable", "Allowable", this.allowable.input),
        field("unit", "Unit", this.unit),
      ),
      this.allowable.problem,
      this.problems.unit,
      field("source", "Source of allowable", source, this.problems.source),
      this.words,
      this.problems[""],
      element(
        "div",
        { class: "buttons" },
        element("button", { type: "submit", class: "main" }, "Save criterion"),
        element("button", { type: "button", onclick: () => this.frame.close() }, "Cancel"),
      ),
    ];
  }

  open(index) {
    const row = this.model.rows[index];
    this.index = index;
    for (const [name, input] of Object.entries(this.inputs)) input.value = row?.[name] ?? "";
    this.allowable.show(row ? String(row.allowable) : "");
    this.unit.value = row?.unit ?? "";
    this.bound.value = row?.at_least ? "least" : "most";
    this.names.clear();
    this.say({}, "");
    this.frame.showModal();
    if (row) this.check();
  }

  insert(name) {
    const { expression } = this.inputs;
    expression.setRangeText(name, expression.selectionStart, expression.selectionEnd, "end");
    expression.focus();
    this.later();
  }

  // --- asking -----------------------------------------------------------------------------

  form() {
    const typed = Object.entries(this.inputs).map(([name, input]) => [name, input.value]);
    return {
      ...Object.fromEntries(typed),
      index: this.index,
      allowable: this.allowable.input.value,
      unit: this.unit.value,
      at_least: this.bound.value === "least",
    };
  }

  later() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.check(), PAUSE);
  }

  check() {
    this.mayBeEmpty = true;
    this.send("check");
  }

  save(event) {
    event.preventDefault();
    this.mayBeEmpty = false;
    this.send("save");
  }

  send(kind) {
    clearTimeout(this.timer);
    this.asked += 1;
    sendMessage(this.model, kind, { form: this.form(), serial: this.asked });
  }

  receive(message) {
    if (message.kind === "answer") this.answer(message);
  }

  /** Show what Python found; of an older state of the form it is ignored. */
  answer({ serial, problems, words, saved }) {
    if (serial !== this.asked) return;
    if (saved) this.frame.close();
    this.say(problems, words);
  }

  say(problems, words) {
    const blank = (key) => this.mayBeEmpty && this.form()[key] === "" && key !== "unit";
    const found = (key) => (blank(key) ? "" : (problems[key] ?? ""));
    for (const [key, line] of Object.entries(this.problems))
      sayBelow(this.inputs[key] ?? (key === "unit" ? this.unit : this.frame), line, found(key));
    this.allowable.say(found("allowable"));
    setText(this.words, words);
  }
}
