/* The map of minimum film thickness over speed and load: it takes a moment, so it is asked for. */

import { element } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";

export function render({ model, el }) {
  const survey = new Survey(model);
  el.append(survey.node);
  for (const name of ["words", "stale", "kind", "answered", "title", "shape_title"]) {
    model.on(name, () => survey.show());
  }
}

class Survey {
  constructor(model) {
    this.model = model;
    this.asked = model.answered;
    this.picker = element(
      "select",
      { "aria-label": "Bearings of the map", onchange: () => this.ask() },
      element("option", { value: "big_end" }, "Big ends"),
      element("option", { value: "main" }, "Mains"),
    );
    this.button = element("button", {
      "data-survey": "make",
      onclick: () => (this.busy ? this.cancel() : this.ask()),
    });
    this.words = element("span", { class: "muted words", role: "status" });
    this.node = element("div", { class: "survey-bar" }, this.picker, this.button, this.words);
    this.show();
  }

  /** Ask for the map once; while it is made a second ask waits for the first. */
  ask() {
    if (this.busy) return;
    this.asked += 1;
    this.show();
    sendMessage(this.model, "survey", { of: this.picker.value, serial: this.asked });
  }

  cancel() {
    sendMessage(this.model, "cancel", { serial: this.asked });
  }

  get busy() {
    return this.model.answered < this.asked;
  }

  show() {
    const { model, busy } = this;
    this.button.disabled = !busy && !model.stale;
    this.button.textContent = busy ? "Cancel" : "Compute map";
    this.node.setAttribute("aria-busy", busy);
    if (!busy) this.picker.value = model.kind;
    this.words.textContent = busy ? `Computing the map… ${model.words}` : model.words;
    this.titles();
  }

  /** The figures' captions stand in the page, outside this component. */
  titles() {
    for (const [name, title] of [
      ["film_survey", this.model.title],
      ["film_shape", this.model.shape_title],
    ]) {
      const figure = document.querySelector(`figure[data-plot="${name}"]`);
      if (!figure || !title) continue;
      figure.querySelector("figcaption span").textContent = title;
    }
  }
}
