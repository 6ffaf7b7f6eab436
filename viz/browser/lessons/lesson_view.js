/* The lessons: a list with progress, and of the open lesson one step at a time. */

import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { pageState, subscribe } from "../shared/page_state.js";
import { LessonList, LessonProgress } from "./lesson_list.js";
import { LessonPlot } from "./lesson_plot.js";
import {
  Choice,
  numberTable,
  outcome,
  paragraphs,
  refill,
  refillNumbers,
  STEPS,
} from "./lesson_steps.js";

export function render({ model, el }) {
  const view = new LessonView(model);
  el.append(view.node);
  for (const name of ["board", "lesson", "answer", "live", "checked", "problem"]) {
    model.on(name, () => view[`${name}Changed`]());
  }
  subscribe(model, "dimension", () => view.tried());
  model.on("remove", () => [view.plot, view.second].forEach((plot) => plot.stop()));
  view.start();
}

class LessonView {
  constructor(model) {
    this.model = model;
    this.progress = new LessonProgress();
    this.step = "predict";
    this.plot = new LessonPlot(
      () => this.drawn(),
      () => this.lesson.title,
    );
    this.second = new LessonPlot(
      () => {},
      () => this.lesson.title,
    );
    this.list = new LessonList(this.progress, {
      ask: (kind, fields) => sendMessage(model, kind, fields),
      open: (key) => this.open(key),
      forget: () => this.lesson && this.open(this.lesson.key),
    });
    this.sheet = element("div", { class: "sheet", tabindex: -1 });
    this.node = element("div", { class: "course" }, this.list.node, this.sheet);
  }

  start() {
    this.boardChanged();
    if (this.model.lesson) {
      this.lessonChanged();
      return;
    }
    const { lessons } = this.board;
    const first = lessons.find(({ key }) => !this.progress.of(key).right) ?? lessons[0];
    if (first) this.open(first.key);
    else this.sheet.append(element("p", {}, "There is no lesson yet."));
  }

  open(key) {
    const { prediction } = this.progress.of(key);
    sendMessage(this.model, "open", { key, ...(prediction ? { prediction } : {}) });
    this.wantsFocus = true;
  }

  // --- what comes from the program -----------------------------------------------------------

  boardChanged() {
    this.board = JSON.parse(this.model.board || '{"lessons":[],"errors":[]}');
    this.list.show(this.board, this.lesson?.key);
  }

  lessonChanged() {
    if (!this.model.lesson) return;
    this.lesson = JSON.parse(this.model.lesson);
    this.answer = this.live = this.checked = null;
    this.step = "predict";
    this.build();
    this.showStep();
    this.answerChanged();
    this.liveChanged();
    this.list.showProgress(this.lesson.key);
    this.sheet.scrollTop = 0;
    if (this.wantsFocus && this.opened) this.heading.focus();
    this.wantsFocus = false;
    this.opened = true;
  }

  answerChanged() {
    this.answer = this.mine(this.model.answer);
    if (!this.answer) return; // another lesson is about to come
    const { choice, points } = this.answer;
    this.progress.note(this.lesson.key, {
      predicted: true,
      prediction: points ? { points } : { choice },
    });
    this.list.showProgress(this.lesson.key);
    this.showStep();
  }

  liveChanged() {
    const before = this.live;
    this.live = this.mine(this.model.live);
    if (!this.answer) return;
    if (this.live && before) this.refill();
    else if (this.live) this.showStep();
  }

  checkedChanged() {
    this.checked = this.mine(this.model.checked);
    if (!this.checked) return;
    if (this.checked.good) {
      this.progress.note(this.lesson.key, { right: true });
      this.list.showProgress(this.lesson.key);
    }
    this.showStep();
  }

  problemChanged() {
    this.list.say(this.model.problem);
  }

  /** A message, if it is of the open lesson. */
  mine(text) {
    const message = text ? JSON.parse(text) : null;
    return message && this.lesson && message.key === this.lesson.key ? message : null;
  }

  // --- building a lesson ----------------------------------------------------------------------

  build() {
    this.heading = element("h2", { tabindex: -1 }, this.lesson.title);
    this.stepButtons = new Map(
      STEPS.map(([key, label], i) => [
        key,
        element(
          "button",
          { type: "button", "data-step": key, onclick: () => this.go(key) },
          element("span", { class: "place" }, `${i + 1}`),
          ` ${label}`,
        ),
      ]),
    );
    this.content = element("div", { class: "step" });
    this.back = element("button", { type: "button", onclick: () => this.goBy(-1) }, "Back");
    this.next = element(
      "button",
      { type: "button", class: "primary", onclick: () => this.goBy(1) },
      "Next",
    );
    this.sheet.replaceChildren(
      this.heading,
      element("div", { class: "question" }, ...paragraphs(this.lesson.question)),
      element(
        "ol",
        { class: "steps", "aria-label": "Steps" },
        ...[...this.stepButtons.values()].map((one) => element("li", {}, one)),
      ),
      this.content,
      element("div", { class: "turn" }, this.back, this.next),
    );
    this.explain(this.sheet.querySelector(".question"));
    const { predict, check } = this.lesson;
    this.prediction = predict.options.length
      ? new Choice(
          "prediction",
          predict.options,
          (choice) => this.send("predict", { choice }),
          "Predict",
        )
      : null;
    this.checking = new Choice(
      "check",
      check.options,
      (choice) => this.send("check", { choice }),
      "Answer",
    );
    this.drawButton = element(
      "button",
      {
        type: "button",
        class: "primary",
        disabled: true,
        onclick: () => this.send("predict", { points: this.plot.points }),
      },
      "Predict",
    );
  }

