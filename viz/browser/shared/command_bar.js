/* The top bar: what is open, demo designs, files, the pinned reference, the theme. */

import { addFigureDialog } from "../figures/figure_dialog.js";
import { BusySign } from "./busy_sign.js";
import { element } from "./elements.js";
import { sendMessage } from "./messages.js";
import { whenFiguresAreMade } from "./page_models.js";
import { emit, pageState, subscribe } from "./page_state.js";
import { forgetLink, hasLink, linkedScene, linkOf } from "./share_link.js";
import { shownUnit } from "./shown_units.js";
import { keepStoryboard, keptStoryboard, NO_ROOM } from "./storyboard_storage.js";
import { fileButton, saveFile } from "./text_file.js";
import { followedSteps, nearestSteps, stepsBack, STORED_STEPS } from "./undo_storage.js";

/** What changes the design, and may take the page longer than a moment. */
const CHANGES = ["demo", "design", "trace", "model", "pin", "undo", "redo"];
const MOST_BYTES = { design: 1_000_000, trace: 2_000_000 };

export function render({ model, el }) {
  const bar = new CommandBar(model);
  el.append(bar.node);
  model.on("title", () => bar.show());
  model.on("note", () => bar.show());
  model.on("demo", () => bar.show());
  model.on("pinned", () => bar.show());
  model.on("on_trace", () => bar.show());
  model.on("message", () => bar.show());
  model.on("msg:custom", (event) => bar.receive(event.data ?? event));
  model.on("revision", () => bar.askForDraft());
  model.on("may_undo", () => bar.show());
  model.on("may_redo", () => bar.show());
  bar.listen();
  whenFiguresAreMade(model, () => addFigureDialog(model, () => model.title));
  if (hasLink()) bar.openLink();
  else bar.restore();
  bar.askForDraft();
}

class CommandBar {
  constructor(model) {
    this.model = model;
    this.title = element("strong", { class: "title" });
    this.demo = element(
      "select", { "aria-label": "Demo design", onchange: () => this.openDemo() },
      element("option", { value: "" }, "Demos…"),
      ...model.demos.map((name) => element("option", { value: name }, name))
    );
    this.pin = element("button", { onclick: () => this.send("pin") });
    this.unpin = referenceButton("Clear reference", "✕", { title: "Clear reference", onclick: () => this.send("unpin") });
    this.back = element("button", { onclick: () => this.send("model") }, "Back to pressure model");
    this.pinnedName = element("span", {});
    this.pinned = element("span", { class: "pinned muted" }, element("span", { class: "prefix" }, "Reference: "), this.pinnedName);
    this.undo = signedButton("Undo", "↶", "Ctrl Z", () => this.send("undo"));
    this.redo = signedButton("Redo", "↷", "Ctrl Shift Z", () => this.send("redo"));
    this.share = element("button", { title: "A link that holds this whole design", onclick: () => this.copyLink() }, "Copy link");
    this.keep = element("button", { title: "What this page shows, at the end of the storyboard", onclick: () => this.keepScene() }, "Add to storyboard");
    this.keep.hidden = !this.model.makes_steps;
    this.theme = element("button", { onclick: () => this.switchTheme() });
    this.units = element("button", { onclick: () => this.switchUnits() });
    this.message = element("div", { class: "message", role: "status" });
    this.busy = new BusySign(() => this.requestDraft());
    this.help = this.helpDialog();
    this.asked = 0;
    this.kept = keptDraft() ?? {};
    this.node = element(
      "div", { class: "command-bar" },
      element("div", { class: "bar-line" },
        element("div", { class: "where" }, element("h1", {}, "sixthrow"), this.pages(), this.title),
        element(
          "div", { class: "commands" }, this.demo, this.fileMenu(), this.undo, this.redo,
          element("span", { class: "gap" }), this.pinned, this.pin, this.unpin, this.units, this.theme,
          element("button", { "aria-label": "Keys", title: "Keys", onclick: () => this.help.showModal() }, "?")
        )
      ),
      this.message, this.busy.node, this.help
    );
    this.show();
  }

  send(kind, fields = {}) {
    if (!["draft", "restore"].includes(kind)) this.refused = null;
    sendMessage(this.model, kind, fields);
    if (CHANGES.includes(kind)) this.busy.wait();
  }

