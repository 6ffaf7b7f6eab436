/* What hangs on each pin while the shaft is balanced, or why nothing does. */

import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { NumberBox, readBoxes } from "../shared/number_box.js";
import { TypingPause } from "../shared/typing_pause.js";

export function render({ model, el }) {
  const list = new BobWeights(model);
  el.append(list.node);
  for (const name of ["needed", "lists", "words", "problem"]) model.on(name, () => list.show());
  model.on("remove", () => list.pause.stop());
}

class BobWeights {
  constructor(model) {
    this.model = model;
    this.pause = new TypingPause(() => this.ask());
    this.share = this.box("bob_share", model.share);
    this.oil = this.box("bob_oil", 0);
    this.form = element(
      "div",
      { class: "row" },
      element("label", { for: "bob_share" }, "Balance factor"),
      this.share.input,
      element("span", { class: "muted" }, "%"),
      element("label", { for: "bob_oil" }, "Oil per pin"),
      this.oil.input,
      element("span", { class: "muted" }, model.unit),
      this.share.problem,
      this.oil.problem,
    );
    this.problem = element("p", { class: "bad", role: "alert" });
    this.words = element("p", { class: "muted" });
    this.lists = element("div", {});
    this.node = element(
      "div",
      { class: "bob" },
      element(
        "fieldset",
        {},
        element("legend", {}, "Bob weights"),
        this.form,
        this.problem,
        this.lists,
        this.words,
      ),
    );
    this.show();
  }

  box(id, value) {
    return new NumberBox({
      id,
      value,
      min: 0,
      oninput: () => this.pause.later(),
      onchange: () => this.ask(),
    });
  }

  ask() {
    this.pause.stop();
    const read = readBoxes({ share: this.share, oil: this.oil });
    if (read) sendMessage(this.model, "bob_weights", { ...read });
  }

  show() {
    const { needed, lists, words, problem } = this.model;
    this.form.hidden = !needed;
    this.problem.hidden = !problem;
    setText(this.problem, problem ? `✕ ${problem} The last result stays.` : "");
    setText(this.words, words);
    this.lists.replaceChildren(...lists.map((one) => this.list(one)));
  }

  list({ caption, rows, formula }) {
    return element(
      "div",
      {},
      element(
        "div",
        { class: "scroll", role: "region", "aria-label": caption, tabindex: 0 },
        element(
          "table",
          {},
          element("caption", {}, caption),
          element(
            "tbody",
            {},
            ...rows.map(([name, value], place) =>
              element(
                "tr",
                { class: place === rows.length - 1 ? "strong" : null },
                element("th", { scope: "row" }, name),
                element("td", { class: "number" }, value),
              ),
            ),
          ),
        ),
      ),
      element("p", { class: "number" }, formula),
    );
  }
}
