/* The import of measured pressure: a file in a dialog, how it is taken, and what follows. */

import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { NumberBox, problemLine, readBoxes, sayBelow } from "../shared/number_box.js";
import { subscribe } from "../shared/page_state.js";
import { fileButton } from "../shared/text_file.js";
import { TypingPause } from "../shared/typing_pause.js";
import { TracePreview } from "./trace_preview.js";

const MOST_BYTES = 6_000_000;
const ENDINGS = ".csv,.txt,.tsv,.dat,.asc";
const PICKS = [
  [
    "separator",
    "Separator",
    [
      ["comma", "comma"],
      ["semicolon", "semicolon"],
      ["tab", "tab"],
      ["blanks", "blanks"],
    ],
  ],
  [
    "decimal",
    "Decimal mark",
    [
      ["point", "point"],
      ["comma", "comma"],
    ],
  ],
  ["unit", "Pressure unit", ["bar", "kPa", "MPa", "psi"].map((unit) => [unit, unit])],
  [
    "direction",
    "Angle with rotation",
    [
      ["rising", "rises"],
      ["falling", "falls"],
    ],
  ],
  [
    "reference",
    "Angle is that of",
    [
      ["cylinder", "each cylinder's own TDC"],
      ["engine", "cylinder 1's TDC"],
    ],
  ],
  ["cylinder", "Cylinders run on", [["0", "cylinder 1"]]],
  [
    "which",
    "Course",
    [
      ["mean", "mean of the cycles"],
      ["highest", "cycle of highest peak"],
      ["upper", "mean + 2σ"],
    ],
  ],
  [
    "zero",
    "Zero of pressure",
    [
      ["given", "as measured"],
      ["intake", "intake pressure at BDC"],
    ],
  ],
];

export function render({ model, el }) {
  const form = new TraceForm(model);
  el.append(form.node);
  model.on("shown", () => form.show());
  model.on("answered", () => form.show());
  model.on("used", () => form.close());
  subscribe(model, "open_trace", () => form.open());
  form.openIfAsked();
}

class TraceForm {
  constructor(model) {
    this.model = model;
    this.asked = model.answered;
    this.picks = {};
    this.boxes = {}; // of numbers
    this.pause = new TypingPause(() => this.ask());
    this.problems = {}; // lines beside the fields, by name
    this.preview = new TracePreview(() => this.ask());
    this.status = element("span", { class: "muted", role: "status" });
    this.fileName = element("strong", {});
    this.node = element(
      "div",
      { class: "trace" },
      element("h2", {}, "Measured cylinder pressure"),
      this.fileLine(),
      this.rest(),
    );
    this.show();
  }

  // --- making -----------------------------------------------------------------------------

  fileLine() {
    this.problems.file = problemLine("trace-file");
    const choose = fileButton(
      "Choose file",
      ENDINGS,
      MOST_BYTES,
      (name, text) => this.send("file", { name, text }),
      (words) => this.say("file", words),
    );
    this.size = element("span", { class: "muted" });
    return element(
      "div",
      {},
      element("div", { class: "row" }, choose, this.fileName, this.size, this.status),
      this.problems.file,
      element(
        "p",
        { class: "muted" },
        "Text with a column of crank angle in degrees and columns of pressure, one cycle or many; ",
        "at most 6 MB.",
      ),
    );
  }

  /** All that is shown once a file has been read. */
  rest() {
    this.problems.columns = problemLine("trace-columns");
    this.note = element("p", { class: "muted" });
    this.body = element(
      "div",
      { class: "body" },
      this.preview.node,
      this.problems.columns,
      this.fields(),
      this.note,
      this.found(),
    );
    this.use = element("button", { type: "button", class: "main", onclick: () => this.apply() });
    this.use.textContent = "Use this trace";
    const cancel = element("button", { type: "button", onclick: () => this.leave() }, "Cancel");
    this.buttons = element("div", { class: "row buttons" }, this.use, cancel);
    return element("div", {}, this.body, this.buttons);
  }

  fields() {
    const offset = this.number("offset", "Add to pressure", this.model.units.offset, 0.01);
    const tdc = this.number("firing_tdc", "Firing TDC at", "° of the file", 0.1);
    const picks = PICKS.map(([name, label, options]) => this.pick(name, label, options));
    const fields = [...picks.slice(0, 3), offset, tdc, ...picks.slice(3)];
    return element("div", { class: "fields" }, ...fields);
  }

  number(name, label, unit, step) {
    const box = new NumberBox({
      id: `trace-${name}`,
      step,
      oninput: () => this.pause.later(),
      onchange: () => this.ask(),
    });
    this.boxes[name] = box;
    this.problems[name] = box.problem;
    return element(
      "div",
      { class: "field" },
      element("label", { for: `trace-${name}` }, label),
      element("span", { class: "row" }, box.input, element("span", { class: "muted" }, unit)),
      box.problem,
    );
  }

