/*
 * The inputs that differ, the results at the chosen speeds and the limits, the largest change
 * first.
 */

import { verdictMark } from "../figures/marks.js";
import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { NumberBox } from "../shared/number_box.js";
import { subscribe } from "../shared/page_state.js";

const HEADS = {
  inputs: ["Input", "A", "B", "B − A", "Change"],
  results: ["Result", "A", "B", "B − A", "Change"],
  limits: ["Limit", "A", "B", "B − A", "Change"],
};
export function render({ model, el }) {
  const view = new CompareTables(model);
  el.append(view.node);
  model.on("tables", () => view.show());
  subscribe(model, "speeds", (chosen) => view.choose(chosen));
}

class CompareTables {
  constructor(model) {
    this.model = model;
    this.view = "rated";
    this.leastChange = 1; // %
    this.least = new NumberBox({
      min: 0,
      value: this.leastChange,
      "aria-label": "Minimum change shown, %",
      oninput: () => this.takeLeast(),
    });
    this.only = element("input", { type: "checkbox", onchange: () => this.fill() });
    this.count = element("span", { class: "muted count", role: "status" });
    this.save = element(
      "button",
      { type: "button", onclick: () => sendMessage(model, "table") },
      "Save as CSV",
    );
    this.tables = Object.fromEntries(Object.keys(HEADS).map((kind) => [kind, this.table(kind)]));
    this.note = element("p", { class: "muted note" });
    this.empty = element(
      "p",
      { class: "empty" },
      "Choose a design A, or set a reference, to compare it with B. Or see an example: ",
      element(
        "button",
        { type: "button", onclick: () => sendMessage(model, "example") },
        "Touring against short rod",
      ),
    );
    const { inputs, results, limits } = this.tables;
    this.parts = element(
      "div",
      { class: "parts" },
      region("inputs", "Inputs that differ", inputs.node),
      region("results", "Results and limits", results.node, limits.node, this.note),
    );
    this.node = element("div", { class: "compared" }, this.filterRow(), this.empty, this.parts);
    this.show();
  }

  filterRow() {
    return element(
      "div",
      { class: "filter" },
      element("label", {}, this.only, " Only what differs by more than"),
      element(
        "label",
        { class: "least" },
        this.least.input,
        element("span", { class: "muted" }, " %"),
      ),
      this.least.problem,
      this.count,
      this.save,
    );
  }

  /** An empty table; its roles are named, for on a phone its rows are not laid out as a table's. */
  table(kind) {
    const caption = element("caption", {});
    const body = element("tbody", { role: "rowgroup" });
    const heads = HEADS[kind].map((text, place) =>
      element(
        "th",
        { scope: "col", role: "columnheader", class: place > 0 ? "number" : null },
        text,
      ),
    );
    const node = element(
      "table",
      { "data-table": kind, role: "table" },
      caption,
      element(
        "colgroup",
        {},
        ...["what", "a", "b", "gap", "change"].map((name) => element("col", { class: name })),
      ),
      element("thead", { role: "rowgroup" }, element("tr", { role: "row" }, ...heads)),
      body,
    );
    return { node, caption, body, columns: HEADS[kind].length };
  }

  show() {
    this.message = this.model.tables ? JSON.parse(this.model.tables) : null;
    this.empty.hidden = this.message !== null;
    this.parts.hidden = this.message === null;
    this.save.disabled = this.message === null;
    setText(this.note, this.message?.note ?? "");
    this.fill();
  }

  /** Show the results of another view. */
  choose(view) {
    this.view = view;
    this.fill();
  }

  /** What each table is called and its rows, in the view that is chosen. */
  contents() {
    const { inputs, limits, views } = this.message;
    const results = views.find(({ key }) => key === this.view);
    return { inputs: { title: "Inputs that differ", rows: inputs }, results, limits };
  }

  /** Fill the tables with the rows that pass the filter. */
  fill() {
    if (!this.message) {
      setText(this.count, "");
      return;
    }
    const counts = Object.entries(this.contents()).map(([kind, { title, rows }]) => {
      const shown = rows.filter((row) => this.passes(row));
      const { body, caption, columns } = this.tables[kind];
      const none =
        kind === "inputs" && !rows.length
          ? "No input differs."
          : "Nothing differs by more than that.";
      setText(caption, title);
      body.replaceChildren(
        ...(shown.length ? shown.map((row) => this.row(row)) : [noRow(none, columns)]),
      );
      return `${shown.length} of ${rows.length} ${kind}`;
    });
    setText(this.count, counts.join(", "));
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

  row({ key, part, label, cells, margins, verdicts, verdict_words: words, size }) {
    const cell = (text, place) =>
      element(
        "td",
        { class: "number", role: "cell" },
        text,
        place < 2 ? margin(margins[place], verdicts[place], words[place]) : null,
      );
    return element(
      "tr",
      { "data-key": key, role: "row", class: size === 0 ? "same" : null },
      element(
        "th",
        { scope: "row", role: "rowheader" },
        element("span", { class: "muted part" }, part),
        ` ${label}`,
      ),
      ...cells.map(cell),
    );
  }
}

function region(kind, title, ...children) {
  return element(
    "div",
    { class: `scroll ${kind}`, role: "region", "aria-label": title, tabindex: 0 },
    ...children,
  );
}

/**
 * A margin, or the verdict in words, with its mark under the value; nothing where nothing is
 * judged.
 */
function margin(text, verdict, words) {
  if (!text && !verdict) return null;
  return element(
    "span",
    { class: "margin" },
    verdict ? verdictMark(verdict) : null,
    element("span", { class: "hidden" }, verdict && text ? `${words}: ` : ""),
    element("span", {}, text || words),
  );
}

function noRow(text, columns) {
  return element(
    "tr",
    { role: "row" },
    element("td", { colspan: columns, role: "cell", class: "muted" }, text),
  );
}
