/* Copying and opening links that hold a design. */

import { element } from "./elements.js";
import { pageState } from "./page_state.js";
import { forgetLink, linkedScene, linkOf } from "./share_link.js";

export class DesignLink {
  /**
   * `draft` is the tab's design, `say(text, bad)` shows a message, `refuse(text)` one that stays
   * until the reader does something, and `node` is where a dialog goes.
   */
  constructor(draft, { say, refuse, node }) {
    this.draft = draft;
    this.say = say;
    this.refuse = refuse;
    this.node = node;
    this.serial = undefined; // of the draft that becomes a link
  }

  /** Ask for the design as it is now; the answer becomes a link. */
  copy() {
    this.serial = this.draft.request();
  }

  /** Copy the link of a draft if it is the one asked for. */
  async copyOf({ kind, serial, steps, ...draft }) {
    if (this.serial !== serial) return;
    this.serial = undefined;
    let link;
    try {
      link = await linkOf({ ...draft, place: pageState.place });
    } catch ({ message }) {
      const measured = "measured traces make it long; Save design gives a file to send instead";
      this.refuse(`No link was copied: ${message}, and ${measured}.`);
      return;
    }
    try {
      await navigator.clipboard.writeText(link);
      this.say("The link is copied: it holds this design, the speed and the reference.", false);
    } catch {
      this.show(link);
    }
  }

  /** Show a link to copy by hand, where the clipboard is shut off. */
  show(link) {
    const title = "Link to this design";
    const box = element("input", {
      type: "text",
      readonly: true,
      "aria-label": title,
      value: link,
    });
    const dialog = element(
      "dialog",
      { "aria-label": "Link" },
      element("h2", {}, title),
      box,
      element("form", { method: "dialog" }, element("button", {}, "Close")),
    );
    dialog.addEventListener("close", () => dialog.remove());
    this.node.append(dialog);
    dialog.showModal();
    box.select();
  }

  /** Open the design of a link, or say why not. */
  async open() {
    const { draft } = this;
    draft.isOpening = true;
    draft.hidePage();
    try {
      draft.restoreLinked(await linkedScene());
    } catch (error) {
      this.reject(error);
    }
    forgetLink();
    draft.isOpening = false;
    draft.requestSoon();
  }

  /** Say what is wrong with a link, and go on with what this tab holds, else with the default. */
  reject({ message }) {
    const { draft } = this;
    if (!draft.hasCome) draft.restore();
    const stays =
      draft.restoring || draft.hasCome
        ? "The design of this tab stays"
        : "The default design is shown";
    if (!draft.restoring) draft.stopRestoring();
    this.refuse(`The link was not opened: ${message}. ${stays}.`);
  }
}
