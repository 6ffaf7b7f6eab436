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
 * Options to choose from, in the `order` given; the answer, once there is one, marks the right one
 * and the chosen one: a prediction in plain words, an answer as right or not.
 */
export class Choice {
  constructor(name, { options, order, choose, label, isPrediction }) {
    this.isPrediction = isPrediction;
    this.boxes = order.map((i) => this.option(name, options[i], i));
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

  option(name, pieces, place) {
    const onchange = () => (this.button.disabled = false);
    const box = element("input", { type: "radio", name, value: place, onchange });
    const verdict = element("span", { class: "option-verdict" });
    const words = element("span", {}, ...pieces.map(piece));
    const node = element("label", { class: "option" }, box, words, verdict);
    return { place, box, verdict, node };
  }

  get chosen() {
    return this.boxes.find(({ box }) => box.checked)?.place ?? -1;
  }

  /** Show what was chosen and what is right; `again` lets the student choose once more. */
  show({ choice, right, good }, again) {
    for (const option of this.boxes) {
      const isRight = option.place === right && (good || !again);
      const isChosen = option.place === choice;
      option.box.checked = isChosen;
      option.box.disabled = !again || good;
      if (this.isPrediction) markPrediction(option, isRight, isChosen);
      else markAnswer(option, isRight, isChosen);
    }
    this.button.hidden = !again || good;
    this.button.disabled = true;
  }
}

function markPrediction({ node, verdict }, isEngine, isChosen) {
  const words = [isChosen && "your prediction", isEngine && "the engine"].filter(Boolean);
  node.classList.toggle("engine", isEngine);
  setText(verdict, words.join(", "));
}

function markAnswer({ node, verdict }, isRight, isChosen) {
  const isWrong = isChosen && !isRight;
  node.classList.toggle("right", isRight);
  node.classList.toggle("wrong", isWrong);
  setText(verdict, isRight ? "✓ right" : isWrong ? "✗ not quite" : "");
}

/** Hints, shown one more at each press of a button. */
export function hintParts(hints) {
  if (!hints?.length) return [];
  const list = element("div", { class: "hints", "aria-live": "polite" });
  const button = element("button", { type: "button", onclick: () => show() }, "Hint");
  let shown = 0;
  function show() {
    list.append(...paragraphs(hints[shown++]));
    button.hidden = shown === hints.length;
  }
  return [list, button];
}

/** What an answer to the check came to, and why. */
export function outcome({ side, good, feedback, because }) {
  const words = side ? `✗ Too ${side > 0 ? "high" : "low"}.` : "✗ Not quite.";
  const verdict = good ? "✓ Right." : words;
  const said = element(
    "p",
    { class: `said ${good ? "good" : "bad"}` },
    element("strong", {}, verdict),
  );
  const next = side ? "Give another number." : "Choose another option.";
  const again = feedback.length ? [] : [element("p", {}, next)];
  return outcomeBox(said, ...paragraphs(feedback), ...(good ? paragraphs(because) : again));
}

/** A prediction beside the engine, in words, and why. */
export function comparison({ remarks, size, side, good, feedback, because }) {
  if (!remarks) {
    const words = side
      ? `Your number is too ${side > 0 ? "high" : "low"}.`
      : good
        ? "The engine does as you predicted."
        : "The engine does otherwise.";
    const said = element("p", { class: "said" }, element("strong", {}, words));
    return outcomeBox(said, ...paragraphs(feedback), ...paragraphs(because));
  }
  const [first, ...others] = remarks.map(({ words }) => words);
  const said = element("p", { class: "said" }, element("strong", {}, first));
  const rest = element("p", {}, [...others, size].join(" "));
  return outcomeBox(said, rest, ...paragraphs(because));
}

function outcomeBox(...parts) {
  return element("div", { class: "outcome" }, ...parts);
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
