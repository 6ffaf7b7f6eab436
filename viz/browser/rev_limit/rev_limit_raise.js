/* What it would take to raise the governing limit: asked for, then recalculated one by one. */

import { verdictMark } from "../figures/marks.js";
import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { keepUnits } from "./rev_limit_numbers.js";

export class RevLimitRaise {
  constructor(model) {
    this.model = model;
    this.serial = model.answered;
    this.picker = element("select", { "aria-label": "Speed to gain" });
    this.button = element(
      "button",
      {
        type: "button",
        "data-raise": "ask",
        onclick: () => this.ask("raise", { gain: Number(this.picker.value) }),
      },
      "Calculate",
    );
    this.title = element("h2", {}, "What would it take?");
    this.before = element("span", { class: "before", role: "status" });
    this.list = element("ol", { class: "offers" });
    this.restTitle = element("h2", {});
    this.restLines = element("ul", {});
    this.after = element("p", { class: "after muted" });
    this.rest = element(
      "section",
      { class: "rest", "aria-label": "What is not enough alone", tabindex: 0, hidden: true },
      this.restTitle,
      this.restLines,
      this.after,
    );
    this.node = element(
      "section",
      {
        class: "raise",
        "aria-label": "What it would take to raise the limit",
        "aria-busy": "false",
      },
      element(
        "div",
        { class: "ask" },
        this.title,
        element("span", {}, "Gain"),
        this.picker,
        this.button,
        this.before,
      ),
      element(
        "div",
        { class: "answer", role: "region", "aria-label": "Changes", tabindex: 0 },
        this.list,
      ),
    );
  }

  get busy() {
    return this.model.answered < this.serial;
  }

  ask(kind, fields = {}) {
    if (this.busy) return;
    this.serial += 1;
    this.show();
    sendMessage(this.model, kind, { ...fields, serial: this.serial });
  }

  setChoices({ choices, usual }) {
    const shape = JSON.stringify([choices, usual]);
    if (shape === this.shape) return;
    this.shape = shape;
    this.picker.replaceChildren(
      ...choices.map(([gain, words]) =>
        element("option", { value: gain, selected: gain === usual }, words),
      ),
    );
    this.node.hidden = choices.length === 0;
  }

  /** Show what is known; the first offer not yet solved is asked for next, the rest at last. */
  show() {
    const raise = this.model.raising ? JSON.parse(this.model.raising) : { offers: [] };
    const { offers } = raise;
    const next = nextToSolve(raise);
    const working = this.busy || next >= 0;
    this.node.setAttribute("aria-busy", working);
    this.button.disabled = working;
    setText(this.button, working ? "Working…" : "Calculate");
    setText(this.before, raise.before ?? "");
    this.showRest(raise.rest);
    this.list.replaceChildren(...offers.map((offer, index) => this.offer(offer, index)));
    if (!this.busy && next >= 0) this.ask("solve", { index: next });
  }

  showRest(rest) {
    this.rest.hidden = !rest;
    setText(this.restTitle, rest?.title ?? "");
    setText(this.after, rest?.after ?? "");
    this.restLines.replaceChildren(
      ...(rest?.lines ?? []).map((words) => element("li", { class: "number" }, keepUnits(words))),
    );
  }

  offer(offer, index) {
    const known = offer.result !== null;
    return element(
      "li",
      { class: "offer", "data-outcome": offer.outcome || "waiting" },
      element("span", { class: "mark" }, ...(known ? [verdictMark(offer.outcome)] : ["…"])),
      element(
        "div",
        {},
        element("p", { class: "change" }, keepUnits(offer.words)),
        element("p", { class: "muted number" }, known ? keepUnits(offer.result) : "recalculating…"),
      ),
      element(
        "button",
        {
          type: "button",
          disabled: !known,
          "aria-label": `Show it: ${offer.words}`,
          onclick: () => this.ask("apply", { index }),
        },
        "Show it",
      ),
    );
  }
}

/** The first offer not yet solved, one past the last for the rest, -1 where all is known. */
function nextToSolve({ offers, rest }) {
  const unsolved = offers.findIndex(({ result }) => result === null);
  return unsolved < 0 && offers.length && !rest ? offers.length : unsolved;
}
