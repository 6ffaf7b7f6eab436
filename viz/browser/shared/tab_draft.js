/* The design that a tab goes on with: after a reload, on another page, from a link. */

import { storeDraft, storedDraft } from "./draft_storage.js";
import { emit, pageState } from "./page_state.js";
import { followedSteps, stepsBack } from "./undo_storage.js";

const PAUSE = 500; // ms between two drafts while the design changes
const PATIENCE = 2000; // ms that a server which does not answer may hold the reader back

export class TabDraft {
  /** `send` sends a message to the program: its kind and fields. */
  constructor(model, send) {
    this.model = model;
    this.send = send;
    this.serial = 0;
    this.stored = storedDraft() ?? {};
    this.isOpening = false; // whether a link is being opened
    this.hasCome = false; // whether a draft of the program has come
  }

  /** Ask for the design to store in this tab: at once after a change, then twice a second. */
  requestSoon() {
    if (this.restoring || this.isOpening || this.timer) return;
    const wait = Math.max(0, (this.requestedAt ?? -PAUSE) + PAUSE - performance.now());
    this.timer = setTimeout(() => {
      this.timer = null;
      if (!this.restoring) this.request();
    }, wait);
  }

  /** Ask for the design as it is now; returns the serial that comes back with it. */
  request() {
    this.serial += 1;
    this.requestedAt = performance.now();
    this.send("draft", { serial: this.serial });
    return this.serial;
  }

  /**
   * Store a draft that came; returns whether it was: one asked for before what is being restored
   * is ignored.
   */
  take({ kind, serial, steps, ...draft }) {
    if (this.restoring && serial !== null) return false;
    this.stopRestoring();
    this.hasCome = true;
    this.stored = { ...draft, steps: followedSteps(this.stored, steps, draft.text) };
    storeDraft(this.stored);
    return true;
  }

  // --- restoring --------------------------------------------------------------------------

  /**
   * After a reload, go on with the design that this tab stored. It is sent until it is answered,
   * and nothing else is stored before that, so that a message lost at the start loses no design.
   * Until then the page is not shown, lest another design flashes up.
   */
  restore() {
    this.restoring ??= storedDraft();
    if (!this.restoring) return;
    if (!this.hasWaited) this.hidePage();
    this.send("restore", this.restoring);
    setTimeout(() => this.restoring && this.restore(), 1500);
  }

  /** Go on with the design of a link, from which undo leads back to what the tab held. */
  restoreLinked(scene) {
    const { question = "", variants = [] } = this.stored;
    this.stored = { text: scene.text, steps: stepsBack(this.stored, scene.text) };
    this.restoring = { ...scene, question, variants, steps: this.stored.steps, of_link: true };
    this.restore();
  }

  /** Hide the page until it is restored, though not for long. */
  hidePage() {
    this.hasWaited = true;
    document.documentElement.classList.add("restoring");
    setTimeout(() => document.documentElement.classList.remove("restoring"), 3000);
  }

  /** Show the page again, then go to the reader's place: what is hidden takes no focus. */
  stopRestoring() {
    document.documentElement.classList.remove("restoring");
    const { of_link: ofLink, page, place } = this.restoring ?? {};
    if ((ofLink || page === this.model.page) && place && typeof place === "object")
      emitOncePainted("place", place);
    this.restoring = null;
  }

  // --- leaving ----------------------------------------------------------------------------

  /**
   * Store a fresh draft, then leave this page; `go` is what leaves it, once. A page that stays all
   * the same, as where the reader cancels, can be left again.
   */
  leave(go) {
    if (this.leaving) return;
    if (this.restoring) {
      go();
      return;
    }
    const leaving = { serial: this.request(), go: () => this.leaveNow(leaving, go) };
    this.leaving = leaving;
    setTimeout(leaving.go, PATIENCE);
  }

  leaveNow(leaving, go) {
    if (this.leaving !== leaving) return;
    this.leaving = null;
    go();
  }

  /** Leave if this is the draft that leaving waits for. */
  leaveWith(serial) {
    if (this.leaving?.serial === serial) this.leaving.go();
  }

  /** Go to the page of a label, and to a place there. */
  goTo({ page, place }) {
    const found = this.model.pages.find(([label]) => label === page);
    if (!found) return;
    this.leave(() => {
      this.going = { page, place };
      window.location.assign(found[1]);
    });
  }

  /** Store where the reader is in the page, or is going, for the next page to go there. */
  storePlace() {
    const draft = storedDraft();
    if (draft)
      storeDraft({ ...draft, page: this.model.page, place: pageState.place, ...this.going });
  }
}

/** Tell the page's components once they have painted, for before that they have nothing to pick. */
function emitOncePainted(name, detail, tries = 300) {
  if (pageState.painted > 0) emit(name, detail);
  else if (tries > 0) setTimeout(() => emitOncePainted(name, detail, tries - 1), 30);
}