  /** What is done with files and links; it closes after a choice, on Escape and on a click elsewhere. */
  fileMenu() {
    const menu = element(
      "details", { class: "menu" },
      element("summary", {}, "File"),
      element(
        "div", { class: "items" },
        this.fileButton("Open design", "design", ".toml"),
        element("button", { onclick: () => this.send("save") }, "Save design"),
        this.fileButton("Open pressure trace", "trace", ".csv"), this.back, this.share, this.keep,
        element("button", { onclick: () => this.send("report") }, "Make a report")
      )
    );
    const close = (back) => {
      if (!menu.open) return;
      menu.open = false;
      if (back) menu.querySelector("summary").focus();
    };
    menu.addEventListener("click", (event) => event.target.matches("button") && close(true));
    menu.addEventListener("keydown", (event) => {
      if (event.key !== "Escape") return;
      event.stopPropagation();
      close(true);
    });
    document.addEventListener("pointerdown", (event) => event.composedPath().includes(menu) || close(false));
    return menu;
  }

  fileButton(label, what, ending) {
    const take = (name, text) => this.send(what, { name, text });
    return fileButton(label, ending, MOST_BYTES[what], take, (words) => this.say(words, true));
  }

  pages() {
    const links = this.model.pages.map(([label, href]) =>
      element("a", {
        href, "aria-current": label === this.model.page ? "page" : null,
        onclick: (event) => this.leave(event),
      }, label)
    );
    const nav = element("nav", { "aria-label": "Pages" }, ...links);
    const here = links.find((link) => link.hasAttribute("aria-current"));
    if (here) requestAnimationFrame(() => (nav.scrollLeft = here.offsetLeft - nav.offsetLeft - nav.clientWidth / 3));
    return nav;
  }

  openDemo() {
    if (this.demo.value) this.send("demo", { name: this.demo.value });
  }

  receive(message) {
    if (message.kind === "file") saveFile(message.name, message.text);
    else if (message.kind === "draft") {
      this.busy.answered(message.serial);
      this.takeDraft(message);
    }
    else if (message.kind === "storyboard") this.sceneKept(message);
    else if (message.kind === "go") this.goTo(message);
  }

  /** Keep the design and its steps; one asked for before what is being restored is let go. */
  takeDraft({ kind, serial, steps, ...draft }) {
    if (this.restoring && serial !== null) return;
    this.stopRestoring();
    this.drafted = true;
    this.kept = { ...draft, steps: followedSteps(this.kept, steps, draft.text) };
    keepDraft(this.kept);
    if (this.linking === serial) this.offerLink(draft);
    if (this.leaving && serial === this.leaving.serial) this.leaving.go();
  }

  /** Ask for the design to keep in this tab: at once after a change, then twice a second. */
  askForDraft() {
    if (this.restoring || this.opening || this.draftTimer) return;
    const wait = Math.max(0, (this.askedAt ?? -500) + 500 - performance.now());
    this.draftTimer = setTimeout(() => {
      this.draftTimer = null;
      if (!this.restoring) this.requestDraft();
    }, wait);
  }

  requestDraft() {
    this.asked += 1;
    this.askedAt = performance.now();
    this.send("draft", { serial: this.asked });
    return this.asked;
  }

  /**
   * After a reload, go on with the design that this tab kept. It is sent until it is answered,
   * and nothing else is kept before that, so that a message lost at the start loses no design.
   * Until then the page is not shown, lest another design flashes up.
   */
  restore() {
    this.restoring ??= keptDraft();
    if (!this.restoring) return;
    if (!this.waited) this.hidePage();
    this.send("restore", this.restoring);
    setTimeout(() => this.restoring && this.restore(), 1500);
  }

  /** Hide the page until it is restored, though not for long. */
  hidePage() {
    this.waited = true;
    document.documentElement.classList.add("restoring");
    setTimeout(() => document.documentElement.classList.remove("restoring"), 3000);
  }

  stopRestoring() {
    const { of_link: ofLink, page, place } = this.restoring ?? {};
    if ((ofLink || page === this.model.page) && place && typeof place === "object") announceOncePainted("place", place);
    this.restoring = null;
    document.documentElement.classList.remove("restoring");
  }

