"""Lesson files: TOML in, a lesson out, every fault with its file, line, key and what is allowed."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from apps.controls.controls import GROUPS as TRAIN_GROUPS
from apps.controls.controls import control_groups
from apps.controls.film_controls import GROUPS as FILM_GROUPS
from apps.controls.limit_controls import GROUPS as LIMIT_GROUPS
from apps.lessons.lesson import (
    START,
    Amount,
    Asked,
    Curve,
    Goal,
    Lesson,
    Option,
    OwnNumber,
    StepView,
)
from apps.lessons.lesson_setting import Setting, demo_design, demo_files
from apps.lessons.lesson_table import LessonError, Source, Table, near, toml_table
from assets_demo import FOLDER
from kinematics import DesignError
from kinematics.design.design_file import clean_text
from kinematics.expression import Expression, read_expression
from kinematics.units import using_units
from viz.lessons.drawn_curve import FEATURES
from viz.lessons.engine_marks import MARKS
from viz.lessons.lesson_curves import (
    ANGLE_ROWS,
    CRANK_ANGLE,
    ORDER,
    ORDER_ROWS,
    RUNNING_SPEED,
    SPEED_ROWS,
)
from viz.lessons.lesson_values import LIVE
from viz.train.line_plots import LINE_PLOTS
from viz.train.order_plots import ORDER_PLOTS
from viz.train.polar_plots import BIG_END, LOADED_MAIN, MAIN_BEARINGS

LESSONS = FOLDER / "lessons"
KINDS: dict[str, Mapping[str, Any]] = {  # of curves that are not over a control, with their rows
    CRANK_ANGLE: ANGLE_ROWS,
    ORDER: ORDER_ROWS,
    RUNNING_SPEED: SPEED_ROWS,
}
POLARS = (BIG_END, MAIN_BEARINGS, LOADED_MAIN)
PLOTS = tuple(plot.name for plot in (*LINE_PLOTS, *POLARS, *ORDER_PLOTS))
FORCES = ("gas", "inertia", "rod", "side", "mains")  # arrows of the train
LIVE_MARK = re.compile(r"\{live:([^{}]*)\}")
MOST_BYTES = 64_000
MOST_SLIDERS, MOST_OPTIONS, MOST_NUMBERS, MOST_POINTS, MOST_HINTS = 6, 6, 10, 61, 3
MOST_CHECKS = 6
TITLE, LINE, TEXT = 80, 300, 4000  # longest, characters


def lesson_paths(folder: Path = LESSONS) -> list[Path]:
    """Return the lesson files of a folder, by the number at the start of their names."""
    return sorted(folder.glob("*.toml"), key=_number_and_name)


def _number_and_name(path: Path) -> tuple[int, str]:
    first = path.stem.partition("_")[0]
    return (int(first) if first.isdecimal() else 0), path.stem


def load_lesson(path: Path) -> Lesson:
    """Return the lesson in a file; raises LessonError."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise LessonError(path.name, 0, "", f"is larger than {MOST_BYTES // 1000} kB")
        data = path.read_bytes()
    except OSError as error:
        raise LessonError(path.name, 0, "", f"cannot be read ({error.strerror})") from None
    return read_lesson(data, path.name)


def read_lesson(data: str | bytes, name: str) -> Lesson:
    """Return the lesson in a text; `name` is that of its file. Raises LessonError."""
    table = toml_table(data, name, MOST_BYTES)
    reader = _Reader(table)
    lesson = reader.lesson(clean_text(Path(name).stem, 60) or "lesson")
    table.nothing_left()
    return lesson


def load_lessons(
    paths: Iterable[Path],
) -> tuple[list[Lesson], list[LessonError]]:
    """Return the lessons that can be read, and what is wrong with the others."""
    lessons, errors = [], []
    for path in paths:
        try:
            lessons.append(load_lesson(path))
        except LessonError as error:
            errors.append(error)
    return lessons, errors


class _Reader:
    """Reads one lesson; names are checked against its own designs and numbers."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self.source: Source = table.source
        self.design = demo_design("touring_six")
        self.others: dict[str, Setting] = {}
        self.numbers: dict[str, OwnNumber] = {}

    @using_units("si")  # the file's own units
    def lesson(self, key: str) -> Lesson:
        table = self.table
        table.whole("schema", 1, 1)
        title = table.text("title", TITLE)
        start = self._setting(table.table("start"), True)
        self.design = demo_design(start.design or "")
        self._tried(table.child("start"), start)
        self._others()
        self._numbers()
        curve, second = self._curve("curve"), self._curve("second_curve")
        question = self._paragraphs(table, "question")
        predict = self._predict(curve)
        experiment = table.table("experiment")
        todo = self._paragraphs(experiment, "todo")
        ranges = self._ranges(experiment)
        try_view = self._view(experiment)
        sliders, plot, shown = self._experiment(experiment)
        self._of_sliders(experiment, ranges, sliders)
        goal = self._goal()
        why = table.table("why")
        texts = self._paragraphs(why, "text")
        formula = why.text("formula", TEXT, lines=True)
        source, why_view = why.text("source", LINE, default=""), self._view(why)
        why.nothing_left()
        checks = self._checks()
        return Lesson(
            key, title, question, start, self.others, self.numbers, curve, second, predict, todo,
            sliders, plot, shown, texts, formula, source, checks, goal, ranges, try_view, why_view,
            self.design,
        )  # fmt: skip

    # --- designs ----------------------------------------------------------------------------

    def _setting(self, table: Table, needs_design: bool) -> Setting:
        stem = table.choice("design", list(demo_files()), default=None if needs_design else "")
        speed = table.number("speed_rpm", 1, 30000, default=None)
        change = table.plain("set")
        add = table.plain("add")
        for key, value in add.items():
            if isinstance(value, bool) or not isinstance(value, (int, float)):
                raise table.error(f"add.{key}", "must be a number")
        table.nothing_left()
        return Setting(stem or None, speed, change, add)

    def _tried(self, path: str, setting: Setting) -> None:
        """Make the design of a setting, so that a wrong key or value is found now."""
        try:
            setting.of(self.design)
        except DesignError as error:
            parts = {"set": setting.change, "add": setting.add}
            key = next((f".{part}" for part, keys in parts.items() if error.field in keys), "")
            raise self.source.error(path + key, str(error)) from None

    def _others(self) -> None:
        for name, table in self.table.named_tables("other"):
            setting = self._setting(table, False)
            self._tried(table.path, setting)
            self.others[name] = setting

    # --- numbers and curves -----------------------------------------------------------------

    def _numbers(self) -> None:
        for name, table in self.table.named_tables("number"):
            if name in LIVE:
                raise table.error("", f"{name} is the name of a quantity of the program already")
            label, unit = table.text("label", TITLE), table.text("unit", 20, default="")
            digits = table.whole("digits", 1, 6, default=3)
            made = self._expression(table, "of", rule=False)
            table.nothing_left()
            self.numbers[name] = OwnNumber(label, unit, digits, made)

    def _curve(self, name: str) -> Curve | None:
        table = self.table.table(name, optional=True)
        if table is None:
            return None
        over = table.text("over", TITLE)
        known = KINDS.get(over)
        if known is None:
            self._control(table, "over", over)
        names = table.texts("of", 1, 4)
        for name in names:
            self._curve_name(table, name, known)
        self._one_unit(table, names, known)
        ends = self._ends(table, over) if known in (None, SPEED_ROWS) else {}
        low, high = (table.number(end, -1e9, 1e9, default=None) for end in ("low", "high"))
        if low is not None and high is not None and not low < high:
            raise table.error("high", f"must be more than `low` (got {high:g})")
        y_label = table.text("y_label", TITLE, default="")
        table.nothing_left()
        return Curve(over, names, low=low, high=high, y_label=y_label, **ends)

    def _ends(self, table: Table, over: str) -> dict[str, Any]:
        """Return where a curve begins and ends; one over the speed finds its own points."""
        least, most = (100, 30000) if over == RUNNING_SPEED else (-1e6, 1e6)
        ends = {"start": table.number("from", least, most), "end": table.number("to", least, most)}
        if not ends["start"] < ends["end"]:
            raise table.error("to", f"must be more than `from` (got {ends['end']:g})")
        if over != RUNNING_SPEED:
            ends["points"] = table.whole("points", 5, MOST_POINTS, default=25)
        return ends

    def _curve_name(self, table: Table, name: str, known: Mapping[str, Any] | None) -> None:
        if known is None:
            self._known(name, lambda words: table.error("of", words))
            return
        prefix, _, last = name.rpartition(".")
        if last not in known or (prefix and (known is ANGLE_ROWS or prefix not in self.others)):
            raise table.error("of", f"unknown {name!r}; {near(last, known)}")

    def _one_unit(
        self, table: Table, names: tuple[str, ...], known: Mapping[str, Any] | None
    ) -> None:
        """Raise an error unless all lines of a plot have one unit, and so one axis."""
        units = {name: self._unit(name, known) for name in names}
        if len(set(units.values())) > 1:
            found = ", ".join(f"{name} in {unit or 'no unit'}" for name, unit in units.items())
            raise table.error("of", f"must be lines of one unit (got {found})")

    def _unit(self, name: str, known: Mapping[str, Any] | None) -> str:
        if known is not None:
            return str(known[name.rpartition(".")[2]].unit)
        if name in self.numbers:
            return self.numbers[name].unit
        first, _, rest = name.partition(".")
        inner = rest if first in self.others else name
        if inner in LIVE:
            return LIVE[inner].unit
        groups = control_groups(self.design, (("", True, (inner,)),))
        return str(groups[0]["controls"][0]["unit"])

    def _known(self, name: str, error: Callable[[str], LessonError]) -> None:
        """Raise an error unless a name is one that has a value."""
        first, _, rest = name.partition(".")
        inner = rest if first in self.others else name
        if inner in LIVE or (inner == name and name in self.numbers) or self._is_control(inner):
            return
        raise error(f"unknown quantity {name[:60]!r}; {near(name, self._all_names())}")

    def _all_names(self) -> list[str]:
        others = [f"{other}.{name}" for other in self.others for name in LIVE]
        return [*LIVE, *self.numbers, *others]

    def _is_control(self, key: str) -> bool:
        return bool(control_groups(self.design, (("", True, (key,)),)))

    def _control(self, table: Table, key: str, name: str) -> None:
        if not self._is_control(name):
            words = near(name, self._control_names())
            raise table.error(key, f"no control {name[:60]!r} in this design; {words}")

    def _control_names(self) -> list[str]:
        every = (*TRAIN_GROUPS, *FILM_GROUPS, *LIMIT_GROUPS)
        keys = [key for _, _, group in every for key in group]
        return [key for key in dict.fromkeys(keys) if self._is_control(key)]

    def _expression(self, table: Table, key: str, *, rule: bool) -> Expression:
        try:
            made = read_expression(table.text(key, LINE), rule=rule)
        except ValueError as error:
            if isinstance(error, LessonError):
                raise
            raise table.error(key, str(error)) from None
        for name in made.names:
            self._known(name, lambda words: table.error(key, words))
        return made

    # --- texts ------------------------------------------------------------------------------

    def _paragraphs(self, table: Table, key: str, default: str | None = None) -> tuple[str, ...]:
        text = table.text(key, TEXT, lines=True, default=default)
        self._placeholders(table, key, text)
        found = (" ".join(part.split()) for part in re.split(r"\n\s*\n", text))
        return tuple(part for part in found if part)

    def _placeholders(self, table: Table, key: str, text: str) -> None:
        for name in LIVE_MARK.findall(text):
            self._known(name.strip(), lambda words: table.error(key, words))
        if "{live" in LIVE_MARK.sub("", text):
            raise table.error(key, "must close {live: write {live:NAME}")

    # --- what is asked, and the experiment ---------------------------------------------------

    def _predict(self, curve: Curve | None) -> Asked:
        table = self.table.table("predict")
        kind = table.choice("kind", ["choose", "value", "draw"])
        if kind == "draw" and (curve is None or curve.over == ORDER):
            raise table.error("kind", "to draw, a lesson needs a [curve] over a control or angle")
        judge = self._judge(table) if kind == "draw" else ()
        asked = self._asked(table, kind)
        table.nothing_left()
        return replace(asked, judge=judge)

    def _judge(self, table: Table) -> tuple[str, ...]:
        """Return the features of a drawing that are judged."""
        names: tuple[str, ...] = table.texts("judge", 1, len(FEATURES), default=("direction",))
        for name in names:
            if name not in FEATURES:
                raise table.error("judge", f"unknown {name[:40]!r}; {near(name, FEATURES)}")
        return names

    def _checks(self) -> tuple[Asked, ...]:
        """Return the questions at the end: one table [check], or several [[check]]."""
        found = []
        for table in self.table.one_or_more("check", MOST_CHECKS):
            kind = table.choice("kind", ["choose", "value"], default="choose")
            found.append(self._asked(table, kind))
            table.nothing_left()
        return tuple(found)

    def _asked(self, table: Table, kind: str) -> Asked:
        text, because = self._paragraphs(table, "text"), self._paragraphs(table, "because")
        return Asked(
            text,
            because,
            self._options(table) if kind == "choose" else (),
            self._hints(table),
            amount=self._amount(table) if kind == "value" else None,
            view=self._view(table),
        )

    def _options(self, table: Table) -> tuple[Option, ...]:
        found = []
        for option in table.tables("option", 2, MOST_OPTIONS):
            words = option.text("text", LINE)
            self._placeholders(option, "text", words)
            right_if = self._expression(option, "right_if", rule=True)
            found.append(Option(words, right_if, self._paragraphs(option, "feedback", "")))
            option.nothing_left()
        return tuple(found)

    def _amount(self, table: Table) -> Amount:
        """Return the number that is asked for, in the unit of the file."""
        return Amount(
            self._expression(table, "value", rule=False),
            table.text("unit", 20, default=""),
            table.number("tolerance", 1e-9, 1e9),
            self._paragraphs(table, "too_high", ""),
            self._paragraphs(table, "too_low", ""),
        )

    def _view(self, table: Table) -> StepView:
        """Return what a step shows beside its text."""
        view = table.table("view", optional=True)
        if view is None:
            return StepView()
        found = StepView(
            view.choice("engine", [START, *self.others], default=""),
            view.choice("plot", list(PLOTS), default=""),
            view.whole("cylinder", 1, 12, default=None),
            view.number("angle_deg", 0, 720, default=None),
            view.flag("playing", default=None),
            view.texts("forces", 0, len(FORCES), default=None),
            view.texts("marks", 1, len(MARKS), default=()),
        )
        for key, names, allowed in (
            ("forces", found.forces or (), FORCES),
            ("marks", found.marks, MARKS),
        ):
            for name in names:
                if name not in allowed:
                    raise view.error(key, f"unknown {name[:40]!r}; {near(name, allowed)}")
        view.nothing_left()
        return found

    def _hints(self, table: Table) -> tuple[tuple[str, ...], ...]:
        """Return hints, in the order in which they are shown."""
        hints = table.texts("hints", 1, MOST_HINTS, default=())
        for hint in hints:
            self._placeholders(table, "hints", hint)
        return tuple((clean_text(hint, LINE),) for hint in hints)

    def _ranges(self, table: Table) -> dict[str, tuple[float, float, float]]:
        """Return the ends and steps of sliders that a lesson sets."""
        found = {}
        for key, value in table.plain("ranges").items():
            if not _is_range(value):
                words = "must be [from, to, step], `from` below `to` and a step that fits between"
                raise table.error(f"ranges.{key}", words)
            found[key] = (float(value[0]), float(value[1]), float(value[2]))
        return found

    def _of_sliders(self, table: Table, ranges: Iterable[str], sliders: Iterable[str]) -> None:
        for key in ranges:
            if key not in sliders:
                raise table.error(f"ranges.{key}", f"no slider {key[:60]!r}; {near(key, sliders)}")

    def _goal(self) -> Goal | None:
        table = self.table.table("goal", optional=True)
        if table is None:
            return None
        goal = Goal(
            self._paragraphs(table, "text"), self._expression(table, "reached_if", rule=True)
        )
        table.nothing_left()
        return goal

    def _experiment(self, table: Table) -> tuple[tuple[str, ...], str, tuple[str, ...]]:
        sliders = table.texts("sliders", 1, MOST_SLIDERS)
        for name in sliders:
            self._control(table, "sliders", name)
        plot = table.choice("plot", list(PLOTS), default="")
        shown = table.texts("numbers", 0, MOST_NUMBERS, default=())
        for name in shown:
            self._known(name, lambda words: table.error("numbers", words))
        table.nothing_left()
        return sliders, plot, shown


def _is_range(value: Any) -> bool:
    """Return whether a value of a file is [from, to, step]."""
    if not isinstance(value, list) or len(value) != 3:
        return False
    if any(isinstance(end, bool) or not isinstance(end, (int, float)) for end in value):
        return False
    low, high, step = value
    return bool(-1e6 <= low < high <= 1e6 and 0 < step <= high - low)
