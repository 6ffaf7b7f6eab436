/* A sign that something is being worked out, shown once that takes longer than a moment. */

import { element, setText } from "./elements.js";

const MOMENT = 300; // ms

export class BusySign {
  /**
   * `ask` asks the program for something and returns a serial, which comes back to `answered` when
   * all that was asked before is dealt with.
   */
  constructor(ask) {
    this.ask = ask;
    this.under = new Set(); // who waits
    this.node = element("span", { class: "busy", role: "status" });
  }

  /** Something was asked of the program. */
  wait() {
    this.serial = this.ask();
    this.work({ who: "program", on: true });
  }

  answered(serial) {
    if (serial === this.serial) this.work({ who: "program", on: false });
  }

  /** Someone begins to wait for the program, or ends. */
  work({ who, on }) {
    if (on) this.under.add(who);
    else this.under.delete(who);
    if (this.under.size) {
      this.timer ??= setTimeout(() => setText(this.node, "Working…"), MOMENT);
    } else {
      clearTimeout(this.timer);
      this.timer = null;
      setText(this.node, "");
    }
  }
}