  pick(name, label, options) {
    const id = `trace-${name}`;
    const box = element("select", { id, onchange: () => this.ask() }, ...optionsOf(options));
    this.picks[name] = box;
    this.problems[name] = problemLine(id);
    return element(
      "div",
      { class: "field" },
      element("label", { for: id }, label),
      box,
      this.problems[name],
    );
  }

  /** What the checks found, what they offer, and what the trace changes. */
  found() {
    this.words = element("p", {});
    this.finding = element("p", { class: "finding", role: "status" });
    this.warnings = element("div", {});
    this.offers = element("div", { class: "row" });
    this.effects = element("table", { class: "effects" });
    this.cylinders = element("table", { class: "effects" });
    return element(
      "div",
      {},
      this.words,
      element("div", { class: "scroll", tabindex: 0 }, this.cylinders),
      element("h3", {}, "Top dead centre and zero of pressure"),
      this.finding,
      this.offers,
      this.warnings,
      element("h3", {}, "What it changes, at the present speed"),
      element("div", { class: "scroll", tabindex: 0 }, this.effects),
    );
  }

  // --- asking -----------------------------------------------------------------------------

  send(kind, fields = {}) {
    this.asked += 1;
    sendMessage(this.model, kind, { serial: this.asked, ...fields });
    this.showBusy();
  }

  /** Ask for what follows from the fields as they stand. */
  ask() {
    this.pause.stop();
    const numbers = readBoxes(this.boxes);
    if (!numbers) return;
    const picks = Object.entries(this.picks).map(([name, { value }]) => [name, value]);
    const roles = this.preview.roles();
    this.send("settings", { ...Object.fromEntries(picks), roles, ...numbers });
  }

  apply() {
    this.send("use");
  }

  /** Put a value that was offered into its field. */
  take({ field, value }) {
    this.boxes[field].show(value);
    this.ask();
    this.boxes[field].input.focus();
  }

  // --- the dialog -------------------------------------------------------------------------

  get dialog() {
    return document.querySelector("dialog.trace-import");
  }

  open() {
    if (this.dialog.open) return;
    this.dialog.oncancel = () => this.send("close");
    this.dialog.showModal();
  }

  /** Open where another page sent the reader here for it. */
  openIfAsked() {
    if (!new URLSearchParams(window.location.search).has("trace")) return;
    window.history.replaceState(null, "", window.location.pathname + window.location.hash);
    const open = () => this.open();
    if (document.readyState === "complete") open();
    else window.addEventListener("load", open);
  }

  leave() {
    this.send("close");
    this.close();
  }

  close() {
    this.pause.stop();
    if (this.dialog.open) this.dialog.close();
  }

  // --- showing ----------------------------------------------------------------------------

  show() {
    const { shown } = this.model;
    this.dialog?.classList.toggle("has-file", Boolean(shown.preview ?? shown.fields));
    setText(this.fileName, shown.file ?? "");
    setText(this.size, shown.size ?? "");
    this.body.hidden = !shown.fields;
    this.use.disabled = !shown.ready;
    if (shown.fields) this.showFile(shown);
    for (const name of Object.keys(this.problems)) this.say(name, shown.problems?.[name] ?? "");
    this.showBusy();
  }

  showFile(shown) {
    const { fields } = shown;
    this.preview.show(shown);
    if (shown.choices) this.picks.cylinder.replaceChildren(...optionsOf(shown.choices.cylinder));
    for (const [name, box] of Object.entries(this.picks)) box.value = fields[name];
    for (const [name, box] of Object.entries(this.boxes)) {
      if (box.read() !== Number(fields[name])) box.show(fields[name]);
    }
    setText(this.words, shown.words ?? "");
    setText(this.finding, shown.finding ?? "");
    this.warnings.replaceChildren(
      ...(shown.warnings ?? []).map((text) => element("p", { class: "warning" }, `▲ ${text}`)),
    );
    this.offers.replaceChildren(...(shown.offers ?? []).map((offer) => this.offer(offer)));
    setText(this.note, shown.note ?? "");
    this.cylinders.replaceChildren(...tableRows(shown.by_cylinder));
    this.effects.replaceChildren(...tableRows(shown.effects));
  }

  offer(offer) {
    return element("button", { type: "button", onclick: () => this.take(offer) }, offer.label);
  }

  say(name, text) {
    const input = this.boxes[name]?.input ?? this.picks[name] ?? this.fileName;
    sayBelow(input, this.problems[name], text);
  }

  showBusy() {
    const busy = this.model.answered < this.asked;
    this.node.setAttribute("aria-busy", String(busy));
    setText(this.status, busy ? "Reading…" : "");
  }
}

function optionsOf(options) {
  return options.map(([key, words]) => element("option", { value: key }, words));
}

function tableRows(table) {
  if (!table) return [];
  const head = table.head.map((text) => element("th", { scope: "col" }, text));
  const rows = table.rows.map(([label, ...texts]) =>
    element(
      "tr",
      {},
      element("th", { scope: "row" }, label),
      ...texts.map((text) => element("td", {}, text)),
    ),
  );
  return [element("thead", {}, element("tr", {}, ...head)), element("tbody", {}, ...rows)];
}
