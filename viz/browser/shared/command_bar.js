/* The top bar: what is open, demo designs, files, the reference, the theme. */

import { addFigureDialog } from "../figures/figure_dialog.js";
import { BusySign } from "./busy_sign.js";
import { DesignLink } from "./design_link.js";
import { themeButton, unitsButton } from "./display_buttons.js";
import { element } from "./elements.js";
import { fileMenu } from "./file_menu.js";
import { FitLine } from "./fit_line.js";
import { helpDialog } from "./help_dialog.js";
import { historyKey, isTypedIn } from "./keys.js";
import { sendMessage } from "./messages.js";
import { leaveByLinks, pageLink, pageLinks } from "./page_links.js";
import { emit, pageState, subscribe } from "./page_state.js";
import { projectorButton } from "./projector.js";
import { hasLink } from "./share_link.js";
import { keepStoryboard, keptStoryboard, NO_ROOM } from "./storyboard_storage.js";
import { TabDraft } from "./tab_draft.js";
import { fileButton, saveFile } from "./text_file.js";

/** What changes the design, and may take the page longer than a moment. */
const CHANGES = ["demo", "design", "model", "all_fire", "set_reference", "undo", "redo"];
const HOME = "./"; // address of the page to start from
const MOST_BYTES = { design: 1_000_000 };
const SHOWN = [
  "title",
  "note",
  "demo",
  "reference",
  "trace",
  "on_trace",
  "firing",
  "fit",
  "message",
  "may_undo",
  "may_redo",
];

export function render({ model, el }) {
  const bar = new CommandBar(model);
  el.append(bar.node);
  for (const name of SHOWN) model.on(name, () => bar.show());
  model.on("fit_list", () => bar.fit.fillList(model.fit_list));
  model.on("msg:custom", (event) => bar.receive(event.data ?? event));
  model.on("revision", () => bar.draft.requestSoon());
  bar.listen();
  addFigureDialog(model, () => model.title);
  if (hasLink()) bar.link.open();
  else bar.draft.restore();
  bar.draft.requestSoon();
}

class CommandBar {
  constructor(model) {
    this.model = model;
    this.draft = new TabDraft(model, (kind, fields) => this.send(kind, fields));
    this.busy = new BusySign(() => this.draft.request());
    this.title = element("strong", { class: "title" });
    this.message = element("div", { class: "message", role: "status" });
    this.help = helpDialog(model.purpose, model.keys);
    this.fit = new FitLine(
      (key, page) => this.goToControl(key, page),
      () => sendMessage(model, "fit_list", {}),
    );
    this.node = element(
      "div",
      { class: "command-bar" },
      element("div", { class: "bar-line" }, this.where(), this.commands()),
      this.firing(),
      this.traced(),
      this.message,
      this.busy.node,
      this.help,
      this.fit.node,
      this.fit.dialog,
    );
    this.link = new DesignLink(this.draft, {
      node: this.node,
      say: (text, bad) => this.say(text, bad),
      refuse: (text) => {
        this.refused = { text, bad: true };
        this.show();
      },
    });
    this.show();
  }

  // --- making -----------------------------------------------------------------------------

  where() {
    const { pages, page } = this.model;
    const leave = (href) => this.draft.leave(() => window.location.assign(href));
    const home = element("h1", {}, pageLink(["sixthrow", HOME], page === "Start", leave));
    leaveByLinks(document, leave);
    return element("div", { class: "where" }, home, pageLinks(pages, page, leave), this.title);
  }

  commands() {
    const showHelp = { "aria-label": "Help", title: "Help", onclick: () => this.help.showModal() };
    this.undo = signedButton("Undo", "↶", "Ctrl Z", () => this.send("undo"));
    this.redo = signedButton("Redo", "↷", "Ctrl Shift Z", () => this.send("redo"));
    return element(
      "div",
      { class: "commands" },
      this.demos(),
      this.files(),
      this.undo,
      this.redo,
      element("span", { class: "gap" }),
      ...this.referenceParts(),
      unitsButton((go) => this.draft.leave(go)),
      themeButton(),
      projectorButton(),
      element("button", showHelp, "?"),
    );
  }

