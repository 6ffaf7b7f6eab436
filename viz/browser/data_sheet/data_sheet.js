/* The data sheet: every entry of a design by part, edited as in a spreadsheet. */

import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { emit, pageState, subscribe } from "../shared/page_state.js";
import { NewDesignDialog } from "./new_design_dialog.js";
import { isBlock, isShown, originCounts, pastedCells } from "./sheet_cells.js";
import { SheetRow } from "./sheet_row.js";

const HEADS = ["Entry", "Value", "Unit", "Range", "Origin", "Note"];
const NEW = "#new"; // in the address
const PLAIN_ORIGINS = ["default", "not stated"];

export function render({ model, el }) {
  const sheet = new DataSheet(model);
  el.append(sheet.node);
  model.on("rows", () => sheet.rebuild());
  model.on("patch", () => sheet.showRows());
  model.on("msg:custom", (event) => sheet.receive(event.data ?? event));
  subscribe(model, "control", (key) => sheet.goTo(key));
  subscribe(model, "place", ({ control }) => control && sheet.goTo(control));
  const open = () => sheet.openNew();
  window.addEventListener("hashchange", open);
  model.on("remove", () => window.removeEventListener("hashchange", open));
  pageState.painted += 1;
  open();
}

class DataSheet {
  constructor(model) {
    this.model = model;
    this.serial = 0;
    this.asked = new Map(); // cells by serial
    this.search = element("input", {
      type: "search",
      "aria-label": "Search entries",
      placeholder: "Search",
      oninput: () => this.filter(),
    });
    this.pick = element("select", { "aria-label": "Show", onchange: () => this.filter() });
    this.status = element("span", { class: "muted", role: "status" });
    this.table = element("table", {});
    this.dialog = new NewDesignDialog(
      () => model.fields,
      (form) => this.create(form),
    );
    this.node = element(
      "div",
      { class: "data-sheet" },
      element(
        "div",
        { class: "tools" },
        this.search,
        this.pick,
        element("button", { type: "button", onclick: () => this.dialog.open() }, "New design"),
        element("button", { type: "button", onclick: () => this.save() }, "Save as CSV"),
        this.status,
      ),
      element("div", { class: "scroll" }, this.table),
      this.dialog.node,
    );
    this.table.addEventListener("keydown", (event) => this.key(event));
    this.table.addEventListener("paste", (event) => this.paste(event));
    this.rebuild();
  }

  save() {
    sendMessage(this.model, "table");
  }

  create(form) {
    emit("asked");
    sendMessage(this.model, "create", { form });
  }

  /** Open the new design's dialog where the address asks for it. */
  openNew() {
    if (window.location.hash !== NEW) return;
    const { pathname, search } = window.location;
    window.history.replaceState(null, "", pathname + search);
    this.dialog.open();
  }

  /** The rows as they are now, by key. */
  rowsNow() {
    const { rows, patch } = this.model;
    return new Map(rows.map((row) => [row.key, patch[row.key] ?? row]));
  }

  rebuild() {
    const send = (cell) => this.send([cell]);
    const rows = [...this.rowsNow().values()];
    this.rows = new Map(rows.map((row) => [row.key, new SheetRow(row, this.model.words, send)]));
    const head = HEADS.map((title) => element("th", { scope: "col" }, title));
    this.parts = this.model.parts.map((part) => this.part(part, rows));
    this.table.replaceChildren(
      element("thead", {}, element("tr", {}, ...head)),
      ...this.parts.map(({ node }) => node),
    );
    this.showCounts();
    this.filter();
  }

  part(part, rows) {
    const own = rows.filter((row) => row.group === part.group).map((row) => this.rows.get(row.key));
    const title = element("th", { scope: "rowgroup", colspan: 6 }, part.title);
    if (!part.given) title.append(...this.addition(part));
    if (part.removable) title.append(" ", this.button("remove", part, "Remove"));
    const node = element(
      "tbody",
      { "data-part": part.group },
      element("tr", { class: "part" }, title),
      ...own.flatMap((row) => [row.node, row.problemRow]),
    );
    return { ...part, own, node };
  }

  /** What stands beside the title of a part that the design lacks. */
  addition(part) {
    return [
      element("span", { class: "muted" }, " – not in this design "),
      this.button("add", part, "Add by rules of thumb"),
    ];
  }

  /** A button that adds a part or does away with it. */
  button(kind, { group, title }, words) {
    const ask = () => {
      emit("asked");
      sendMessage(this.model, kind, { group });
    };
    const label = `${words.split(" ")[0]} ${title}`;
    return element("button", { type: "button", "aria-label": label, onclick: ask }, words);
  }

  showRows() {
    const now = this.rowsNow();
    for (const [key, row] of this.rows) row.show(now.get(key));
    this.showCounts();
  }

