"""A lesson at work: its quantities, the right answers, its curve and its texts filled in."""

import math
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import Any

import numpy as np

from apps.controls.controls import SPEED, changed, control_groups, control_values, shown_slider
from apps.lessons.lesson import START, Amount, Asked, Curve, Lesson, Option
from apps.lessons.lesson_file import LIVE_MARK
from apps.lessons.lesson_setting import control_value
from kinematics import Cycle, DesignError, design_text, solve_cycle
from kinematics.units import UNITS, as_shown, from_shown, key_of, shown_unit, using_units
from viz.lessons.drawn_curve import Remark
from viz.lessons.lesson_curves import (
    ANGLE_ROWS,
    CRANK_ANGLE,
    ORDER,
    ORDER_ROWS,
    RUNNING_SPEED,
    SPEED_ROWS,
    Critical,
    LessonLine,
    LessonPlot,
    angle_lines,
    nice_range,
    order_line,
    speed_lines,
)
from viz.lessons.lesson_values import LIVE
from viz.number_words import UNBROKEN_THIN_SPACE, format_number, unbroken

WITHOUT_SPACE = ("°",)


class LessonBench:
    """A lesson on a cycle; quantities are worked out once, when they are first asked for."""

    def __init__(self, lesson: Lesson, cycle: Cycle) -> None:
        self.lesson = lesson
        self.cycle = cycle
        self._cycles: dict[str, Cycle] = {"": cycle}
        self._values: dict[str, float] = {}

    @classmethod
    def at_start(cls, lesson: Lesson) -> "LessonBench":
        """Return the bench with the design and speed that the lesson starts with."""
        rated = UNITS["rpm"].from_si(lesson.design.layout.rated_speed)
        return cls(lesson, lesson.start.cycle(lesson.design, rated))

    # --- quantities -------------------------------------------------------------------------

    @using_units("si")
    def value(self, name: str) -> float:
        """Return a quantity in the unit of lesson files; NaN where the design has it not."""
        if name not in self._values:
            self._values[name] = self._found(name)
        return self._values[name]

    def _found(self, name: str) -> float:
        own = self.lesson.numbers.get(name)
        if own is not None:
            return own.of.value(self.value)
        first, _, rest = name.partition(".")
        who, inner = (first, rest) if first in self.lesson.others else ("", name)
        try:
            cycle = self._cycle(who)
            return LIVE[inner].of(cycle) if inner in LIVE else _control(cycle, inner)
        except DesignError:
            return math.nan

    def _cycle(self, who: str) -> Cycle:
        if who not in self._cycles:
            now = UNITS["rpm"].from_si(self.cycle.speed)
            self._cycles[who] = self.lesson.others[who].cycle(self.cycle.design, now)
        return self._cycles[who]

    @using_units("si")
    def words(self, name: str) -> tuple[str, str, int]:
        """Return a quantity's label, unit of lesson files and digits."""
        own = self.lesson.numbers.get(name)
        if own is not None:
            return own.label, own.unit, own.digits
        first, _, rest = name.partition(".")
        is_other = first in self.lesson.others
        inner = rest if is_other else name
        if inner in LIVE:
            label, unit, digits = LIVE[inner].label, LIVE[inner].unit, LIVE[inner].digits
        else:
            (label, unit), digits = self._control_words(inner), 4
        return (f"{label}, {first.replace('_', ' ')}" if is_other else label), unit, digits

    def _is_control(self, name: str) -> bool:
        first, _, rest = name.partition(".")
        inner = rest if first in self.lesson.others else name
        return inner not in LIVE and inner not in self.lesson.numbers

    def _control_words(self, key: str) -> tuple[str, str]:
        """Return a control's label and unit; those of the lesson's own design if it has it not."""
        for design in (self.cycle.design, self.lesson.design):
            groups = control_groups(design, (("", True, (key,)),))
            if groups:
                return groups[0]["controls"][0]["label"], groups[0]["controls"][0]["unit"]
        return key, ""

    def shown(self, name: str) -> str:
        """Return a quantity as it is read: number and unit."""
        _, unit, digits = self.words(name)
        return _in_words(self.value(name), unit, digits, plain=self._is_control(name))

    def numbers(self) -> list[dict[str, str]]:
        """Return the quantities that the experiment shows: label and text."""
        return [{"label": self.words(n)[0], "text": self.shown(n)} for n in self.lesson.shown]

    def ranged(self, control: dict[str, Any]) -> dict[str, Any]:
        """Return a control as it is shown, its slider with the lesson's ends and step."""
        own = self.lesson.ranges.get(control["key"])
        with using_units("si"):
            unit = key_of(self._control_words(control["key"])[1])
        if own is None:
            return control
        return control | {"slider": own if unit is None else shown_slider(own, unit)}

    # --- texts and answers --------------------------------------------------------------------

    def filled(self, paragraphs: Sequence[str]) -> list[list[dict[str, Any]]]:
        """Return paragraphs as pieces of text, those that are live values marked."""
        return [list(self._pieces(paragraph)) for paragraph in paragraphs]

    def _pieces(self, paragraph: str) -> Iterator[dict[str, Any]]:
        for place, piece in enumerate(LIVE_MARK.split(paragraph)):
            if place % 2:
                yield {"text": self.shown(piece.strip()), "live": True}
            elif piece:
                yield {"text": piece, "live": False}

    def right(self, asked: Asked) -> int:
        """Return which option is right; raises DesignError unless it is just one."""
        holds = [i for i, option in enumerate(asked.options) if self._holds(option)]
        if len(holds) != 1:
            found = ", ".join(f"{i + 1}" for i in holds) or "none"
            raise DesignError("", f"must have one option that holds for this design (got {found})")
        return holds[0]

    def amount(self, asked: Amount) -> float:
        """Return the number that is right, in the unit of the file; raises DesignError if none."""
        with using_units("si"):
            found = asked.of.value(self.value)
        if not math.isfinite(found):
            raise DesignError("", "the value that is asked for must be a number for this design")
        return found

    def judged(self, asked: Amount, given: float) -> tuple[int, str]:
        """Return how a number in the unit shown is, and the right one in words.

        It is 0 where it is right, 1 too high, -1 too low.
        """
        right, key = self.amount(asked), key_of(asked.unit)
        away = (given if key is None else from_shown(given, key)) - right
        side = 0 if abs(away) <= asked.tolerance * (1 + 1e-9) else 1 if away > 0 else -1
        return side, _in_words(right, asked.unit, _digits(right, asked.tolerance))

    def engine(self, name: str) -> Cycle:
        """Return the cycle of one of the lesson's designs, or of the one that it starts from."""
        return self.cycle if name == START else self._cycle(name)

    def goal(self) -> dict[str, Any] | None:
        """Return the goal of the experiment and whether the present design reaches it."""
        goal = self.lesson.goal
        if goal is None:
            return None
        reached = bool(goal.reached_if.value(self.value))
        return {"text": self.filled(goal.text), "reached": reached}

    def _holds(self, option: Option) -> bool:
        return bool(option.right_if.value(self.value))

    # --- the curve ----------------------------------------------------------------------------

    @property
    def curves(self) -> tuple[Curve | None, Curve | None]:
        """The lesson's first and second curve."""
        return self.lesson.curve, self.lesson.second

    @cached_property
    def plots(self) -> tuple[LessonPlot | None, LessonPlot | None]:
        """Both plots of the present design; raises DesignError where it has too little for one."""
        first, second = self.curves
        return self._plot(first), self._plot(second)

    @property
    def plot(self) -> LessonPlot | None:
        """The lesson's first plot, which may be drawn."""
        return self.plots[0]

    @using_units("si")
    def _plot(self, curve: Curve | None) -> LessonPlot | None:
        if curve is None:
            return None
        if curve.over == CRANK_ANGLE:
            return self._over_angle(curve)
        if curve.over == RUNNING_SPEED:
            return self._over_speed(curve)
        return self._by_order(curve) if curve.over == ORDER else self._over_control(curve)

    def _over_angle(self, curve: Curve) -> LessonPlot:
        x, lines = angle_lines(self.cycle, curve.of)
        row = ANGLE_ROWS[curve.of[0]]
        return _plot(curve, ("Crank angle φ", "°"), (row.label, row.unit), x, lines)

    def _over_speed(self, curve: Curve) -> LessonPlot:
        first = SPEED_ROWS[curve.of[0].rpartition(".")[2]]
        x, lines, criticals = speed_lines(list(self._rows(curve)), curve.start, curve.end)
        y_words = curve.y_label or first.label, first.unit
        mark = self.mark(curve)
        return _plot(
            curve, ("Crank speed", "rpm"), y_words, x, lines, mark=mark, criticals=criticals
        )

    def _rows(self, curve: Curve) -> Iterator[tuple[str, Cycle, str]]:
        """Yield (whose, cycle, row) of each line; one alone needs no word whose it is."""
        for name in curve.of:
            who, _, row = name.rpartition(".")
            words = who.replace("_", " ") if who else "this design"
            yield words if len(curve.of) > 1 else "", self._cycle(who), row

    def _by_order(self, curve: Curve) -> LessonPlot:
        row = ORDER_ROWS[curve.of[0].rpartition(".")[2]]
        lines = tuple(order_line(cycle, name, words) for words, cycle, name in self._rows(curve))
        x, y_words = np.array(row.orders), (row.label, row.unit)
        return _plot(curve, ("Order, per crank turn", ""), y_words, x, lines, bars=True)

    def _over_control(self, curve: Curve) -> LessonPlot:
        x = np.linspace(curve.start, curve.end, curve.points)
        benches = [self._swept(curve.over, float(at)) for at in x]
        lines = tuple(
            LessonLine(
                self.words(name)[0],
                np.array([math.nan if at is None else at.value(name) for at in benches]),
            )
            for name in curve.of
        )
        label, unit, _ = self.words(curve.of[0])
        shared = curve.y_label or (label if len(curve.of) == 1 else "")
        return _plot(
            curve, self._control_words(curve.over), (shared, unit), x, lines, mark=self.mark(curve)
        )

    @using_units("si")
    def mark(self, curve: Curve | None) -> float | None:
        """Return where the present design stands on a plot's axis, None where it is not on it."""
        if curve is None or curve.over in (CRANK_ANGLE, ORDER):
            return None
        now = _control(self.cycle, _swept_key(curve))
        return now if curve.start <= now <= curve.end else None

    def _swept(self, key: str, value: float) -> "LessonBench | None":
        """Return the bench with a control at another value, None where that is not allowed."""
        rpm = UNITS["rpm"].from_si(self.cycle.speed)
        try:
            if key == SPEED:
                return LessonBench(self.lesson, solve_cycle(self.cycle.design, value))
            design = changed(self.cycle.design, key, value)
            return LessonBench(self.lesson, solve_cycle(design, rpm))
        except DesignError:
            return None

    def sweeps_alike(self, other: "LessonBench", curve: Curve | None) -> bool:
        """Return whether two cycles have the same curve: they differ in what is swept alone."""
        if curve is None or curve.over in (CRANK_ANGLE, ORDER):
            return False
        speeds = _swept_key(curve) == SPEED or self.cycle.speed == other.cycle.speed
        return speeds and _levelled(self, curve) == _levelled(other, curve)

    def remarks(self, drawn: Sequence[float]) -> tuple[list[Remark], str]:
        """Return what is said of drawn values at the plot's places: by feature, and on the size."""
        plot = self.plot
        assert plot is not None  # a lesson that is drawn has a curve
        return plot.compared(drawn, self.lesson.predict.judge)