  /**
   * Go to another page with the design as it is now: keep a fresh draft, then go. A server that
   * does not answer holds nobody back.
   */
  leave(event) {
    if (event.button || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
    event.preventDefault();
    const { href } = event.currentTarget;
    if (event.currentTarget.matches("[aria-current]") || this.leaving) return;
    this.goFrom(() => window.location.assign(href));
  }

  /** Go to the page of a label, and to a place there. */
  goTo({ page, place }) {
    const found = this.model.pages.find(([label]) => label === page);
    if (!found) return;
    this.goFrom(() => {
      this.going = { page, place };
      window.location.assign(found[1]);
    });
  }

  /** Keep a fresh draft, then leave this page; `go` is what leaves it. */
  goFrom(go) {
    if (this.leaving) return;
    if (this.restoring) {
      go();
      return;
    }
    this.leaving = { serial: this.requestDraft(), go };
    setTimeout(go, 2000);
  }

  showUnits() {
    const other = shownUnit("system") === "us" ? "SI" : "US";
    this.units.textContent = other;
    this.units.setAttribute("aria-label", `${other} units`);
    this.units.title = `Show everything in ${other === "US" ? "US customary" : "SI"} units, files excepted`;
  }

  /** Show everything in the other system of units: the server makes the page anew in it. */
  switchUnits() {
    const next = shownUnit("system") === "us" ? "si" : "us";
    document.cookie = `sixthrow_units=${next}; path=/; max-age=31536000; samesite=strict`;
    this.goFrom(() => window.location.reload());
  }

  /** Keep where the reader is in the page, or is going, for the next page to go there. */
  keepPlace() {
    const kept = keptDraft();
    if (kept) keepDraft({ ...kept, page: this.model.page, place: pageState.place, ...this.going });
  }

  /** Put what the page shows at the end of the storyboard that this tab keeps. */
  keepScene() {
    this.send("step", { text: keptStoryboard()?.text ?? "", place: pageState.place });
  }

  sceneKept({ text, index }) {
    const kept = keepStoryboard({ text, index });
    this.say(kept ? `Step ${index + 1} added to the storyboard.` : `${NO_ROOM}: the step was not added.`, !kept);
  }

  /** Undo and redo by keys, but not those of a field that is being typed in. */
  listen() {
    subscribe(this.model, "asked", () => this.busy.wait());
    subscribe(this.model, "working", (told) => this.busy.work(told));
    window.addEventListener("pagehide", () => this.keepPlace());
    window.addEventListener("hashchange", () => hasLink() && this.openLink());
    document.addEventListener("keydown", (event) => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      const [target] = event.composedPath();
      if (target instanceof HTMLElement && target.matches("input:not([type=range], [type=checkbox]), textarea")) return;
      const key = event.key.toLowerCase();
      const kind = key === "y" || (key === "z" && event.shiftKey) ? "redo" : key === "z" ? "undo" : null;
      if (!kind) return;
      event.preventDefault();
      this.send(kind);
    });
  }

  /** Ask for the design as it is now; the answer becomes a link. */
  copyLink() {
    this.linking = this.requestDraft();
  }

  async offerLink(draft) {
    this.linking = null;
    const link = await linkOf({ ...draft, place: pageState.place });
    try {
      await navigator.clipboard.writeText(link);
      this.say("The link is copied: it holds this design, the speed and the reference.", false);
    } catch {
      this.showLink(link);
    }
  }

  /** Show a link to copy by hand, where the clipboard is shut off. */
  showLink(link) {
    const box = element("input", { type: "text", readonly: true, "aria-label": "Link to this design", value: link });
    const dialog = element(
      "dialog", { "aria-label": "Link" }, element("h2", {}, "Link to this design"), box,
      element("form", { method: "dialog" }, element("button", {}, "Close"))
    );
    dialog.addEventListener("close", () => dialog.remove());
    this.node.append(dialog);
    dialog.showModal();
    box.select();
  }

  /** Open the design of a link, from which undo leads back to what the tab held, or refuse it. */
  async openLink() {
    this.opening = true;
    this.hidePage();
    try {
      const scene = await linkedScene();
      this.kept = { text: scene.text, steps: stepsBack(this.kept, scene.text) };
      this.restoring = { ...scene, steps: this.kept.steps, of_link: true };
      this.restore();
    } catch (error) {
      this.refuseLink(error);
    }
    forgetLink();
    this.opening = false;
    this.askForDraft();
  }