  /** What stands below the bar where not all cylinders fire alike, with the way back. */
  firing() {
    this.firingWords = element("span", {});
    this.firingLine = element(
      "p",
      { class: "firing", role: "status", hidden: true },
      this.firingWords,
      element("button", { type: "button", onclick: () => this.send("all_fire") }, "All fire"),
    );
    return this.firingLine;
  }

  /** What stands below the bar where the gas force is measured, with the way back. */
  traced() {
    this.traceWords = element("span", {});
    this.toModel = element(
      "button",
      { type: "button", onclick: () => this.send("model") },
      "Back to model",
    );
    this.traceLine = element(
      "p",
      { class: "traced", role: "status", hidden: true },
      this.traceWords,
      this.toModel,
    );
    return this.traceLine;
  }

  demos() {
    this.demo = element(
      "select",
      {
        "aria-label": "Demo design",
        onchange: () => this.demo.value && this.send("demo", { name: this.demo.value }),
      },
      element("option", { value: "" }, "Demos…"),
      ...this.model.demos.map((name) => element("option", { value: name }, name)),
    );
    return this.demo;
  }

  /** The reference's name, and the buttons that set and clear it. */
  referenceParts() {
    this.setReference = element("button", { onclick: () => this.send("set_reference") });
    this.clearReference = element(
      "button",
      { title: "Clear reference", onclick: () => this.send("clear_reference") },
      ...namedSign("Clear reference", "✕"),
    );
    this.referenceName = element("span", {});
    this.reference = element(
      "span",
      { class: "reference-name muted" },
      element("span", { class: "prefix" }, "Reference: "),
      this.referenceName,
    );
    return [this.reference, this.setReference, this.clearReference];
  }

  files() {
    const button = (words, onclick, title) => element("button", { title, onclick }, words);
    this.back = button("Back to pressure model", () => this.send("model"));
    const step = button(
      "Add to storyboard",
      () => this.sendStep(),
      "What this page shows, at the end of the storyboard",
    );
    step.hidden = !this.model.makes_steps;
    return fileMenu(
      button("New design", () => this.newDesign(), "By rules of thumb from seven inputs"),
      this.fileButton("Open design", "design", ".toml"),
      button("Save design", () => this.send("save")),
      button("Save solids", () => this.send("solids"), "The crank train's parts as glTF"),
      button("Import measured pressure", () => this.openImport("trace")),
      button("Import full-load curve", () => this.openImport("curve")),
      this.back,
      button("Copy link", () => this.link.copy(), "A link that holds this whole design"),
      step,
      button("Make a report", () => this.send("report")),
    );
  }

  /** Go to the data sheet, which asks what a new design is to be. */
  newDesign() {
    const [label, href] = this.model.pages.find(([name]) => name === "Data sheet");
    const go = () => window.location.assign(`${href}#new`);
    if (label === this.model.page) go();
    else this.draft.leave(go);
  }

  fileButton(label, what, ending) {
    const take = (name, text) => this.send(what, { name, text });
    return fileButton(label, ending, MOST_BYTES[what], take, (words) => this.say(words, true));
  }

  /** Open the import of a kind, on the page that has it. */
  openImport(kind) {
    const { import_page } = this.model;
    if (import_page) this.draft.leave(() => window.location.assign(`${import_page}?${kind}`));
    else emit(`open_${kind}`);
  }

  /** Go to a control of this page, or of the page of a label. */
  goToControl(key, page) {
    if (page) this.draft.goTo({ page, place: { control: key } });
    else emit("control", key);
  }

  // --- messages ---------------------------------------------------------------------------

  send(kind, fields = {}) {
    if (!["draft", "restore"].includes(kind)) this.forgetRefused();
    sendMessage(this.model, kind, fields);
    if (CHANGES.includes(kind)) this.busy.wait();
  }

