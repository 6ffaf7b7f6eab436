/* The ladder of speed limits: a row a limit on one speed axis, or the same as a table. */

import { pageLines } from "../figures/page_lines.js";
import { pictureButton } from "../figures/picture_button.js";
import { followTheme } from "../figures/recolour.js";
import { choiceButtons } from "../shared/choice_buttons.js";
import { element, setText, svg } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { pageState, subscribe } from "../shared/page_state.js";
import { Picking } from "../shared/picking.js";
import { ladderFigure, rungsByPart } from "./ladder_columns.js";
import { axisParts, uprights } from "./ladder_drawing.js";
import { badge, hatching, legend } from "./ladder_marks.js";
import { LadderRow } from "./ladder_row.js";
import { LadderScale } from "./ladder_scale.js";
import { tableParts } from "./ladder_table.js";
import { noteLines } from "./ladder_words.js";

export function render({ model, el }) {
  const view = new LadderView(model);
  el.append(view.node);
  model.on("ladder", () => view.newLadder());
  model.on("bands", () => view.newBands());
  model.on("remove", () => view.stop());
  followTheme(model);
}

export class LadderView {
  constructor(model) {
    this.model = model;
    this.order = "speed";
    this.isNear = true; // whether the axis shows the speeds near the rated one alone
    this.rows = new Map(); // key to row
    this.picking = new Picking(model, () => this.showSelected());
    this.build();
    subscribe(
      model,
      "place",
      ({ selected }) => this.rows.has(selected) && this.picking.pick(selected),
    );
    this.onPrint = () => this.fillTable();
    window.addEventListener("beforeprint", this.onPrint);
    this.newLadder();
  }

  stop() {
    window.removeEventListener("beforeprint", this.onPrint);
  }

  // --- making -----------------------------------------------------------------------------

  build() {
    this.sentence = element("p", { class: "sentence", role: "status" });
    this.printTitle = element("p", { class: "print-title" });
    this.axis = svg("svg", { class: "axis", "aria-hidden": "true" });
    this.list = element("div", { class: "rows", role: "group", "aria-label": "Speed limits" });
    this.list.addEventListener("keydown", (event) => this.key(event));
    this.board = element("div", { class: "board" }, this.heads(), this.list);
    this.table = element("table", {});
    this.notes = element("section", {
      class: "notes muted",
      "aria-label": "Not assessed",
      tabindex: 0,
    });
    this.node = element(
      "div",
      { class: "ladder-view" },
      hatching(),
      this.printTitle,
      this.sentence,
      this.tools(),
      element("div", { class: "stage" }, this.board),
      element(
        "div",
        { class: "sheet", role: "region", "aria-label": "Margins as a table", tabindex: 0 },
        this.table,
      ),
      this.notes,
    );
    this.showAs("ladder");
  }

  heads() {
    const head = (name, text, title) => element("span", { class: `head ${name}`, title }, text);
    return element(
      "div",
      { class: "heads" },
      head("name", "Criterion"),
      this.axis,
      head("limit", "Limit, rpm"),
      head("use", "Used", "Maximum share of the allowable used up to the rated speed"),
      head("used-at", "at, rpm", "Speed of that maximum"),
      head("verdict", "Verdict"),
      head("left-out", "", "Something left out applies to this design"),
      head("known", "Allowable", "Source of allowable"),
    );
  }

  tools() {
    const orders = { speed: "By speed", part: "By part" };
    this.orders = choiceButtons("Order of the rungs", orders, (order) => {
      this.order = order;
      this.arrange();
    });
    const spans = { near: "Near rated", all: "All speeds" };
    this.spans = choiceButtons("Speeds on the axis", spans, (span) => {
      this.isNear = span === "near";
      if (this.ladder) this.showAxis();
    });
    const forms = { ladder: "Ladder", table: "Table" };
    this.forms = choiceButtons("Shown as", forms, (form) => this.showAs(form));
    this.save = element(
      "button",
      { onclick: () => sendMessage(this.model, "table") },
      "Save as CSV",
    );
    this.files = pictureButton(
      "Description, table and export of the ladder",
      () => this.ladder && this.figure(),
    );
    return element(
      "div",
      { class: "tools" },
      this.orders,
      this.spans,
      this.forms,
      this.save,
      this.files,
      legend(),
    );
  }

  showAs(form) {
    this.form = form;
    this.node.dataset.form = form;
    document.documentElement.dataset.ladder = form;
    this.save.hidden = form !== "table";
    this.files.hidden = form === "table";
    this.orders.hidden = form === "table";
    this.spans.hidden = form === "table";
    if (form === "table") this.fillTable();
  }

  // --- showing ----------------------------------------------------------------------------