  // --- filter -----------------------------------------------------------------------------

  /** Show the rows that are asked for; a row that is edited stays until this is asked anew. */
  filter() {
    const asked = { origin: this.pick.value, search: this.search.value };
    for (const { title, own, node, given } of this.parts) {
      for (const row of own) row.hidden = !isShown(row.row, { ...asked, title });
      const isPlain = !asked.origin && !asked.search.trim();
      node.hidden = own.length ? own.every((row) => row.hidden) : given || !isPlain;
    }
    const shown = this.visible().length;
    this.say(shown === this.rows.size ? "" : `${shown} of ${this.rows.size} entries shown`);
  }

  /** Lead to the value of an entry, or to the button that adds the part which it belongs to. */
  goTo(key) {
    const part = this.parts.find(({ group }) => group === key.split(".")[0]);
    const place = this.rows.get(key)?.cells.value.input ?? part?.node.querySelector("button");
    if (!place) return;
    this.search.value = this.pick.value = "";
    this.filter();
    place.scrollIntoView({ block: "center" });
    place.focus();
  }

  showCounts() {
    const counts = originCounts([...this.rows.values()].map(({ row }) => row));
    const kept = this.pick.value;
    const words = [...this.model.words, ...PLAIN_ORIGINS];
    const label = (word) => (word === "default" ? "still default" : word);
    this.pick.replaceChildren(
      element("option", { value: "" }, `All entries (${this.rows.size})`),
      ...words.map((word) =>
        element("option", { value: word }, `${label(word)} (${counts.get(word) ?? 0})`),
      ),
    );
    this.pick.value = kept;
  }

  visible() {
    return [...this.rows.values()].filter((row) => !row.hidden);
  }

  say(words) {
    setText(this.status, words);
  }

  // --- keys and paste ---------------------------------------------------------------------

  /** The row and the column of an event in one of the sheet's cells. */
  place(event) {
    const column = event.target.dataset?.column;
    const key = event.target.closest?.("tr")?.dataset.key;
    return column && key ? { row: this.rows.get(key), column } : null;
  }

  key(event) {
    const place = this.place(event);
    if (!place || event.ctrlKey || event.metaKey || event.altKey) return;
    const { row, column } = place;
    if (event.key === "Escape") {
      event.stopPropagation();
      row.takeBack(column);
    }
    const isPick = event.target.tagName === "SELECT"; // whose arrows choose
    const steps = { Enter: event.shiftKey ? -1 : 1, ...(!isPick && { ArrowDown: 1, ArrowUp: -1 }) };
    const step = steps[event.key];
    if (!step) return;
    event.preventDefault();
    row.take(column);
    this.focusFrom(row, column, step);
  }

  focusFrom(row, column, step) {
    const cells = this.visible()
      .map((other) => other.cells[column]?.input)
      .filter((input) => input && (!input.disabled || input === row.cells[column].input));
    const next = cells[cells.indexOf(row.cells[column].input) + step];
    next?.focus();
    next?.select?.();
  }

  paste(event) {
    const place = this.place(event);
    const text = event.clipboardData?.getData("text/plain") ?? "";
    if (!place || !isBlock(text)) return;
    event.preventDefault();
    const rows = this.visible();
    const keys = rows.slice(rows.indexOf(place.row)).map(({ row }) => row.key);
    const { cells, beyond } = pastedCells(text, place.column, keys);
    if (cells.length) this.send(cells, { pasted: true, beyond });
  }

  // --- messages ---------------------------------------------------------------------------

  send(cells, how = {}) {
    this.serial += 1;
    this.asked.set(this.serial, { cells, how });
    emit("asked");
    sendMessage(this.model, "edit", { cells, serial: this.serial });
  }

  receive(message) {
    if (message.kind === "answer") this.answered(message);
    else if (message.kind === "created") this.created(message.problems);
  }

  created(problems) {
    this.dialog.answer(problems);
    if (!Object.keys(problems).length) this.dialog.done();
  }

  answered(message) {
    const { cells, how } = this.asked.get(message.serial) ?? { cells: [], how: {} };
    this.asked.delete(message.serial);
    const refused = new Map(message.refused.map((cell) => [`${cell.column} ${cell.key}`, cell]));
    for (const { key, column } of cells) {
      const cell = refused.get(`${column} ${key}`);
      if (cell) this.rows.get(key)?.refuse(column, cell.text, cell.problem);
      else this.rows.get(key)?.taken(column);
    }
    if (how.pasted) this.say(pasteWords(cells.length, refused.size, how.beyond));
  }
}

function pasteWords(count, refused, beyond) {
  const words = [`${count - refused} of ${count} cells taken`];
  if (refused) words.push(`${refused} refused, see their rows`);
  if (beyond) words.push(`${beyond} lines beyond the last row left out`);
  return words.join("; ");
}
