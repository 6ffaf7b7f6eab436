/* The sheet of an open lesson: its question, its four steps, and what each of them shows. */

import { element, setText } from "../shared/elements.js";
import { pageState } from "../shared/page_state.js";
import { AmountBox } from "./lesson_amount.js";
import { handingParts } from "./lesson_handing.js";
import { shuffledOrder, studentSeed } from "./lesson_order.js";
import {
  Choice,
  comparison,
  hintParts,
  numberTable,
  outcome,
  paragraphs,
  refill,
  refillNumbers,
  STEPS,
} from "./lesson_steps.js";

export class LessonSheet {
  /**
   * `plots` are the two plots of the page; `send` sends a message, `go` goes to a step, `goBy` by
   * so many steps; `work` returns what was done, for the file that is handed in.
   */
  constructor(lesson, plots, { send, go, goBy, work }) {
    this.lesson = lesson;
    this.plot = plots[0];
    this.second = plots[1];
    this.heading = element("h2", { tabindex: -1 }, lesson.title);
    this.question = element("div", { class: "question" }, ...paragraphs(lesson.question));
    this.stepButtons = new Map(STEPS.map(([key, label], i) => [key, stepButton(key, label, i)]));
    for (const [key, button] of this.stepButtons) button.addEventListener("click", () => go(key));
    this.content = element("div", { class: "step" });
    this.back = element("button", { type: "button", onclick: () => goBy(-1) }, "Back");
    this.next = primaryButton("Next", () => goBy(1));
    const { predict, checks } = lesson;
    this.prediction = predict.axes
      ? null
      : this.asking("prediction", predict, (given) => send("predict", given), "Predict");
    this.checking = checks.map((asked, question) => ({
      asked,
      box: this.asking(
        question ? `check ${question}` : "check",
        asked,
        (given) => send("check", { question, ...given }),
        "Answer",
      ),
      hints: hintParts(asked.hints),
    }));
    this.predictHints = hintParts(predict.hints);
    this.drawButton = primaryButton("Predict", () => send("predict", { points: this.plot.points }));
    this.drawButton.disabled = true;
    this.handing = handingParts(work);
  }

  /** The options of a question, or a box for its number. */
  asking(name, { options, unit }, send, label) {
    const isPrediction = name === "prediction";
    if (!options.length) {
      return new AmountBox({ unit, give: (value) => send({ value }), label, isPrediction });
    }
    const order = shuffledOrder(options.length, studentSeed(), `${this.lesson.key} ${name}`);
    const choose = (choice) => send({ choice });
    return new Choice(name, { options, order, choose, label, isPrediction });
  }

  /** What stands on the sheet, from top to bottom. */
  parts() {
    const steps = [...this.stepButtons.values()].map((button) => element("li", {}, button));
    return [
      this.heading,
      this.question,
      element("ol", { class: "steps", "aria-label": "Steps" }, ...steps),
      this.content,
      element("div", { class: "turn" }, this.back, this.next),
    ];
  }

  /** The student drew: a drawing that was not touched is no prediction. */
  drawn() {
    this.drawButton.disabled = !this.plot.touched;
  }

  /** Show a step, with what came so far: `answer`, `live` values, the `checked` answers. */
  show(step, came) {
    const isOpen = Boolean(came.answer);
    for (const [key, button] of this.stepButtons) {
      button.disabled = key !== "predict" && !isOpen;
      if (key === step) button.setAttribute("aria-current", "step");
      else button.removeAttribute("aria-current");
    }
    this.back.hidden = step === "predict";
    this.next.hidden = !isOpen;
    const isLast = step === "check" && came.question === this.lesson.checks.length - 1;
    setText(this.next, isLast ? "Next lesson" : step === "check" ? "Next question" : "Next");
    const parts = {
      predict: () => this.predictParts(came),
      try: () => this.tryParts(came),
      why: () => this.whyParts(came),
      check: () => this.checkParts(came),
    };
    this.content.replaceChildren(...parts[step]());
    explainTerms(this.content);
  }

