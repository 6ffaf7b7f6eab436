/* The steps of a storyboard: added, named, ordered, saved, opened; this tab keeps them. */

import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { emit } from "../shared/page_state.js";
import { keepStoryboard, keptStoryboard, NO_ROOM } from "../shared/storyboard_storage.js";
import { fileButton } from "../shared/text_file.js";
import { StepForm } from "./storyboard_form.js";

const MOST_STORYBOARD_BYTES = 4_000_000;

export function render({ model, el }) {
  const list = new StepList(model);
  el.append(list.node);
  model.on("board", () => list.show());
  model.on("msg:custom", (event) => list.receive(event.data ?? event));
  model.on("remove", () => (list.restoring = null));
  list.restore();
}

class StepList {
  constructor(model) {
    this.model = model;
    this.list = element("ol", { class: "steps", "aria-label": "Steps" });
    this.empty = element(
      "p",
      { class: "empty muted" },
      "No step yet. A step stores the design of this tab, the reference, a picture, " +
        "a headline number and a note. ",
      element(
        "button",
        { type: "button", onclick: () => this.send("example") },
        "Show an example of five steps",
      ),
    );
    this.form = new StepForm((key, value) => this.send("change", { key, value }));
    this.said = element("p", { class: "said", role: "alert" });
    this.node = element(
      "div",
      { class: "storyboard" },
      this.commands(),
      this.said,
      this.empty,
      this.list,
      this.putBack(),
      this.tools(),
      this.form.node,
      this.sources(),
    );
    this.show();
  }

  commands() {
    this.present = element(
      "button",
      { type: "button", class: "present", onclick: () => emit("present") },
      "Present ▸",
    );
    this.save = element(
      "button",
      { type: "button", onclick: () => this.send("save") },
      "Save storyboard",
    );
    this.print = element(
      "button",
      { type: "button", onclick: () => emit("print-deck"), title: "A sheet a step; as PDF too" },
      "Print deck",
    );
    const take = (name, text) => this.send("open", { name, text });
    return element(
      "div",
      { class: "commands" },
      element(
        "button",
        { type: "button", class: "add", onclick: () => this.send("add") },
        "Add current view",
      ),
      this.present,
      this.save,
      this.print,
      fileButton("Open storyboard", ".json", MOST_STORYBOARD_BYTES, take, (words) =>
        setText(this.said, words),
      ),
    );
  }

  /** What is done with the selected step. */
  tools() {
    const tool = (label, text, onclick) =>
      element("button", { type: "button", "aria-label": label, title: label, onclick }, text);
    this.up = tool("Move the step up", "↑", () => this.send("move", { by: -1 }));
    this.down = tool("Move the step down", "↓", () => this.send("move", { by: 1 }));
    const remove = tool("Delete the step", "Delete", () => this.send("delete"));
    this.toolRow = element("div", { class: "tools" }, this.up, this.down, remove);
    return this.toolRow;
  }

  /** What was deleted last, until it is put back. */
  putBack() {
    this.deletedWords = element("span", { role: "status" });
    this.backButton = element(
      "button",
      { type: "button", onclick: () => this.send("undelete") },
      "Undo delete",
    );
    this.backRow = element("div", { class: "back" }, this.deletedWords, this.backButton);
    return this.backRow;
  }

  /** Between the step and the tab's own design. */
  sources() {
    this.sourceRow = element(
      "div",
      { class: "sources" },
      element(
        "button",
        { type: "button", onclick: () => this.send("take") },
        "Update with current design",
      ),
      element(
        "button",
        { type: "button", onclick: () => this.send("use") },
        "Open its design in this tab",
      ),
      (this.goButton = element("button", { type: "button", onclick: () => this.send("go") })),
    );
    return this.sourceRow;
  }

  send(kind, fields = {}) {
    setText(this.said, "");
    sendMessage(this.model, kind, fields);
  }

  show() {
    if (!this.model.board) return;
    const { steps, index, form, deleted = null } = JSON.parse(this.model.board);
    const focused = this.list.contains(this.list.getRootNode().activeElement);
    this.list.replaceChildren(
      ...steps.map((step, place) => this.item(step, place, place === index)),
    );
    if (focused) this.list.querySelector("[aria-current]")?.focus();
    const any = steps.length > 0;
    for (const node of [this.toolRow, this.form.node, this.sourceRow, this.list])
      node.hidden = !any;
    this.empty.hidden = any;
    this.showDeleted(deleted, any);
    this.present.disabled = this.save.disabled = this.print.disabled = !any;
    this.up.disabled = index === 0;
    this.down.disabled = index === steps.length - 1;
    if (form) this.form.show(form);
    if (form) setText(this.goButton, `Go to it: ${form.of.page}`);
    if (any) this.remember({ index });
  }

  /** Offer what was deleted; the keyboard goes to the list from a button that is gone. */
  showDeleted(deleted, any) {
    const left = deleted === null && this.backRow.contains(this.list.getRootNode().activeElement);
    this.backRow.hidden = deleted === null;
    setText(this.deletedWords, deleted === null ? "" : `Deleted: ${deleted || "Untitled"}`);
    if (left) this.list.querySelector("[aria-current]")?.focus();
    if (!any && deleted !== null && this.toolRow?.contains(this.list.getRootNode().activeElement))
      this.backButton.focus();
  }

  item({ title, picture, page }, place, selected) {
    return element(
      "li",
      {},
      element(
        "button",
        {
          type: "button",
          class: "step",
          "aria-current": selected ? "step" : null,
          onclick: () => this.send("pick", { index: place }),
        },
        element("span", { class: "number" }, `${place + 1}`),
        element(
          "span",
          { class: "words" },
          element("span", { class: "title" }, title || "Untitled"),
          element("span", { class: "muted what" }, picture === page ? page : `${page}: ${picture}`),
        ),
      ),
    );
  }

  // --- this tab ---------------------------------------------------------------------------

  receive({ kind, text, index }) {
    if (kind === "keep" || kind === "answered") this.restoring = null;
    if (kind === "keep") this.remember({ text, index });
  }

  /** Keep the storyboard or the place in it. */
  remember(what) {
    if (this.restoring || keepStoryboard(what)) return;
    setText(this.said, `${NO_ROOM}: save it as a file before you leave.`);
  }

  /** After a reload, go on with what this tab kept; it is sent until it is answered. */
  restore() {
    if (this.restoring === undefined) this.restoring = keptStoryboard();
    if (!this.restoring?.text) {
      this.restoring = null;
      return;
    }
    sendMessage(this.model, "restore", this.restoring);
    setTimeout(() => this.restoring && this.restore(), 1500);
  }
}
