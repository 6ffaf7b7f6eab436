/* The ladder on the stage: the view of the limits page, with nobody behind it to ask. */

import { LadderView } from "../limits/ladder.js";
import { element, setText } from "../shared/elements.js";

export class LadderPicture {
  constructor(styles) {
    this.node = element("div", { class: "ladder-place" });
    this.root = this.node.attachShadow({ mode: "open" });
    this.root.append(element("style", {}, styles));
    this.model = { ladder: "", bands: "", selected: "", on() {}, send_msg() {} };
    this.view = null;
  }

  /** Show a ladder, or nothing for null. */
  show(ladder) {
    this.node.hidden = ladder === null;
    if (ladder === null) return;
    this.model.ladder = JSON.stringify(ladder);
    const { rungs, more } = ladder;
    this.words = more ? `The first ${rungs.length} of ${rungs.length + more}` : "";
    if (this.view) {
      this.view.newLadder();
    } else {
      this.view = new LadderView(this.model);
      this.more = element("p", { class: "more" });
      this.view.node.append(this.more);
      this.root.append(this.view.node);
    }
    setText(this.more, this.words);
  }

  stop() {
    this.view?.stop();
  }

  /** The ladder in lines, light. */
  drawing() {
    return this.view.figure().drawing();
  }
}
