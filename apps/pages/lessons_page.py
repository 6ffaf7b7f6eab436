"""The lessons page: a question, a prediction, the experiment, why, and a check."""

import json
import math
from dataclasses import replace
from typing import Any

from apps.components.lesson_view import LessonView
from apps.components.train_view import TrainView
from apps.lessons.lesson_bench import LessonBench
from apps.lessons.lesson_file import Asked, Lesson, lesson_paths, load_lessons, read_lesson
from apps.lessons.lesson_table import LessonError
from apps.page_registry import LESSONS
from apps.pages.design_page import DesignPage
from apps.pages.page_template import PageTemplate
from apps.state import AppState
from kinematics import DesignError, design_text
from kinematics.units import UNITS
from viz.lessons.lesson_curves import HANDLES
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
            self._check(message.get("choice"))
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
        self.groups = (("Try", True, lesson.sliders),)
        self._count += 1
        self.view.lesson = _json(_opened(first) | {"count": self._count})
        speed_rpm = UNITS["rpm"].from_si(first.cycle.speed)
        text = design_text(first.cycle.design)
        self.state.restore(text, speed_rpm, place="of the lesson", steps={})
        self._show_controls()

    def _predict(self, message: dict[str, Any]) -> None:
        """Take a prediction, and show what is right; one that is no answer is let go."""
        first = self._first
        if first is None:
            return
        asked = first.lesson.predict
        made = _choice(first, asked, message.get("choice")) if asked.options else None
        made = made or (None if asked.options else _drawing(first, message.get("points")))
        if made is not None:
            self.view.answer = _json({"key": first.lesson.key} | made)
            self._plotted = [first, first]
            self._show_live()

    def _check(self, choice: Any) -> None:
        if self._first is None or not self.view.answer:
            return
        made = _choice(self._first, self._first.lesson.check, choice)
        if made is not None:
            self.view.checked = _json({"key": self._first.lesson.key} | made)

    # --- what is shown ------------------------------------------------------------------------

    def show_cycle(self) -> None:
        """Send what a new design or speed changes."""
        self.train.show_cycle(self.state.cycle)
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
    for name, asked in (("predict", lesson.predict), ("check", lesson.check)):
        if asked.options:
            try:
                bench.right(asked)
            except DesignError as error:
                raise LessonError(f"{lesson.key}.toml", 0, f"{name}.option", str(error)) from None
    return bench


def _opened(bench: LessonBench) -> dict[str, Any]:
    """Return what may be seen of a lesson before the prediction."""
    lesson = bench.lesson
    plot = None if lesson.predict.options else bench.plot
    return {
        "key": lesson.key,
        "title": lesson.title,
        "question": bench.filled(lesson.question),
        "predict": _asked(bench, lesson.predict) | {"axes": plot.axes() if plot else None},
        "todo": bench.filled(lesson.todo),
        "plot": lesson.plot,
        "formula": lesson.formula,
        "source": lesson.source,
        "check": _asked(bench, lesson.check),
    }


def _asked(bench: LessonBench, asked: Asked) -> dict[str, Any]:
    options = [bench.filled([option.text])[0] for option in asked.options]
    hints = [bench.filled(hint) for hint in asked.hints]
    return {"text": bench.filled(asked.text), "options": options, "hints": hints}


def _choice(bench: LessonBench, asked: Asked, choice: Any) -> dict[str, Any] | None:
    """Return what a choice came to, None where it is none of the options."""
    if isinstance(choice, bool) or not isinstance(choice, int):
        return None
    if not 0 <= choice < len(asked.options):
        return None
    right = bench.right(asked)
    return {
        "choice": choice,
        "right": right,
        "good": choice == right,
        "feedback": bench.filled(asked.options[choice].feedback),
        "because": bench.filled(asked.because),
    }


def _drawing(bench: LessonBench, points: Any) -> dict[str, Any] | None:
    """Return what a drawing came to, None where it is no curve."""
    if not isinstance(points, list) or len(points) != HANDLES:
        return None
    for point in points:
        if (
            isinstance(point, bool)
            or not isinstance(point, (int, float))
            or not math.isfinite(point)
        ):
            return None
    found, size = bench.remarks([float(point) for point in points])
    return {
        "points": points,
        "remarks": [{"alike": remark.alike, "words": remark.words} for remark in found],
        "size": size,
        "because": bench.filled(bench.lesson.predict.because),
    }


def _json(message: dict[str, Any]) -> str:
    return json.dumps(message, ensure_ascii=False)
