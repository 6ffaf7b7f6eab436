/* The list of lessons with the student's progress, which stays in this browser. */

import { element, setText } from "../shared/elements.js";
import { fileButton } from "../shared/text_file.js";
import { GatherButton } from "./lesson_handing.js";

const PROGRESS = "sixthrow-lessons";
const MARKS_OF_PROGRESS = [
  ["predicted", "predicted"],
  ["tried", "tried"],
  ["right", "answered right"],
];
const MOST_LESSON_BYTES = 64_000;

/** Progress by lesson: predicted, prediction, tried, right, answers, times. */
export class LessonProgress {
  constructor() {
    this.lessons = {};
    try {
      const kept = JSON.parse(localStorage.getItem(PROGRESS));
      if (kept && typeof kept === "object") this.lessons = kept;
    } catch {
      /* nothing kept, or storage is shut off */
    }
  }

  of(key) {
    return this.lessons[key] ?? {};
  }

  note(key, what) {
    this.lessons[key] = { ...this.of(key), ...what };
    this.keep();
  }

  /** Note when something of a lesson was first done. */
  noteTime(key, what, time = timeNow()) {
    const { times } = this.of(key);
    if (times?.[what]) return;
    this.note(key, { times: { ...times, [what]: time } });
  }

  /**
   * Note an answer to a question: `question` (from 0), `choice` or `value`, and whether it was
   * `right`; returns how many of the questions have been answered right.
   */
  noteAnswer(key, answer) {
    const answers = [...(this.of(key).answers ?? []), { ...answer, at: timeNow() }];
    this.note(key, { answers });
    const right = answers.filter((one) => one.right).map(({ question }) => question ?? 0);
    return new Set(right).size;
  }

  forget() {
    this.lessons = {};
    this.keep();
  }

  keep() {
    try {
      localStorage.setItem(PROGRESS, JSON.stringify(this.lessons));
    } catch {
      /* shut off */
    }
  }
}

/** The time now, to the second. */
export function timeNow() {
  return `${new Date().toISOString().slice(0, 19)}Z`;
}

export class LessonList {
  /** `ask` sends a message, `open` opens a lesson, `forget` drops all progress. */
  constructor(progress, { ask, open, forget }) {
    this.progress = progress;
    this.open = open;
    this.forget = forget;
    this.list = element("ol", { class: "lessons" });
    this.broken = element("div", { class: "broken" });
    this.problem = element("p", { class: "problem", role: "alert", hidden: true });
    this.count = element("p", { class: "muted count" });
    this.reset = element(
      "button",
      { type: "button", onclick: () => this.askToForget() },
      "Reset progress",
    );
    this.sure = element(
      "div",
      { class: "sure", role: "group", "aria-label": "Reset all progress?", hidden: true },
      element("span", {}, "Reset all?"),
      element("button", { type: "button", onclick: () => this.forgetAll() }, "Reset"),
      element("button", { type: "button", onclick: () => this.closeSure() }, "Keep"),
    );
    const opener = fileButton(
      "Open a lesson file",
      ".toml",
      MOST_LESSON_BYTES,
      (name, text) => ask("file", { name, text }),
      (words) => this.say(words),
    );
    this.node = element(
      "nav",
      { class: "lesson-list", "aria-label": "Lessons" },
      element("h2", {}, "Lessons"),
      this.count,
      this.list,
      this.broken,
      element(
        "div",
        { class: "foot" },
        opener,
        new GatherButton().node,
        this.reset,
        this.sure,
        this.problem,
      ),
    );
  }

  say(text) {
    this.problem.textContent = text;
    this.problem.hidden = !text;
  }

  askToForget() {
    this.sure.hidden = false;
    this.reset.hidden = true;
    this.sure.querySelector("button").focus();
  }

  closeSure() {
    this.sure.hidden = true;
    this.reset.hidden = false;
    this.reset.focus();
  }

  forgetAll() {
    this.progress.forget();
    this.closeSure();
    this.forget();
  }

  show({ lessons, errors }, opened) {
    this.lessons = lessons;
    this.list.replaceChildren(...lessons.map((lesson) => this.item(lesson)));
    this.broken.replaceChildren(...errors.map((text) => element("p", { class: "problem" }, text)));
    this.showProgress(opened);
  }

  item({ key, title }) {
    const marks = MARKS_OF_PROGRESS.map(([name]) =>
      element("span", { class: `done ${name}`, "data-done": name }),
    );
    const words = element("span", { class: "hidden" });
    const button = element(
      "button",
      { type: "button", "data-lesson": key, onclick: () => this.open(key) },
      element("span", { class: "name" }, title),
      element("span", { class: "marks", "aria-hidden": "true" }, ...marks),
      words,
    );
    button.words = words;
    return element("li", {}, button);
  }

  /** Mark what was done of each lesson, and which one is open. */
  showProgress(opened) {
    let finished = 0;
    for (const button of this.list.querySelectorAll("button")) {
      const done = this.progress.of(button.dataset.lesson);
      const words = MARKS_OF_PROGRESS.filter(([name]) => done[name]).map(([, text]) => text);
      setText(button.words, words.length ? `, ${words.join(", ")}` : "");
      button.title = words.join(", ") || "not begun";
      for (const mark of button.querySelectorAll("[data-done]"))
        mark.classList.toggle("yes", Boolean(done[mark.dataset.done]));
      if (button.dataset.lesson === opened) button.setAttribute("aria-current", "true");
      else button.removeAttribute("aria-current");
      finished += done.right ? 1 : 0;
    }
    setText(this.count, `${finished} of ${this.lessons.length} answered right`);
  }
}
