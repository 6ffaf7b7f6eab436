/* What the steps of a lesson hold: texts with live values, choices, what an answer came to. */

import { element, setText } from "../shared/elements.js";

export const STEPS = [
  ["predict", "Predict"],
  ["try", "Try"],
  ["why", "Why"],
  ["check", "Check"],
];

/** Paragraphs of pieces; live values stand out. */
export function paragraphs(texts, tag = "p") {
  return texts.map((pieces) => element(tag, {}, ...pieces.map(piece)));
}

function piece({ text, live }) {
  return live
    ? element("b", { class: "live number", "data-no-terms": true }, text)
    : document.createTextNode(text);
}

/** Set the live values of paragraphs anew in place, so that nothing else is laid out again. */
export function refill(node, texts) {
  const values = texts.flat().filter(({ live }) => live);
  node.querySelectorAll(".live").forEach((place, i) => values[i] && setText(place, values[i].text));
}

/**
 * Options to choose from; the answer, once there is one, marks the right one and the chosen one.
 */
export class Choice {
  constructor(name, options, choose, label) {
    this.boxes = options.map((pieces, i) => {
      const box = element("input", {
        type: "radio",
        name,
        value: i,
        onchange: () => (this.button.disabled = false),
      });
      const verdict = element("span", { class: "option-verdict" });
      return {
        box,
        verdict,
        node: element(
          "label",
          { class: "option" },
          box,
          element("span", {}, ...pieces.map(piece)),
          verdict,
        ),
      };
    });
    this.button = element(
      "button",
      { type: "button", class: "primary", disabled: true, onclick: () => choose(this.chosen) },
      label,
    );
    this.node = element(
      "div",
      {},
      element(
        "fieldset",
        { class: "options", "data-no-terms": true },
        element("legend", { class: "hidden" }, label),
        ...this.boxes.map(({ node }) => node),
      ),
      this.button,
    );
  }

  get chosen() {
    return this.boxes.findIndex(({ box }) => box.checked);
  }

  /** Show what was chosen and what is right; `again` lets the student choose once more. */
  show({ choice, right, good }, again) {
    this.boxes.forEach(({ box, verdict, node }, i) => {
      const isRight = i === right && (good || !again);
      const isWrong = i === choice && i !== right;
      box.checked = i === choice;
      box.disabled = !again || good;
      node.classList.toggle("right", isRight);
      node.classList.toggle("wrong", isWrong);
      setText(verdict, isRight ? "✓ right" : isWrong ? "✗ not quite" : "");
    });
    this.button.hidden = !again || good;
    this.button.disabled = true;
  }
}

/** What an answer came to, in a sentence, and why. */
export function outcome({ good, percent, words, because }, tells = true) {
  const verdict =
    percent === undefined ? (good ? "Right." : "Not quite.") : `${words} ${percent} % near.`;
  return element(
    "div",
    { class: "outcome" },
    element(
      "p",
      { class: `said ${good ? "good" : "bad"}` },
      element("strong", {}, `${good ? "✓" : "✗"} ${verdict}`),
    ),
    ...(tells ? paragraphs(because) : [element("p", {}, "Choose another option.")]),
  );
}

/** Numbers of the present design. */
export function numberTable(numbers) {
  return element(
    "dl",
    { class: "numbers" },
    ...numbers.map(({ label, text }) =>
      element("div", {}, element("dt", {}, label), element("dd", { class: "number" }, text)),
    ),
  );
}

export function refillNumbers(node, numbers) {
  node.querySelectorAll("dd").forEach((place, i) => numbers[i] && setText(place, numbers[i].text));
}