@using_units("si")
def _levelled(bench: LessonBench, curve: Curve) -> str | None:
    """Return the design with what is swept at its start, as text, which drops rounding."""
    design = bench.cycle.design
    if _swept_key(curve) == SPEED:
        return design_text(design)
    try:
        return design_text(changed(design, curve.over, curve.start))
    except DesignError:
        return None


def _swept_key(curve: Curve) -> str:
    """Return the control that a curve sweeps."""
    return SPEED if curve.over == RUNNING_SPEED else curve.over


def _digits(value: float, tolerance: float) -> int:
    """Return the digits of a value that are worth showing: to a tenth of its tolerance."""
    largest = math.floor(math.log10(abs(value))) if value else 0
    return min(max(largest - math.floor(math.log10(tolerance)) + 2, 1), 6)


def _in_words(value: float, unit: str, digits: int, *, plain: bool = False) -> str:
    """Return a value in a unit of lesson files as it is read; `plain` without zeros at the end."""
    key = key_of(unit)
    if key is not None and math.isfinite(value):
        value, unit = as_shown(value, key), shown_unit(key).symbol
    number = format_number(value, digits)
    if plain and "." in number:
        number = number.rstrip("0").rstrip(".")
    between = "" if unit in WITHOUT_SPACE or not unit else UNBROKEN_THIN_SPACE
    return unbroken(f"{number}{between}{unit}")


def _control(cycle: Cycle, key: str) -> float:
    if key == SPEED:
        return control_values(cycle.design, UNITS["rpm"].from_si(cycle.speed), ())[SPEED]
    try:
        return control_value(cycle.design, key)
    except DesignError:
        return math.nan


def _plot(
    curve: Curve,
    x_words: tuple[str, str],
    y_words: tuple[str, str],
    x: Any,
    lines: tuple[LessonLine, ...],
    *,
    bars: bool = False,
    mark: float | None = None,
    criticals: tuple[Critical, ...] = (),
) -> LessonPlot:
    low, high = nice_range(lines)
    low = low if curve.low is None else curve.low
    high = high if curve.high is None else curve.high
    (x_label, x_unit), (y_label, y_unit) = x_words, y_words
    return LessonPlot(x_label, y_label, x_unit, y_unit, x, lines, low, high, bars, mark, criticals)
