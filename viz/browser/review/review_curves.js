/* The variants in one chart: which quantity, itself or its difference from the first. */

import { choiceButtons } from "../shared/choice_buttons.js";
import { element } from "../shared/elements.js";
import { emit } from "../shared/page_state.js";

export class VariantCurves {
  /** `ask` gets the key of a quantity and whether as a difference. */
  constructor(ask) {
    this.ask = ask;
    this.difference = false;
    this.shown = null; // what was drawn last
    this.picker = element("select", {
      "aria-label": "Quantity of the variants",
      onchange: () => this.draw(),
    });
    this.names = element("span", { class: "legend muted" });
    const forms = { curves: "Curves", difference: "Difference from the first" };
    this.node = element(
      "span",
      { class: "curve-tools" },
      this.picker,
      choiceButtons("Drawn as", forms, (form) => {
        this.difference = form === "difference";
        this.draw();
      }),
      this.names,
    );
  }

  /** Ask for what is chosen; without a choice for the first quantity. */
  draw() {
    emit("asked");
    this.ask(this.picker.value, this.difference);
  }

  /** Show what is drawn: the choices, the title of the figure, and whose letters stand in it. */
  show(drawn) {
    if (JSON.stringify(drawn.choices) !== JSON.stringify(this.shown?.choices))
      this.picker.replaceChildren(...groups(drawn.choices));
    this.picker.value = drawn.key;
    this.shown = drawn;
    const difference = this.node.querySelectorAll(".choice button")[1];
    difference.textContent = `Difference from ${drawn.names[0][0]}`;
    this.names.replaceChildren(
      ...drawn.names.map(([letter, name]) =>
        element("span", {}, element("strong", {}, letter), ` ${name}`),
      ),
    );
    const caption = figure().querySelector("figcaption span");
    caption.textContent = caption.title = drawn.title;
  }
}

/** Show the figure of the curves under the card's head, or take it away. */
export function placeCurves(isShown) {
  figure().hidden = !isShown;
  figure().parentElement.dataset.form = isShown ? "curves" : "card";
}

function figure() {
  return document.querySelector('figure[data-plot="variant_curves"]');
}

function groups(choices) {
  const names = [...new Set(choices.map(([group]) => group))];
  return names.map((name) =>
    element(
      "optgroup",
      { label: name },
      ...choices
        .filter(([group]) => group === name)
        .map(([, key, words]) => element("option", { value: key }, words)),
    ),
  );
}
