/* Choosing a scheme of counterweights and how much of the masses it balances. */

import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";

export function render({ model, el }) {
  const form = new SchemeForm(model);
  el.append(form.node);
  for (const name of ["warnings", "outcome"]) model.on(name, () => form.show());
}

class SchemeForm {
  constructor(model) {
    this.model = model;
    this.scheme = element(
      "select",
      { id: "scheme", onchange: () => this.ask("scheme") },
      ...model.schemes.map(([key, words]) => element("option", { value: key }, words)),
    );
    this.rotating = this.slider("rotating", "Rotating mass balanced", 150, 100);
    this.reciprocating = this.slider("reciprocating", "Reciprocating mass balanced", 100, 0);
    this.aside = element("input", {
      type: "checkbox",
      checked: true,
      "data-aside": "",
      onchange: () => this.ask("scheme"),
    });
    this.outcome = element("span", { class: "muted", role: "status" });
    this.warnings = element("ul", { class: "warnings", "aria-label": "Warnings" });
    this.node = element(
      "div",
      { class: "scheme" },
      element("div", { class: "row" }, element("label", { for: "scheme" }, "On"), this.scheme),
      this.rotating.node,
      this.reciprocating.node,
      element("label", { class: "row" }, this.aside, "Offset angle to keep the shaft balanced"),
      element(
        "div",
        { class: "row" },
        element(
          "button",
          { type: "button", "data-apply": "", onclick: () => this.ask("apply_scheme") },
          "Use these counterweights",
        ),
        this.outcome,
      ),
      this.warnings,
    );
    this.show();
  }

  slider(name, label, most, value) {
    const words = element("output", { class: "number", for: name }, `${value}\u202f%`);
    const input = element("input", {
      id: name,
      type: "range",
      min: 0,
      max: most,
      step: 5,
      value,
      oninput: () => setText(words, `${input.value}\u202f%`),
      onchange: () => this.ask("scheme"),
    });
    return {
      input,
      node: element(
        "div",
        { class: "row slider" },
        element("label", { for: name }, label),
        input,
        words,
      ),
    };
  }

  ask(kind) {
    sendMessage(this.model, kind, {
      scheme: this.scheme.value,
      rotating: Number(this.rotating.input.value),
      reciprocating: Number(this.reciprocating.input.value),
      aside: this.aside.checked,
    });
  }

  show() {
    setText(this.outcome, this.model.outcome);
    this.warnings.replaceChildren(
      ...this.model.warnings.map((text) => element("li", {}, `▲ ${text}`)),
    );
    this.warnings.hidden = !this.model.warnings.length;
  }
}
