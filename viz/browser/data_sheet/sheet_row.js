/* One row of the data sheet: its cells, what is typed in them and what is refused. */

import { element, setText } from "../shared/elements.js";

const UNSTATED = ["default", "not stated"];

export class SheetRow {
  /**
   * @param {Record<string, any>} row
   * @param {string[]} words of origin that may be chosen
   * @param {(cell: Record<string, string>) => void} send
   */
  constructor(row, words, send) {
    this.row = row;
    this.send = send;
    this.cells = { value: this.valueCell() };
    if (row.origin !== null) {
      this.cells.origin = this.cell(originPick(words, row), "origin");
      this.cells.note = this.cell(textBox(`Note on ${row.label}`), "note");
    }
    this.problem = element("p", { class: "problem", role: "alert", id: `${domId(row)}-problem` });
    this.problemRow = element(
      "tr",
      { class: "problem-row", hidden: true },
      element("td", { colspan: 6 }, this.problem),
    );
    this.node = element("tr", { "data-key": row.key, title: row.why || null }, ...this.columns());
    this.show(row);
  }

  columns() {
    const { row } = this;
    return [
      element(
        "th",
        { scope: "row" },
        element(
          "div",
          { class: "entry" },
          element("label", { for: `${domId(row)}-value` }, row.label),
          element("code", { class: "muted" }, row.key),
        ),
      ),
      ...(row.origin === null ? this.ownColumns() : this.entryColumns()),
    ];
  }

  /** Of a text of the design itself, which has no unit and no origin. */
  ownColumns() {
    this.range = element("td", { class: "range muted", colspan: 3 });
    return [element("td", { class: "value", colspan: 2 }, this.cells.value.input), this.range];
  }

  entryColumns() {
    const { row, cells } = this;
    this.range = element("td", { class: "range muted" });
    return [
      element("td", { class: "value" }, cells.value.input),
      element("td", { class: "unit muted" }, row.unit),
      this.range,
      element("td", { class: "origin" }, cells.origin?.input),
      element("td", { class: "note" }, cells.note?.input),
    ];
  }

  valueCell() {
    const { row } = this;
    const input = row.choices.length
      ? choicePick(row)
      : textBox(row.label, { class: row.number && !row.list ? "numeric" : null });
    input.id = `${domId(row)}-value`;
    return this.cell(input, "value");
  }

  cell(input, column) {
    input.dataset.column = column;
    input.setAttribute("aria-errormessage", `${domId(this.row)}-problem`);
    input.addEventListener("change", () => this.take(column));
    return { input, shown: "", sent: null };
  }

  /** Send what is typed in a column, where it is not what is there, or was sent, already. */
  take(column) {
    const cell = this.cells[column];
    const text = cell.input.value;
    if (text === cell.shown || text === cell.sent) return;
    cell.sent = text;
    this.send({ key: this.row.key, column, text });
  }

  /** Show what is there in place of what was typed. */
  takeBack(column) {
    const cell = this.cells[column];
    cell.input.value = cell.shown;
    cell.sent = null;
    this.say(column, "");
  }

  /** Show a row's values; what is being typed and was not sent stays. */
  show(row) {
    this.row = row;
    for (const [column, cell] of Object.entries(this.cells)) {
      const text = shownText(row, column);
      const isTyped = cell.input.value !== cell.shown && cell.sent === null;
      if (text !== cell.shown) this.say(column, "");
      else if (cell.sent !== null) continue;
      cell.shown = text;
      cell.sent = null;
      if (column === "origin") nameUnstated(cell.input, row);
      if (!isTyped || text === "") cell.input.value = text;
    }
    setText(this.range, rangeWords(row));
    this.node.classList.toggle("is-default", row.origin === "default");
    const { value, origin, note } = this.cells;
    if (!row.choices.length) value.input.placeholder = row.instead && `${row.instead} (default)`;
    if (!origin) return;
    origin.input.disabled = row.value === "";
    note.input.disabled = UNSTATED.includes(row.origin);
  }

  /** What was sent of a column is taken: show what is there now. */
  taken(column) {
    const cell = this.cells[column];
    if (!cell) return;
    if (cell.sent === cell.input.value || cell.sent === null) cell.input.value = cell.shown;
    cell.sent = null;
    this.say(column, "");
  }

  /** What was sent of a column is refused: it stays there, with the reason. */
  refuse(column, text, problem) {
    const cell = this.cells[column];
    if (!cell) return;
    cell.input.value = text;
    cell.sent = text;
    this.say(column, problem);
  }

  say(column, problem) {
    const { input } = this.cells[column];
    if (problem) input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
    const isOther = !problem && this.problem.dataset.column !== column;
    if (isOther) return;
    this.problem.dataset.column = column;
    setText(this.problem, problem);
    this.problemRow.hidden = !problem || this.node.hidden;
  }

  set hidden(hidden) {
    this.node.hidden = hidden;
    this.problemRow.hidden = hidden || !this.problem.textContent;
  }

  get hidden() {
    return this.node.hidden;
  }
}

function domId(row) {
  return row.key.replace(/\W/g, "-");
}

function textBox(label, attributes = {}) {
  return element("input", {
    type: "text",
    autocomplete: "off",
    spellcheck: "false",
    "aria-label": label,
    ...attributes,
  });
}

function choicePick(row) {
  return element(
    "select",
    { "aria-label": row.label },
    ...["", ...row.choices].map((choice) =>
      element(
        "option",
        { value: choice, hidden: !choice },
        choice.replaceAll("_", " ") || "default",
      ),
    ),
  );
}

function originPick(words, row) {
  return element(
    "select",
    { "aria-label": `Origin of ${row.label}` },
    ...["", ...words].map((word) => element("option", { value: word }, word)),
  );
}

/** The first choice says what stands where no origin is stated. */
function nameUnstated(pick, row) {
  setText(pick.options[0], UNSTATED.includes(row.origin) ? row.origin : "not stated");
}

function shownText(row, column) {
  if (column !== "origin") return row[column];
  return UNSTATED.includes(row.origin) ? "" : row.origin;
}

/** The range without the unit, which has a column of its own. */
function rangeWords({ choices, list, range, unit }) {
  if (choices.length) return `${choices.length} choices`;
  const bare = unit && range.endsWith(unit) ? range.slice(0, -unit.length).trim() : range;
  return list ? `${bare}, each` : bare;
}
