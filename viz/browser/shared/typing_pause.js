/* What is asked for once nobody has typed for a while. */

const PAUSE = 350; // ms without a key before what is typed is asked for

export class TypingPause {
  /** `ask` is called after the pause. */
  constructor(ask) {
    this.ask = ask;
  }

  /** A key was typed: begin the pause anew. */
  later() {
    this.stop();
    this.timer = setTimeout(this.ask, PAUSE);
  }

  stop() {
    clearTimeout(this.timer);
  }
}