  newLadder() {
    if (!this.model.ladder) return;
    this.ladder = JSON.parse(this.model.ladder);
    this.picking.forget();
    setText(this.printTitle, `${this.ladder.name}: what limits the speed`);
    this.showSentence();
    this.showAxis();
    this.showNotes();
    if (this.form === "table") this.fillTable();
    this.newBands(); // those that came before the page did
    pageState.painted += 1;
  }

  /** Draw axis and rows over the speeds chosen. */
  showAxis() {
    this.scale = new LadderScale(this.ladder, this.isNear);
    this.axis.replaceChildren(...axisParts(this.scale));
    this.showRows();
  }

  /** Bands come after their ladder, which they do not hold up; those of another are dropped. */
  newBands() {
    if (!this.model.bands || !this.ladder) return;
    const { sentence, bands, of } = JSON.parse(this.model.bands);
    if (of !== this.ladder.serial) return;
    this.ladder.sentence = sentence;
    for (const rung of this.ladder.rungs) rung.band = bands[rung.key] ?? null;
    this.showSentence();
    this.showRows();
    if (this.form === "table") this.fillTable();
  }

  showSentence() {
    const { sentence, verdict } = this.ladder;
    if (this.sentence.textContent === sentence && this.sentence.dataset.verdict === verdict) return;
    this.sentence.dataset.verdict = verdict;
    this.sentence.replaceChildren(badge(verdict), element("span", {}, sentence));
  }

  showRows() {
    const { rungs, reference } = this.ladder;
    const keys = new Set(rungs.map(({ key }) => key));
    for (const key of this.rows.keys()) if (!keys.has(key)) this.rows.delete(key);
    rungs.forEach((rung, place) => {
      if (!this.rows.has(rung.key))
        this.rows.set(rung.key, new LadderRow(rung.key, (key) => this.picking.pick(key)));
      this.rows.get(rung.key).show(rung, this.scale, place === 0);
    });
    this.node.classList.toggle("with-reference", Boolean(reference));
    this.arrange();
    this.showSelected();
  }

  /** Put the rows in order; those that moved slide there unless the reader wants no motion. */
  arrange() {
    const nodes = this.order === "speed" ? this.rowNodes(this.ladder.rungs) : this.nodesByPart();
    this.node.dataset.order = this.order;
    this.board.style.setProperty("--count", nodes.length);
    /** @type {any[]} */
    const before = [...this.list.children];
    if (nodes.length === before.length && nodes.every((node, place) => node === before[place]))
      return;
    const focused = this.list.getRootNode().activeElement;
    const tops = new Map(before.map((node) => [node, node.offsetTop]));
    this.list.replaceChildren(...nodes);
    if (focused && this.list.contains(focused)) focused.focus({ preventScroll: true });
    if (!matchMedia("(prefers-reduced-motion: reduce)").matches) slide(nodes, tops);
  }

  rowNodes(rungs) {
    return rungs.map(({ key }) => this.rows.get(key).node);
  }

  /** Each part a heading and its rungs. */
  nodesByPart() {
    return rungsByPart(this.ladder.rungs).flatMap(([part, rungs]) => [
      element(
        "h2",
        { class: "part" },
        element("span", {}, part),
        svg("svg", { class: "track", "aria-hidden": "true" }, ...uprights(this.scale)),
      ),
      ...this.rowNodes(rungs),
    ]);
  }

  showNotes() {
    const lines = noteLines(this.ladder);
    this.notes.hidden = !lines.length;
    this.notes.replaceChildren(...lines.map((text) => element("p", {}, text)));
  }

  fillTable() {
    if (this.ladder) this.table.replaceChildren(...tableParts(this.ladder));
  }

  /** The ladder for the dialog of figures, as it stands on the screen. */
  figure() {
    const patterns = [this.node.querySelector(".definitions")];
    return ladderFigure(this.ladder, () => pageLines(this.board, patterns));
  }

  // --- picking ----------------------------------------------------------------------------

  showSelected() {
    for (const [key, row] of this.rows) row.showCurrent(key === this.picking.key);
  }

  key(event) {
    /** @type {any[]} */
    const nodes = [...this.list.querySelectorAll(".rung")];
    const place = nodes.indexOf(event.target);
    const last = nodes.length - 1;
    const to = { ArrowDown: place + 1, ArrowUp: place - 1, Home: 0, End: last }[event.key];
    if (to === undefined || place < 0) return;
    event.preventDefault();
    const node = nodes[Math.min(Math.max(to, 0), last)];
    node.focus();
    this.picking.pick(node.dataset.rung);
  }
}

/** Let nodes slide from where they were, by their former tops [px]. */
function slide(nodes, tops) {
  for (const node of nodes) {
    const by = tops.has(node) ? tops.get(node) - node.offsetTop : 0;
    if (by)
      node.animate([{ transform: `translateY(${by}px)` }, { transform: "none" }], {
        duration: 180,
        easing: "ease-out",
      });
  }
}