  /** Show again what the program says, once the reader goes on. */
  forgetRefused() {
    this.refused = null;
    this.show();
  }

  receive(message) {
    if (message.kind === "file") saveFile(message.name, message.text);
    else if (message.kind === "draft") this.takeDraft(message);
    else if (message.kind === "storyboard") this.stepCame(message);
    else if (message.kind === "go") this.draft.goTo(message);
  }

  takeDraft(message) {
    this.busy.answered(message.serial);
    if (!this.draft.take(message)) return;
    this.link.copyOf(message);
    this.draft.leaveWith(message.serial);
  }

  /** Put what the page shows at the end of the storyboard that this tab stores. */
  sendStep() {
    this.send("step", { text: keptStoryboard()?.text ?? "", place: pageState.place });
  }

  stepCame({ text, index }) {
    const isStored = keepStoryboard({ text, index });
    this.say(
      isStored
        ? `Step ${index + 1} added to the storyboard.`
        : `${NO_ROOM}: the step was not added.`,
      !isStored,
    );
  }

  /** Undo and redo by keys, but not those of a field that is being typed in. */
  listen() {
    subscribe(this.model, "asked", () => this.busy.wait());
    subscribe(this.model, "working", (work) => this.busy.work(work));
    subscribe(this.model, "go", (target) => this.draft.goTo(target));
    window.addEventListener("pagehide", () => this.draft.storePlace());
    window.addEventListener("hashchange", () => {
      if (!hasLink()) return;
      this.forgetRefused();
      this.link.open();
    });
    document.addEventListener("keydown", (event) => {
      const step = historyKey(event);
      if (!step || isTypedIn(event.composedPath()[0])) return;
      event.preventDefault();
      this.send(step);
    });
  }

  // --- showing ----------------------------------------------------------------------------

  say(text, bad) {
    this.message.textContent = text;
    this.message.classList.toggle("bad", bad);
  }

  show() {
    const { title, note, message, demo } = this.model;
    this.title.textContent = title;
    this.title.title = [title, note].filter(Boolean).join(": ");
    this.demo.value = demo;
    this.node.classList.toggle("of-demo", Boolean(demo));
    this.undo.disabled = !this.model.may_undo;
    this.redo.disabled = !this.model.may_redo;
    this.back.hidden = !this.model.on_trace;
    this.firingLine.hidden = !this.model.firing;
    this.firingWords.textContent = `${this.model.firing}.`;
    this.traceLine.hidden = !this.model.trace;
    this.traceWords.textContent = `${this.model.trace}.`;
    this.toModel.hidden = !this.model.on_trace;
    this.showReference();
    this.fit.show(this.model.fit);
    const { text = "", bad = false } = this.refused ?? message;
    this.say(text, bad);
  }

  showReference() {
    const { reference } = this.model;
    this.reference.hidden = !reference;
    this.referenceName.textContent = reference;
    this.reference.title = reference;
    this.clearReference.hidden = !reference;
    this.setReference.title = reference
      ? `Replace reference; now: ${reference}`
      : "Compare with this design: it stays in every picture, in grey";
    this.setReference.replaceChildren(
      ...(reference ? namedSign("Replace reference", "⟳") : ["Set reference"]),
    );
  }
}

/** Words beside the reference's name, and a sign where the bar has no room for them. */
function namedSign(words, sign) {
  return [
    element("span", { class: "reference-word" }, words),
    element("span", { class: "reference-sign", "aria-hidden": "true" }, sign),
  ];
}

/** A button that shows its word, and a sign in its place where there is little room. */
function signedButton(word, sign, title, onclick) {
  return element(
    "button",
    { class: "desk", title: `${word} (${title})`, "aria-label": word, onclick },
    element("span", { class: "word" }, word),
    element("span", { class: "sign", "aria-hidden": "true" }, sign),
  );
}
