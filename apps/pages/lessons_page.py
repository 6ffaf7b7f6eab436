"""The lessons page: a question, a prediction, the experiment, why, and a check."""

import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from apps.components.lesson_view import LessonView
from apps.components.train_view import TrainView
from apps.lessons.lesson import START, Asked, Lesson, StepView
from apps.lessons.lesson_bench import LessonBench
from apps.lessons.lesson_file import lesson_paths, load_lessons, read_lesson
from apps.lessons.lesson_messages import answered, drawn, is_place, opened
from apps.lessons.lesson_table import LessonError
from apps.page_registry import LESSONS
from apps.pages.design_page import DesignPage
from apps.pages.page_template import PageTemplate
from apps.state import AppState
from kinematics import Cycle, DesignError, design_text
from kinematics.units import UNITS
from viz.lessons.engine_marks import engine_marks
from viz.placed import placed
from viz.train.train_pictures import lesson_pictures


class LessonsPage(DesignPage):
    """The lessons beside the moving train; the design that the tab keeps is left as it is."""

    entry = LESSONS
    shows_fit = False
    _first: LessonBench | None = None  # on the lesson's own design

    def __init__(self, state: AppState) -> None:
        super().__init__(state)
        self.pictures = list(placed(lesson_pictures).values())
        self.train = TrainView(
            feeds=[picture.feed for picture in self.pictures], sizing_mode="stretch_both"
        )
        self.view = LessonView(self.handle_message, sizing_mode="stretch_both")
        self._draft = state.draft()
        lessons, self._errors = load_lessons(lesson_paths())
        self._lessons = {lesson.key: lesson for lesson in lessons}
        self._bench: LessonBench | None = None  # on the present design
        self._view = StepView()  # of the step that is shown
        self._plotted: list[LessonBench | None] = [None, None]  # on what the plots were made
        self._count = 0  # so that the same lesson, opened anew, is news
        self._show_board()
        self.show_cycle()
        state.param.watch(lambda *_: self.show_cycle(), ["cycle"])

    def template(self) -> PageTemplate:
        """Return the page with everything in its place."""
        return PageTemplate(
            "lessons/lessons",
            {
                "bar": self.bar,
                "controls": self.controls,
                "lesson": self.view,
                "train": self.train,
            },
            self.pictures,
            plots=self.pictures,
        )

    # --- what the browser asks for ------------------------------------------------------------

    def command(self, message: dict[str, Any]) -> None:
        """Do what the top bar asks for; a design that the tab keeps is not opened here."""
        if message.get("kind") == "restore" and isinstance(message.get("text"), str):
            self._draft = {key: message.get(key) for key in self._draft}
            self.store_draft()
        else:
            super().command(message)

    def store_draft(self, serial: Any = None) -> None:
        """Let the browser's tab keep the design that it came with."""
        self.bar.store_draft({**self._draft, "serial": serial})

    def handle_message(self, message: dict[str, Any]) -> None:
        """Do what the lesson asks for."""
        kind = message.get("kind")
        if kind == "open" and message.get("key") in self._lessons:
            self._open(self._lessons[str(message["key"])])
            if isinstance(message.get("prediction"), dict):
                self._predict(message["prediction"])
        elif kind == "predict":
            self._predict(message)
        elif kind == "check":
            self._check(message)
        elif kind == "step":
            self._step(message.get("step"), message.get("question"))
        elif kind == "file" and isinstance(message.get("text"), str):
            self._open_file(str(message.get("name"))[:80], message["text"])

    def _open_file(self, name: str, content: str) -> None:
        """Open a teacher's lesson, or say what is wrong with it."""
        try:
            lesson = read_lesson(content, name)
            started = _started(lesson)
        except LessonError as error:
            self.view.problem = f"{error} Nothing was changed."
            return
        self.view.problem = ""
        self._lessons[lesson.key] = lesson
        self._show_board()
        self._open(lesson, started)

    def _open(self, lesson: Lesson, started: LessonBench | None = None) -> None:
        try:
            first = started or _started(lesson)
        except LessonError as error:
            self.view.problem = str(error)
            return
        self.view.param.update(answer="", live="", checked="", problem="")
        self._first, self._bench, self._plotted = first, None, [None, None]
        self._view = lesson.predict.view
        self.groups = (("Try", True, lesson.sliders),)
        self._count += 1
        self._show_engine(first.engine(lesson.predict.view.engine or START))
        self.view.lesson = _json(opened(first) | {"count": self._count})
        self._show_controls()

    def _show_engine(self, cycle: Cycle) -> None:
        """Put a design at its speed on the page."""
        speed_rpm = UNITS["rpm"].from_si(cycle.speed)
        text = design_text(cycle.design)
        self.state.restore(text, speed_rpm, place="of the lesson", steps={})
        self._show_marks()

    def _step(self, step: Any, question: Any) -> None:
        """Show what a step wants beside its text; steps after the prediction need an answer."""
        first = self._first
        if first is None or (step != "predict" and not self.view.answer):
            return
        view = _view_of(first.lesson, step, question)
        if view is None:
            return
        self._view = view
        if view.engine:
            self._show_engine(first.engine(view.engine))
        self._show_marks()

    def _show_marks(self) -> None:
        marks = engine_marks(self.state.cycle, self._view.marks)
        self.train.marks = json.dumps(marks) if marks else ""

    def _predict(self, message: dict[str, Any]) -> None:
        """Take a prediction, and show what is right; one that is no answer is let go."""
        first = self._first
        if first is None:
            return
        asked = first.lesson.predict
        made = (
            drawn(first, message.get("points")) if asked.is_drawn
            else answered(first, asked, message)
        )  # fmt: skip
        if made is not None:
            self.view.answer = _json({"key": first.lesson.key} | made)
            self._plotted = [first, first]
            self._show_live()

    def _check(self, message: dict[str, Any]) -> None:
        if self._first is None or not self.view.answer:
            return
        question, checks = message.get("question", 0), self._first.lesson.checks
        if not is_place(question, len(checks)):
            return
        made = answered(self._first, checks[question], message)
        if made is not None:
            self._count += 1
            found = {"key": self._first.lesson.key, "question": question, "count": self._count}
            self.view.checked = _json(found | made)

    # --- what is shown ------------------------------------------------------------------------

    def show_cycle(self) -> None:
        """Send what a new design or speed changes."""
        self.train.show_cycle(self.state.cycle)
        self._show_marks()
        if self.view.answer:
            self._show_live()

    def _show_live(self) -> None:
        """Send numbers, texts and plot of the present design; before the answer they stay here."""
        assert self._first is not None  # an answer belongs to a lesson
        bench = LessonBench(self._first.lesson, self.state.cycle)
        self._bench = bench
        lesson = bench.lesson
        try:
            self.view.live = _json(
                {
                    "key": lesson.key,
                    "numbers": bench.numbers(),
                    "why": bench.filled(lesson.why),
                    "goal": bench.goal(),
                    "plot": self._plot_message(bench, 0),
                    "second": self._plot_message(bench, 1),
                }
            )
        except DesignError as error:
            self.state.message = (f"The lesson's numbers are unchanged. {error}", True)

    def _plot_message(self, bench: LessonBench, which: int) -> dict[str, Any] | None:
        """Return a plot; where only what is swept was changed, the last with a new mark."""
        curve, last = bench.curves[which], self._plotted[which]
        if last is None or not bench.sweeps_alike(last, curve):
            last = self._plotted[which] = bench
        plot = last.plots[which]
        return None if plot is None else replace(plot, mark=bench.mark(curve)).message()

    def shown_groups(self) -> list[dict[str, Any]]:
        """Return the lesson's sliders, with its own ends and steps."""
        groups, first = super().shown_groups(), self._first
        if first is None:
            return groups
        return [
            group | {"controls": [first.ranged(control) for control in group["controls"]]}
            for group in groups
        ]

    def _show_board(self) -> None:
        self.view.board = _json(
            {
                "lessons": [
                    {"key": lesson.key, "title": lesson.title} for lesson in self._lessons.values()
                ],
                "errors": [str(error) for error in self._errors],
            }
        )