  /** Say what is wrong with a link, and go on with what this tab holds, else with the default. */
  refuseLink({ message }) {
    if (!this.drafted) this.restore();
    const stays = this.restoring || this.drafted ? "The design of this tab stays" : "The default design is shown";
    this.refused = { text: `The link was not opened: ${message}. ${stays}.`, bad: true };
    if (!this.restoring) this.stopRestoring();
    this.show();
  }

  switchTheme() {
    const next = document.documentElement.dataset.theme === "dark" ? "light" : "dark";
    document.documentElement.dataset.theme = next;
    try { localStorage.setItem("sixthrow-theme", next); } catch { /* storage may be shut off */ }
    emit("theme", next);
    this.show();
  }

  say(text, bad) {
    this.message.textContent = text;
    this.message.classList.toggle("bad", bad);
  }

  show() {
    const { title, note, pinned, message, demo } = this.model;
    this.title.textContent = title;
    this.title.title = [title, note].filter(Boolean).join(": ");
    this.demo.value = demo;
    this.pinned.hidden = !pinned;
    this.pinnedName.textContent = pinned;
    this.pinned.title = pinned;
    this.unpin.hidden = !pinned;
    this.undo.disabled = !this.model.may_undo;
    this.redo.disabled = !this.model.may_redo;
    this.back.hidden = !this.model.on_trace;
    this.pin.title = pinned ? `Replace reference; now: ${pinned}` : "Compare with this design: it stays in every picture, in grey";
    this.pin.replaceChildren(...(pinned ? namedSign("Replace reference", "⟳") : ["Set reference"]));
    const dark = document.documentElement.dataset.theme === "dark";
    const other = dark ? "Light" : "Dark";
    this.theme.textContent = dark ? "☀" : "☾";
    this.theme.setAttribute("aria-label", other);
    this.theme.title = other;
    this.showUnits();
    const { text = "", bad = false } = message.text ? message : this.refused ?? {};
    this.say(text, bad);
  }

  helpDialog() {
    const dialog = element(
      "dialog", { "aria-label": "Keys" },
      element("h2", {}, "Keys"),
      element("dl", {}, ...this.model.keys.flatMap(([key, what]) => [element("dt", {}, key), element("dd", {}, what)])),
      element("form", { method: "dialog" }, element("button", {}, "Close"))
    );
    return dialog;
  }
}

/** A button beside the reference's name: a sign where the bar has no room for its words. */
function referenceButton(words, sign, options) {
  return element("button", options, ...namedSign(words, sign));
}

function namedSign(words, sign) {
  return [element("span", { class: "reference-word" }, words), element("span", { class: "reference-sign", "aria-hidden": "true" }, sign)];
}

/** A button that shows its word, and a sign in its place where there is little room. */
function signedButton(word, sign, title, onclick) {
  return element(
    "button", { title: `${word} (${title})`, "aria-label": word, onclick },
    element("span", { class: "word" }, word), element("span", { class: "sign", "aria-hidden": "true" }, sign)
  );
}

/** Tell the page's components once they have painted, for before that they have nothing to pick. */
function announceOncePainted(name, detail, tries = 300) {
  if (pageState.painted > 0) emit(name, detail);
  else if (tries > 0) setTimeout(() => announceOncePainted(name, detail, tries - 1), 30);
}

const DRAFT = "sixthrow-draft";

/** Keep a design and its steps in this tab; of too little room the oldest steps go first, then all
 * of them, then the pinned design; storage may also be shut off. */
function keepDraft(draft) {
  const fewer = (most) => ({ ...draft, steps: nearestSteps(draft.steps, most) });
  for (const smaller of [() => fewer(STORED_STEPS), () => fewer(STORED_STEPS / 10), () => fewer(0), () => ({ ...fewer(0), pinned: null })]) {
    try {
      sessionStorage.setItem(DRAFT, JSON.stringify(smaller()));
      return;
    } catch { /* the next is smaller */ }
  }
}

function keptDraft() {
  try {
    const kept = JSON.parse(sessionStorage.getItem(DRAFT));
    return typeof kept?.text === "string" ? kept : null;
  } catch { return null; }
}
