/* The inputs that differ and the results of two designs, the largest change first. */

const HEADS = {
  inputs: ["Input", "A", "B", "B − A", "Change"],
  results: ["Result", "A, and its margin", "B, and its margin", "B − A", "Change"],
};
const TITLES = { inputs: "Inputs that differ", results: "Results" };
export function render({ model, el }) {
  const view = new CompareTables(model);
  el.append(view.node);
  model.on("tables", () => view.show());
}

class CompareTables {
  constructor(model) {
    this.model = model;
    this.leastChange = 1; // %
    this.least = new NumberBox({ min: 0, value: this.leastChange, "aria-label": "Least change shown, %", oninput: () => this.takeLeast() });
    this.only = element("input", { type: "checkbox", onchange: () => this.fill() });
    this.count = element("span", { class: "muted count", role: "status" });
    this.save = element("button", { type: "button", onclick: () => model.send_msg({ kind: "table" }) }, "Save as CSV");
    this.tables = { inputs: this.table("inputs"), results: this.table("results") };
    this.empty = element("p", { class: "empty" }, "Choose a design A, or pin one, to compare it with B.");
    this.parts = element("div", { class: "parts" }, this.tables.inputs.node, this.tables.results.node);
    this.node = element("div", { class: "compared" }, this.filterRow(), this.empty, this.parts);
    this.show();
  }

  filterRow() {
    return element(
      "div", { class: "filter" },
      element("label", {}, this.only, " Only what differs by more than"),
      element("label", { class: "least" }, this.least.input, element("span", { class: "muted" }, " %")), this.least.problem,
      this.count, this.save
    );
  }

  table(kind) {
    const body = element("tbody");
    const table = element(
      "table", { "data-table": kind },
      element("caption", {}, TITLES[kind]),
      element("thead", {}, element("tr", {}, ...HEADS[kind].map((text, place) =>
        element("th", { scope: "col", class: place > 0 ? "number" : null }, text)))),
      body
    );
    const note = element("p", { class: "muted note" });
    const node = element("div", { class: `scroll ${kind}`, role: "region", "aria-label": TITLES[kind], tabindex: 0 }, table, note);
    return { body, node, note, columns: HEADS[kind].length };
  }

  show() {
    this.message = this.model.tables ? JSON.parse(this.model.tables) : null;
    this.empty.hidden = this.message !== null;
    this.parts.hidden = this.message === null;
    this.save.disabled = this.message === null;
    setText(this.tables.results.note, this.message?.note ?? "");
    this.fill();
  }

  /** Fill both tables with the rows that pass the filter. */
  fill() {
    if (!this.message) {
      setText(this.count, "");
      return;
    }
    const told = Object.keys(HEADS).map((kind) => {
      const rows = this.message[kind];
      const shown = rows.filter((row) => this.passes(row));
      const { body, columns } = this.tables[kind];
      const none = kind === "inputs" && !rows.length ? "No input differs." : "Nothing differs by more than that.";
      body.replaceChildren(...(shown.length ? shown.map((row) => this.row(row, kind)) : [noRow(none, columns)]));
      return `${shown.length} of ${rows.length} ${kind}`;
    });
    setText(this.count, told.join(", "));
  }

  /** Take the smallest change that is typed; what is no number leaves the last one. */
  takeLeast() {
    const least = this.least.read();
    if (least === undefined) return;
    this.leastChange = Math.max(least ?? 0, 0);
    this.fill();
  }

  passes({ size }) {
    if (!this.only.checked || size === null) return true;
    return size > this.leastChange;
  }

  row({ key, part, label, cells: [a, b, difference, change], margins, verdicts, size }, kind) {
    const cell = (text) => element("td", { class: "number" }, text);
    const judged = (text, place) => element("td", { class: "number" }, text, margin(margins[place], verdicts[place]));
    return element(
      "tr", { "data-key": key, class: size === 0 ? "same" : null },
      element("th", { scope: "row" }, element("span", { class: "muted part" }, part), ` ${label}`),
      ...(kind === "results" ? [judged(a, 0), judged(b, 1)] : [cell(a), cell(b)]), cell(difference), cell(change)
    );
  }
}

/** A margin with its verdict's mark, under the value; nothing where nothing is judged. */
function margin(text, verdict) {
  if (!text && !verdict) return null;
  return element(
    "span", { class: "margin" }, verdict ? verdictMark(verdict) : null,
    element("span", { class: "hidden" }, verdict ? `${verdict}: ` : ""), element("span", {}, text)
  );
}

function noRow(text, columns) {
  return element("tr", {}, element("td", { colspan: columns, class: "muted" }, text));
}
