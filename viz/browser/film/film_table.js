/* All bearings as a table, the one nearest its limit first; the first column picks. */

import { verdictMark } from "../figures/marks.js";
import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";

export function render({ model, el }) {
  const view = new FilmTable(model);
  el.append(view.node);
  model.on("table", () => view.show());
  model.on("selected", () => view.showSelected());
}

class FilmTable {
  constructor(model) {
    this.model = model;
    this.table = element("table", {});
    this.note = element("p", { class: "muted note" });
    this.save = element(
      "button",
      { type: "button", onclick: () => sendMessage(model, "table") },
      "Save as CSV",
    );
    this.node = element(
      "div",
      { class: "bearing-table" },
      element(
        "div",
        { class: "scroll", role: "region", "aria-label": "All bearings", tabindex: 0 },
        this.table,
        this.note,
      ),
      element("div", { class: "foot" }, this.save),
    );
    this.show();
  }

  show() {
    if (!this.model.table) return;
    const { columns, rows, state_title: stateTitle, note } = JSON.parse(this.model.table);
    const focused = this.focusedKey();
    this.table.replaceChildren(
      element(
        "thead",
        {},
        element(
          "tr",
          {},
          head(columns[0], 0),
          head([stateTitle, ""], 0),
          ...columns.slice(1).map((column) => head(column, 1)),
        ),
      ),
      element("tbody", {}, ...rows.map((row) => this.row(row))),
    );
    setText(this.note, note ?? "");
    this.showSelected();
    if (focused) this.button(focused)?.focus({ preventScroll: true });
  }

  row({ key, state, words, cells }) {
    const [title, ...others] = cells;
    const button = element(
      "button",
      {
        type: "button",
        "data-bearing": key,
        onclick: () => sendMessage(this.model, "pick", { key }),
      },
      verdictMark(state),
      element("span", {}, title),
      element("span", { class: "hidden" }, `, ${words}`),
    );
    return element(
      "tr",
      { "data-row": key, "data-state": state },
      element("th", { scope: "row" }, button),
      element("td", { class: "state" }, words),
      ...others.map((text) => element("td", { class: "number" }, text)),
    );
  }

  button(key) {
    return [...this.table.querySelectorAll("[data-bearing]")].find(
      (one) => one.dataset.bearing === key,
    );
  }

  focusedKey() {
    const focused = this.node.getRootNode().activeElement;
    return focused && this.table.contains(focused) ? focused.dataset.bearing : null;
  }

  showSelected() {
    for (const row of this.table.querySelectorAll("tbody tr")) {
      const selected = row.dataset.row === this.model.selected;
      row.classList.toggle("selected", selected);
      row.querySelector("button").setAttribute("aria-pressed", selected);
    }
  }
}

function head([title, unit], place) {
  const words = [
    element("span", {}, title),
    ...(unit ? [element("span", { class: "unit muted" }, ` ${unit}`)] : []),
  ];
  return element("th", { scope: "col", class: place ? "number" : null }, ...words);
}
