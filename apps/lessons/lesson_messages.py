"""What the browser is sent of a lesson: all that may be seen, and what an answer came to."""

from typing import Any

from apps.components.messages import is_number
from apps.lessons.lesson import Asked, StepView
from apps.lessons.lesson_bench import LessonBench
from kinematics.units import key_of, shown_unit
from viz.lessons.lesson_curves import HANDLES


def opened(bench: LessonBench) -> dict[str, Any]:
    """Return what may be seen of a lesson before the prediction."""
    lesson = bench.lesson
    plot = bench.plot if lesson.predict.is_drawn else None
    return {
        "key": lesson.key,
        "title": lesson.title,
        "question": bench.filled(lesson.question),
        "predict": _asked(bench, lesson.predict) | {"axes": plot.axes() if plot else None},
        "todo": bench.filled(lesson.todo),
        "plot": lesson.plot,
        "formula": lesson.formula,
        "source": lesson.source,
        "checks": [_asked(bench, asked) for asked in lesson.checks],
        "views": {
            "predict": _placed(lesson.predict.view),
            "try": _placed(lesson.try_view),
            "why": _placed(lesson.why_view),
            "check": [_placed(asked.view) for asked in lesson.checks],
        },
    }


def _asked(bench: LessonBench, asked: Asked) -> dict[str, Any]:
    options = [bench.filled([option.text])[0] for option in asked.options]
    hints = [bench.filled(hint) for hint in asked.hints]
    found = {"text": bench.filled(asked.text), "options": options, "hints": hints}
    return found if asked.amount is None else found | {"unit": _unit_shown(asked.amount.unit)}


def _unit_shown(symbol: str) -> str:
    key = key_of(symbol)
    return symbol if key is None else shown_unit(key).symbol


def _placed(view: StepView) -> dict[str, Any]:
    """Return what a step's view asks of the browser."""
    forces = None if view.forces is None else dict.fromkeys(view.forces, True)
    cylinder = None if view.cylinder is None else view.cylinder - 1
    return {
        "plot": view.plot, "cylinder": cylinder, "angle": view.angle,
        "playing": view.playing, "forces": forces,
    }  # fmt: skip


def answered(bench: LessonBench, asked: Asked, message: dict[str, Any]) -> dict[str, Any] | None:
    """Return what an answer came to, None where it is none."""
    if asked.amount is not None:
        return _given(bench, asked, message.get("value"))
    return _choice(bench, asked, message.get("choice"))


def _given(bench: LessonBench, asked: Asked, value: Any) -> dict[str, Any] | None:
    """Return what a number that was given came to, None where it is no number."""
    if not is_number(value) or asked.amount is None:
        return None
    side, right = bench.judged(asked.amount, float(value))
    own = {1: asked.amount.too_high, 0: (), -1: asked.amount.too_low}[side]
    return {
        "value": value,
        "side": side,
        "good": side == 0,
        "right": right,
        "feedback": bench.filled(own),
        "because": bench.filled(asked.because),
    }


def _choice(bench: LessonBench, asked: Asked, choice: Any) -> dict[str, Any] | None:
    """Return what a choice came to, None where it is none of the options."""
    if not is_place(choice, len(asked.options)):
        return None
    right = bench.right(asked)
    return {
        "choice": choice,
        "right": right,
        "good": choice == right,
        "feedback": bench.filled(asked.options[choice].feedback),
        "because": bench.filled(asked.because),
    }


def drawn(bench: LessonBench, points: Any) -> dict[str, Any] | None:
    """Return what a drawing came to, None where it is no curve."""
    if not isinstance(points, list) or len(points) != HANDLES:
        return None
    if not all(is_number(point) for point in points):
        return None
    found, size = bench.remarks([float(point) for point in points])
    return {
        "points": points,
        "remarks": [{"alike": remark.alike, "words": remark.words} for remark in found],
        "size": size,
        "because": bench.filled(bench.lesson.predict.because),
    }


def is_place(value: Any, count: int) -> bool:
    """Return whether a value is one of the places 0 … `count` - 1."""
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < count
