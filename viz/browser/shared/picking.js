/* Picking one of many: the pick is shown here at once, and Python is asked for one at a time. */

import { sendMessage } from "./messages.js";
import { rememberView } from "./page_state.js";

export class Picking {
  /** `changed` is called when another is to be shown: here, or by Python's answer. */
  constructor(model, changed) {
    this.model = model;
    this.changed = changed;
    this.wanted = null; // the key last selected here, until Python shows it
    this.underway = null;
    model.on("selected", () => this.answered());
  }

  /** The key that is shown. */
  get key() {
    return this.wanted ?? this.model.selected;
  }

  pick(key) {
    rememberView({ selected: key });
    this.wanted = key;
    this.changed();
    if (!this.underway) this.ask();
  }

  /** Ask for the one last selected; one is under way at a time, and the latest wins. */
  ask() {
    if (this.wanted === this.model.selected) this.wanted = null;
    this.underway = this.wanted;
    if (this.underway) sendMessage(this.model, "pick", { key: this.underway });
  }

  answered() {
    this.underway = null;
    if (this.wanted) this.ask();
    this.changed();
  }

  /** Show what Python shows, whatever was selected before. */
  forget() {
    this.wanted = this.underway = null;
  }
}