def _started(lesson: Lesson) -> LessonBench:
    """Return the bench of a lesson's own design; raises LessonError where no answer is right."""
    try:
        bench = LessonBench.at_start(lesson)
        _ = bench.plots
    except DesignError as error:
        raise LessonError(f"{lesson.key}.toml", 0, "start", str(error)) from None
    for name, asked in _questions(lesson):
        try:
            if asked.options:
                bench.right(asked)
            elif asked.amount is not None:
                bench.amount(asked.amount)
        except DesignError as error:
            key = f"{name}.option" if asked.options else f"{name}.value"
            raise LessonError(f"{lesson.key}.toml", 0, key, str(error)) from None
    return bench


def _questions(lesson: Lesson) -> Iterator[tuple[str, Asked]]:
    """Yield all that a lesson asks with its key in the file."""
    yield "predict", lesson.predict
    for place, asked in enumerate(lesson.checks, 1):
        yield "check" if len(lesson.checks) == 1 else f"check[{place}]", asked


def _view_of(lesson: Lesson, step: Any, question: Any) -> StepView | None:
    """Return what a step shows; None for no step of a lesson."""
    if step == "check":
        known = is_place(question, len(lesson.checks))
        return lesson.checks[question].view if known else None
    views = {"predict": lesson.predict.view, "try": lesson.try_view, "why": lesson.why_view}
    return views.get(step) if isinstance(step, str) else None


def _json(message: dict[str, Any]) -> str:
    return json.dumps(message, ensure_ascii=False)
