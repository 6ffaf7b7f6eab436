/* What the imports of measured files share: a file in a dialog, its fields, and what follows. */

import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { NumberBox, problemLine, readBoxes, sayBelow } from "../shared/number_box.js";
import { subscribe } from "../shared/page_state.js";
import { fileButton } from "../shared/text_file.js";
import { TypingPause } from "../shared/typing_pause.js";
import { ImportPreview } from "./import_preview.js";

const MOST_BYTES = 6_000_000;
const ENDINGS = ".csv,.txt,.tsv,.dat,.asc";

/** Choices that every file has. */
export const DIALECT = [
  ["separator", "Separator", ["comma", "semicolon", "tab", "blanks"].map(named)],
  ["decimal", "Decimal mark", ["point", "comma"].map(named)],
];

export class ImportForm {
  /**
   * `kind` names dialog, address and message; `picks` are choices: name, label and options;
   * `numbers` are boxes: name, label, unit and step.
   * @param {any} model
   * @param {Record<string, any>} given
   */
  constructor(model, given) {
    this.model = model;
    this.given = given;
    this.asked = model.answered;
    this.picks = {};
    this.boxes = {}; // of numbers
    this.problems = {}; // lines beside the fields, by name
    this.pause = new TypingPause(() => this.ask());
    this.preview = new ImportPreview(() => this.ask());
    this.status = element("span", { class: "muted", role: "status" });
    this.fileName = element("strong", {});
    this.node = element(
      "div",
      { class: given.kind },
      element("h2", {}, given.title),
      this.fileLine(),
      this.rest(),
    );
    this.show();
  }

  /** Follow what Python answers and what the page asks for. */
  listen() {
    const { model, given } = this;
    model.on("shown", () => this.show());
    model.on("answered", () => this.show());
    model.on("used", () => this.close());
    subscribe(model, `open_${given.kind}`, () => this.open());
    this.openIfAsked();
  }

  // --- making -----------------------------------------------------------------------------

  fileLine() {
    this.problems.file = this.problemOf("file");
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
      element("p", { class: "muted" }, `${this.given.about} At most 6 MB.`),
    );
  }

  /** All that is shown once a file has been read. */
  rest() {
    this.problems.columns = this.problemOf("columns");
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
    this.use.textContent = this.given.use;
    const cancel = element("button", { type: "button", onclick: () => this.leave() }, "Cancel");
    this.buttons = element("div", { class: "row buttons" }, this.use, cancel);
    return element("div", {}, this.body, this.buttons);
  }

  fields() {
    const picks = this.given.picks.map(([name, label, options]) => this.pick(name, label, options));
    const numbers = this.given.numbers.map((field) => this.number(field));
    return element("div", { class: "fields" }, ...picks.slice(0, 3), ...numbers, ...picks.slice(3));
  }

  number([name, label, unit, step]) {
    const id = this.idOf(name);
    const box = new NumberBox({
      id,
      step,
      oninput: () => this.pause.later(),
      onchange: () => this.ask(),
    });
    this.boxes[name] = box;
    this.problems[name] = box.problem;
    return element(
      "div",
      { class: "field" },
      element("label", { for: id }, label),
      element("span", { class: "row" }, box.input, element("span", { class: "muted" }, unit)),
      box.problem,
    );
  }

  pick(name, label, options) {
    const id = this.idOf(name);
    const box = element("select", { id, onchange: () => this.ask() }, ...optionsOf(options));
    this.picks[name] = box;
    this.problems[name] = this.problemOf(name);
    return element(
      "div",
      { class: "field" },
      element("label", { for: id }, label),
      box,
      this.problems[name],
    );
  }

  idOf(name) {
    return `${this.given.kind}-${name}`;
  }

  problemOf(name) {
    return problemLine(this.idOf(name));
  }

  /** What the checks found, what they offer, and what the file changes. */
  found() {
    this.words = element("p", {});
    this.finding = element("p", { class: "finding", role: "status" });
    this.warnings = element("div", {});
    this.offers = element("div", { class: "row" });
    this.effects = element("table", { class: "effects" });
    return element("div", {}, this.words, ...this.findings(), ...this.changes());
  }

  /** What stands between the words and what changes. */
  findings() {
    return [this.finding, this.offers, this.warnings];
  }

  changes() {
    return [
      element("h3", {}, "What it changes, at the present speed"),
      scrolled("What it changes", this.effects),
    ];
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
    return document.querySelector(`dialog.${this.given.kind}-import`);
  }

  open() {
    if (this.dialog.open) return;
    this.dialog.oncancel = () => this.send("close");
    this.dialog.showModal();
  }

  /** Open where another page sent the reader here for it. */
  openIfAsked() {
    if (!new URLSearchParams(window.location.search).has(this.given.kind)) return;
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
    this.dialog?.classList.toggle("has-file", Boolean(shown.fields));
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
    for (const [name, options] of Object.entries(shown.choices ?? {}))
      this.picks[name].replaceChildren(...optionsOf(options));
    for (const [name, box] of Object.entries(this.picks)) box.value = fields[name];
    for (const [name, box] of Object.entries(this.boxes)) {
      if (box.read() !== Number(fields[name])) box.show(fields[name]);
    }
    setText(this.note, shown.note ?? "");
    setText(this.words, shown.words ?? "");
    setText(this.finding, shown.finding ?? "");
    this.warnings.replaceChildren(
      ...(shown.warnings ?? []).map((text) => element("p", { class: "warning" }, `▲ ${text}`)),
    );
    this.offers.replaceChildren(...(shown.offers ?? []).map((offer) => this.offer(offer)));
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

/** An option whose words are its key. */
export function named(key) {
  return [key, key];
}

/** A table that scrolls by itself. */
export function scrolled(label, table) {
  const part = { class: "scroll", tabindex: 0, role: "group", "aria-label": label };
  return element("div", part, table);
}

export function tableRows(table) {
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

function optionsOf(options) {
  return options.map(([key, words]) => element("option", { value: key }, words));
}
