/* The lessons: a list with progress, and of the open lesson one step at a time. */

import { element } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { emit, subscribe } from "../shared/page_state.js";
import { LessonList, LessonProgress, timeNow } from "./lesson_list.js";
import { LessonPlot } from "./lesson_plot.js";
import { placeOf, rememberPlace } from "./lesson_address.js";
import { explainTerms, LessonSheet } from "./lesson_sheet.js";
import { STEPS } from "./lesson_steps.js";

export function render({ model, el }) {
  const view = new LessonView(model);
  el.append(view.node);
  for (const name of ["board", "lesson", "answer", "live", "checked", "problem"]) {
    model.on(name, () => view[`${name}Changed`]());
  }
  subscribe(model, "dimension", () => view.tried());
  model.on("remove", () => view.plots.forEach((plot) => plot.stop()));
  view.start();
}

const FORCES = { gas: true, inertia: true };
const LARGE = ["main_bearings", "loaded_main"]; // polar diagrams that need height

class LessonView {
  constructor(model) {
    this.model = model;
    this.progress = new LessonProgress();
    this.step = "predict";
    this.question = this.lastQuestion = 0;
    const title = () => this.lesson.title;
    this.plots = [new LessonPlot(() => this.sheet.drawn(), title), new LessonPlot(() => {}, title)];
    this.list = new LessonList(this.progress, {
      ask: (kind, fields) => sendMessage(model, kind, fields),
      open: (key) => this.open(key),
      forget: () => this.lesson && this.open(this.lesson.key),
    });
    this.place = element("div", { class: "sheet", tabindex: -1 });
    this.node = element("div", { class: "course" }, this.list.node, this.place);
  }

  start() {
    this.boardChanged();
    if (this.model.lesson) {
      this.lessonChanged();
      return;
    }
    const { lessons } = this.board;
    this.wanted = placeOf(window.location.hash);
    const wanted = lessons.find(({ key }) => key === this.wanted.key);
    const first = wanted ?? lessons.find(({ key }) => !this.progress.of(key).right) ?? lessons[0];
    if (first) this.open(first.key);
    else this.place.append(element("p", {}, "There is no lesson yet."));
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
    this.answer = this.live = null;
    this.checked = {};
    this.step = "predict";
    this.question = this.lastQuestion = 0;
    this.sheet = new LessonSheet(this.lesson, this.plots, {
      send: (kind, fields) => sendMessage(this.model, kind, fields),
      go: (step) => this.go(step),
      goBy: (by) => this.goBy(by),
      work: () => this.work(),
    });
    this.place.replaceChildren(...this.sheet.parts());
    explainTerms(this.sheet.question);
    this.openedAt = timeNow();
    this.showStep();
    this.answerChanged();
    this.liveChanged();
    this.showFirstView();
    this.list.showProgress(this.lesson.key);
    this.place.scrollTop = 0;
    if (this.wantsFocus && this.opened) this.sheet.heading.focus();
    this.wantsFocus = false;
    this.opened = true;
  }

  answerChanged() {
    this.answer = this.ofLesson(this.model.answer);
    if (!this.answer) return; // another lesson is about to come
    const { choice, points, value } = this.answer;
    const prediction = points ? { points } : value === undefined ? { choice } : { value };
    this.note({ predicted: true, prediction });
    this.progress.noteTime(this.lesson.key, "opened", this.openedAt);
    this.progress.noteTime(this.lesson.key, "predicted");
    this.showStep();
    this.goWhereWanted();
  }

  /** Go to the step that the address named, once it may be shown. */
  goWhereWanted() {
    const { key, step, question } = this.wanted ?? {};
    this.wanted = null;
    if (key === this.lesson.key && STEPS.some(([name]) => name === step)) this.go(step, question);
  }

  liveChanged() {
    const before = this.live;
    this.live = this.ofLesson(this.model.live);
    if (!this.answer) return;
    if (this.live && before) this.sheet.refill(this.step, this);
    else if (this.live) this.showStep();
    if (this.live && this.isPlacing) this.showView(this.stepView);
    this.isPlacing = false;
  }