  focusStep() {
    this.content.querySelector("h3")?.focus({ preventScroll: true });
    this.content.scrollIntoView({ block: "nearest" });
  }

  predictParts({ answer, live }) {
    const parts = [stepTitle("What do you expect?"), ...paragraphs(this.lesson.predict.text)];
    if (this.prediction) {
      if (answer) this.prediction.show(answer, false);
      parts.push(this.prediction.node);
    } else parts.push(...this.drawingParts(answer, live?.plot ?? null));
    parts.push(...(answer ? [comparison(answer)] : this.predictHints));
    return parts;
  }

  /** The plot to draw in, or what was drawn beside the truth. */
  drawingParts(answer, truth) {
    const { axes } = this.lesson.predict;
    if (answer) {
      this.plot.show(axes, { points: answer.points, truth });
      return [this.plot.node];
    }
    this.plot.show(axes, { editable: true, points: null });
    const hint = "Draw with the pointer; or go to a point with Tab and ← →, and move it with ↑ ↓.";
    return [element("p", { class: "muted hint" }, hint), this.plot.node, this.drawButton];
  }

  tryParts(came) {
    this.numbers = came.live ? numberTable(came.live.numbers) : null;
    const parts = [
      stepTitle("Try it"),
      ...paragraphs(this.lesson.todo),
      this.goalPart(came.live?.goal),
      this.numbers,
      ...this.plotParts(came),
    ];
    return parts.filter(Boolean);
  }

  /** The goal, and whether the design on the page reaches it. */
  goalPart(goal) {
    this.reached = null;
    if (!goal) return null;
    this.reached = element("strong", { role: "status" });
    this.showReached(goal);
    const words = paragraphs(goal.text);
    words[0]?.prepend("Goal: ");
    return element("div", { class: "goal" }, ...words, this.reached);
  }

  showReached(goal) {
    if (this.reached && goal) setText(this.reached, goal.reached ? "Reached." : "Not yet reached.");
  }

  plotParts({ answer, live }) {
    const { plot, second } = live ?? {};
    this.content.classList.toggle("two-plots", Boolean(plot && second));
    if (plot) this.plot.show(plot, { points: answer.points ?? null, truth: plot });
    if (second) this.second.show(second, { truth: second });
    return [...(plot ? [this.plot.node] : []), ...(second ? [this.second.node] : [])];
  }

  whyParts({ live }) {
    const { formula, source } = this.lesson;
    this.whyNode = element("div", {}, ...paragraphs(live?.why ?? []));
    return [
      stepTitle("Why"),
      this.whyNode,
      element("pre", {}, formula),
      ...(source ? [element("p", { class: "muted source" }, source)] : []),
    ];
  }

  checkParts({ checked, question }) {
    const { asked, box, hints } = this.checking[question];
    const found = checked[question];
    if (found) box.show(found, true);
    const count = this.checking.length;
    const place = count > 1 ? `: question ${question + 1} of ${count}` : "";
    return [
      stepTitle(`Check yourself${place}`),
      ...paragraphs(asked.text),
      box.node,
      ...(found ? [outcome(found)] : []),
      ...(found?.good ? [] : hints),
      ...(question === count - 1 ? [this.handing] : []),
    ];
  }

  /** New numbers for the step that is shown, in place. */
  refill(step, came) {
    if (step === "try" && this.numbers) {
      refillNumbers(this.numbers, came.live.numbers);
      this.showReached(came.live.goal);
      this.plotParts(came);
    } else if (step === "why") {
      refill(this.whyNode, came.live.why);
    }
  }
}

/** Let the glossary explain the terms below a node. */
export function explainTerms(node) {
  pageState.explainTerms?.(node);
}

function stepTitle(text) {
  return element("h3", { tabindex: -1 }, text);
}

function stepButton(key, label, i) {
  return element(
    "button",
    { type: "button", "data-step": key },
    element("span", { class: "place" }, `${i + 1}`),
    ` ${label}`,
  );
}

function primaryButton(words, onclick) {
  return element("button", { type: "button", class: "primary", onclick }, words);
}