  send(kind, fields = {}) {
    sendMessage(this.model, kind, fields);
  }

  drawn() {
    this.drawButton.disabled = !this.plot.touched;
  }

  explain(node) {
    pageState.explainTerms?.(node);
  }

  // --- steps ----------------------------------------------------------------------------------

  go(step) {
    if (step !== "predict" && !this.answer) return;
    if (this.step === "try" && step !== "try") this.tried(true);
    this.step = step;
    this.showStep();
    this.content.querySelector("h3")?.focus({ preventScroll: true });
    this.content.scrollIntoView({ block: "nearest" });
  }

  goBy(by) {
    const place = STEPS.findIndex(([key]) => key === this.step) + by;
    if (place === STEPS.length) this.openNext();
    else if (place >= 0) this.go(STEPS[place][0]);
  }

  openNext() {
    const { lessons } = this.board;
    const at = lessons.findIndex(({ key }) => key === this.lesson.key);
    this.open(lessons[(at + 1) % lessons.length].key);
  }

  /** A control was moved, or the experiment was left for the next step. */
  tried(left = false) {
    if (!this.lesson || !this.answer || (this.step !== "try" && !left)) return;
    this.progress.note(this.lesson.key, { tried: true });
    this.list.showProgress(this.lesson.key);
  }

  showStep() {
    if (!this.lesson) return;
    const open = Boolean(this.answer);
    this.sheet.dataset.step = this.step;
    for (const [key, button] of this.stepButtons) {
      button.disabled = key !== "predict" && !open;
      if (key === this.step) button.setAttribute("aria-current", "step");
      else button.removeAttribute("aria-current");
    }
    this.back.hidden = this.step === "predict";
    this.next.hidden = !open;
    setText(this.next, this.step === "check" ? "Next lesson" : "Next");
    const parts = {
      predict: () => this.predictParts(),
      try: () => this.tryParts(),
      why: () => this.whyParts(),
      check: () => this.checkParts(),
    };
    this.content.replaceChildren(...parts[this.step]());
    this.explain(this.content);
    this.showBench(open && this.step !== "predict");
  }

  title(text) {
    return element("h3", { tabindex: -1 }, text);
  }

  predictParts() {
    const { predict } = this.lesson;
    const parts = [this.title("What do you expect?"), ...paragraphs(predict.text)];
    if (this.prediction) {
      if (this.answer) this.prediction.show(this.answer, false);
      parts.push(this.prediction.node);
    } else {
      const truth = this.live?.plot ?? null;
      this.plot.show(
        predict.axes,
        this.answer ? { points: this.answer.points, truth } : { editable: true, points: null },
      );
      if (!this.answer)
        parts.push(
          element(
            "p",
            { class: "muted hint" },
            "Draw with the pointer; or go to a point with Tab and ← →, and move it with ↑ ↓.",
          ),
        );
      parts.push(this.plot.node, ...(this.answer ? [] : [this.drawButton]));
    }
    if (this.answer) parts.push(outcome(this.answer));
    return parts;
  }

  tryParts() {
    this.numbers = this.live ? numberTable(this.live.numbers) : null;
    return [
      this.title("Try it"),
      ...paragraphs(this.lesson.todo),
      this.numbers,
      ...this.plotParts(),
    ].filter(Boolean);
  }

  plotParts() {
    const { plot, second } = this.live ?? {};
    this.content.classList.toggle("two-plots", Boolean(plot && second));
    if (plot) this.plot.show(plot, { points: this.answer.points ?? null, truth: plot });
    if (second) this.second.show(second, { truth: second });
    return [...(plot ? [this.plot.node] : []), ...(second ? [this.second.node] : [])];
  }

  whyParts() {
    const { formula, source } = this.lesson;
    this.whyNode = element("div", {}, ...paragraphs(this.live?.why ?? []));
    return [
      this.title("Why"),
      this.whyNode,
      element("pre", {}, formula),
      ...(source ? [element("p", { class: "muted source" }, source)] : []),
    ];
  }

  checkParts() {
    const { check } = this.lesson;
    if (this.checked) this.checking.show(this.checked, true);
    return [
      this.title("Check yourself"),
      ...paragraphs(check.text),
      this.checking.node,
      ...(this.checked ? [outcome(this.checked, this.checked.good)] : []),
    ];
  }

  /** New numbers for what is shown, in place. */
  refill() {
    if (this.step === "try" && this.numbers) {
      refillNumbers(this.numbers, this.live.numbers);
      this.plotParts();
    } else if (this.step === "why") {
      refill(this.whyNode, this.live.why);
    }
  }

  /** Show the controls and the lesson's plot once the student has predicted. */
  showBench(open) {
    document.documentElement.dataset.lesson = open ? "open" : "closed";
    for (const figure of document.querySelectorAll("figure[data-plot]")) {
      figure.hidden = !open || figure.dataset.plot !== this.lesson.plot;
    }
  }
}
