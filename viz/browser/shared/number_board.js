/* The main numbers: a strip of tiles, each of which opens to its formula, and the whole table. */

import { element, headed, setText } from "./elements.js";
import { withUnit } from "./number_words.js";

export function render({ model, el }) {
  const board = new NumberBoard(model);
  el.append(board.node);
  model.on("numbers", () => board.show());
  model.on("reference", () => board.show());
}

class NumberBoard {
  constructor(model) {
    this.model = model;
    this.numbers = [];
    this.strip = element("div", { class: "strip", role: "list" });
    this.dialog = element("dialog", { class: "formula" });
    this.table = element("dialog", { class: "all", "aria-label": "All main numbers" });
    this.all = element(
      "button",
      { class: "tile all", onclick: () => this.openTable() },
      "All numbers",
    );
    this.node = element("div", { class: "board" }, this.strip, this.dialog, this.table);
    this.tiles = new Map();
    this.show();
  }

  show() {
    this.numbers = JSON.parse(this.model.numbers);
    const shown = this.numbers.filter((number) => number.headline);
    if (shown.map((number) => number.key).join() !== [...this.tiles.keys()].join())
      this.build(shown);
    for (const number of shown) this.fill(this.tiles.get(number.key), number);
    if (this.table.open) this.fillTable();
    if (this.dialog.open) this.open(this.openKey);
  }

  build(shown) {
    this.tiles = new Map(
      shown.map((number) => {
        const value = element("span", { class: "value number" });
        const change = element("span", { class: "change number" });
        const node = element(
          "button",
          { class: "tile", "data-number": number.key, onclick: () => this.open(number.key) },
          element("span", { class: "label" }, number.label),
          value,
          change,
        );
        return [number.key, { node, value, change }];
      }),
    );
    this.strip.replaceChildren(
      ...[...this.tiles.values()].map(({ node }) => element("div", { role: "listitem" }, node)),
      element("div", { role: "listitem" }, this.all),
    );
  }

  fill({ node, value, change }, number) {
    setText(value, withUnit(number.text, number.unit));
    setText(change, number.difference ?? number.place);
    const reference = number.reference ? `; reference ${number.reference}` : "";
    node.title = `${number.label}: open its formula${reference}`;
  }

  open(key) {
    const number = this.numbers.find((other) => other.key === key);
    if (!number) return;
    this.openKey = key;
    this.dialog.setAttribute("aria-label", number.label);
    this.dialog.replaceChildren(
      element("h2", {}, number.label),
      element("p", { class: "big number" }, withUnit(number.text, number.unit)),
      ...headed("Formula", number.formula, "pre"),
      ...headed("With values (SI)", number.substitution, "pre"),
      ...headed("Conventions", number.conventions),
      ...headed("Source", number.source),
      element(
        "p",
        { class: "muted" },
        "For teaching and design review; release needs tests, codes and licensed practice.",
      ),
      element("form", { method: "dialog" }, element("button", {}, "Close")),
    );
    if (!this.dialog.open) this.dialog.showModal();
  }

  openTable() {
    this.fillTable();
    this.table.showModal();
  }

  fillTable() {
    const { reference } = this.model;
    const head = [
      "Number",
      "Now",
      ...(reference ? [`Reference: ${reference}`, "Difference"] : []),
      "",
    ];
    const rows = this.numbers.map((number) =>
      element(
        "tr",
        {},
        element("th", { scope: "row" }, number.label),
        element("td", { class: "number" }, withUnit(number.text, number.unit)),
        ...(reference
          ? [
              element("td", { class: "number" }, number.reference ?? "–"),
              element("td", { class: "number" }, number.difference ?? "–"),
            ]
          : []),
        element(
          "td",
          {},
          element(
            "button",
            { "aria-label": `Formula of ${number.label}`, onclick: () => this.open(number.key) },
            "Formula",
          ),
        ),
      ),
    );
    this.table.replaceChildren(
      element("h2", {}, "Main numbers"),
      element(
        "div",
        { class: "scroll", tabindex: 0 },
        element(
          "table",
          {},
          element(
            "thead",
            {},
            element("tr", {}, ...head.map((text) => element("th", { scope: "col" }, text))),
          ),
          element("tbody", {}, ...rows),
        ),
      ),
      element("form", { method: "dialog" }, element("button", {}, "Close")),
    );
  }
}