  checkedChanged() {
    const found = this.ofLesson(this.model.checked);
    if (!found) return;
    const { question, choice, value, good } = found;
    this.checked[question] = found;
    const given = value === undefined ? { choice } : { value };
    const answer = { question, ...given, right: good };
    const right = this.progress.noteAnswer(this.lesson.key, answer);
    if (right === this.lesson.checks.length) {
      this.note({ right: true });
      this.progress.noteTime(this.lesson.key, "answered");
    }
    this.showStep();
  }

  problemChanged() {
    this.list.say(this.model.problem);
  }

  /** A message, if it is of the open lesson. */
  ofLesson(text) {
    const message = text ? JSON.parse(text) : null;
    return message && this.lesson && message.key === this.lesson.key ? message : null;
  }

  /** Note progress in the open lesson. */
  note(progress) {
    this.progress.note(this.lesson.key, progress);
    this.list.showProgress(this.lesson.key);
  }

  /** The open lesson with what was done of it. */
  work() {
    const { lesson, answer } = this;
    return { lesson, answer, done: this.progress.of(lesson.key) };
  }

  // --- steps ----------------------------------------------------------------------------------

  /** Go to a step; of the questions to that named, or else the one that was open last. */
  go(step, question = step === "check" ? this.lastQuestion : 0) {
    if (step !== "predict" && !this.answer) return;
    if (this.step === "try" && step !== "try") this.tried(true);
    this.step = step;
    this.question = Math.min(question, this.lesson.checks.length - 1);
    if (step === "check") this.lastQuestion = this.question;
    this.showStep();
    this.sheet.focusStep();
    this.isPlacing = true;
    sendMessage(this.model, "step", { step, question: this.question });
    this.showView(this.stepView);
  }

  /** What the open step shows beside its text. */
  get stepView() {
    const view = this.lesson.views[this.step];
    return Array.isArray(view) ? view[this.question] : view;
  }

  /** Set what a lesson opens with: where it wants nothing else, cylinder 1, gas and inertia. */
  showFirstView() {
    const { cylinder, forces, ...view } = this.stepView;
    this.showView({ ...view, cylinder: cylinder ?? 0, forces: forces ?? FORCES });
  }

  /** Set cylinder, angle, forces and motion as a step wants them. */
  showView({ cylinder, angle, forces, playing }) {
    emit("place", { cylinder, angle, forces, playing });
  }

  goBy(by) {
    const places = [
      ...STEPS.filter(([key]) => key !== "check").map(([key]) => [key, 0]),
      ...this.lesson.checks.map((_, question) => ["check", question]),
    ];
    const now = places.findIndex(([key, i]) => key === this.step && i === this.question);
    const place = now + by;
    if (place === places.length) this.openNext();
    else if (place >= 0) this.go(...places[place]);
  }

  openNext() {
    const { lessons } = this.board;
    const at = lessons.findIndex(({ key }) => key === this.lesson.key);
    this.open(lessons[(at + 1) % lessons.length].key);
  }

  /** A control was moved, or the experiment was left for the next step. */
  tried(left = false) {
    if (!this.lesson || !this.answer || (this.step !== "try" && !left)) return;
    this.note({ tried: true });
    this.progress.noteTime(this.lesson.key, "tried");
  }

  showStep() {
    if (!this.lesson) return;
    this.place.dataset.step = this.step;
    rememberPlace(this.lesson.key, this.step, this.question);
    this.sheet.show(this.step, this);
    this.showBench(Boolean(this.answer) && this.step !== "predict");
  }

  /** Show the controls and the lesson's plot once the student has predicted. */
  showBench(open) {
    const plot = this.stepView.plot || this.lesson.plot;
    document.documentElement.dataset.lesson = open ? "open" : "closed";
    for (const figure of document.querySelectorAll("figure[data-plot]")) {
      figure.hidden = !open || figure.dataset.plot !== plot;
    }
    document.documentElement.dataset.plot = open && LARGE.includes(plot) ? "large" : "";
  }
}
