/* The line that says whether parts go together, and the list of all checks behind it. */

import { verdictMark } from "../figures/marks.js";
import { element } from "./elements.js";

const MARKS = { fits: "within", close: "marginal", "does not fit": "edge", "not checked": "guide" };

export class FitLine {
  /**
   * `go` takes the reader to the control of a key, on the page of a label, "" for this one; `ask`
   * asks for the list.
   */
  constructor(go, ask) {
    this.go = go;
    this.ask = ask;
    this.words = element("span", { class: "fit-words" });
    this.mark = element("span", { class: "fit-mark" });
    this.open = element(
      "button",
      { class: "fit-open", "aria-haspopup": "dialog", onclick: () => this.showList() },
      this.mark,
      this.words,
    );
    this.link = element("button", { class: "fit-go", onclick: () => this.goTo(this.found) });
    this.node = element(
      "div",
      { class: "fit", role: "status", "aria-label": "Does it fit", hidden: true },
      this.open,
      this.link,
    );
    this.list = element("div", { class: "fit-list" });
    this.dialog = element(
      "dialog",
      { class: "fit-dialog", "aria-labelledby": "fit-title" },
      element("h2", { id: "fit-title" }, "Does it fit"),
      this.list,
      element("form", { method: "dialog" }, element("button", {}, "Close")),
    );
  }

  /** Show what the checks found; nothing where there is no design to check. */
  show(text) {
    this.node.hidden = !text;
    if (!text) return;
    this.found = JSON.parse(text);
    const { line, fits, label, page } = this.found;
    this.node.classList.toggle("bad", !fits);
    this.mark.replaceChildren(verdictMark(fits ? "within" : "edge"));
    this.words.textContent = line;
    this.open.title = `${line}. Open the list of all checks`;
    this.open.setAttribute("aria-label", this.open.title);
    this.link.hidden = fits || page === null;
    this.link.textContent = `${label} →`;
    this.link.title = goWords(this.found);
    this.link.setAttribute("aria-label", this.link.title);
    if (this.dialog.open) this.ask();
  }

  showList() {
    this.ask();
    this.dialog.showModal();
  }

  /** Every check as a line that opens to its value, bound, formula and source. */
  fillList(text) {
    const rows = text ? JSON.parse(text) : [];
    const open = new Set(
      [...this.list.querySelectorAll("details[open]")].map(({ dataset }) => dataset.key),
    );
    this.list.replaceChildren(...rows.map((row) => this.row(row, open.has(row.key))));
  }

  row(row, isOpen) {
    const entries = [
      ["Value", row.value],
      ["Bound", row.bound],
      ["Formula", row.formula],
      ["With values", row.values],
      ["Source", row.source],
    ].filter(([, words]) => words);
    const link = element("button", { onclick: () => this.goTo(row) }, goWords(row));
    return element(
      "details",
      { open: isOpen, "data-key": row.key, "data-outcome": row.outcome },
      element(
        "summary",
        {},
        verdictMark(MARKS[row.outcome]),
        element("strong", {}, row.what),
        element("span", { class: "fit-outcome" }, row.outcome),
        element("span", { class: "fit-sentence" }, row.sentence),
      ),
      element(
        "dl",
        {},
        ...entries.flatMap(([name, words]) => [
          element("dt", {}, name),
          element("dd", { class: name === "Formula" ? "formula" : null }, words),
        ]),
      ),
      row.page === null ? element("p", { class: "muted" }, `Field: ${row.field}`) : link,
    );
  }

  goTo({ field, page }) {
    this.dialog.close();
    this.go(field, page);
  }
}

function goWords({ label, page }) {
  return `Go to ${label}${page ? `, on the page ${page}` : ""}`;
}
