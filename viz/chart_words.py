"""A chart in words, for those who do not see it: title, axes, its lines, and what is marked."""

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from kinematics.array import Array
from kinematics.units import SYSTEMS
from viz.chart import Bar, Chart, Label, Line, Mark
from viz.number_words import format_short, join_unit, turn_text

ROLE_WORDS = {
    "main": "value", "gas": "gas", "inertia": "inertia", "second": "second", "mean": "mean",
    "allowed": "allowed", "reference": "reference",
}  # fmt: skip
QUIET = ("ring",)  # roles of what only helps the eye: zero lines, rings and rays
FEW_MARKS = 3  # of a role, up to which each may have a label of its own
LEVEL = 1e-6  # of a chart's height or width: what changes less stands level or upright
SEEN = 1e-3  # of the same: what is nearer zero is called zero
_SYMBOLS = {unit.symbol for units in SYSTEMS.values() for unit in units.values()} | {"Hz"}


def chart_words(chart: Chart) -> str:
    """Return what a chart shows as sentences: its own, or made from what is drawn."""
    if chart.words:
        return chart.words
    across, up = _Axis(chart.x_label, chart.x_range), _Axis(chart.y_label, chart.y_range)
    polar = not chart.x_label and not chart.y_label
    axes = ["Polar, 0° at the top, clockwise"] if polar else [f"Across: {across}", f"Up: {up}"]
    told = [
        _direction(name, line) if polar else _course(name, line, chart, across, up)
        for name, line in zip(line_names(chart), chart.lines, strict=True)
        if name and line.role not in QUIET
    ]
    told += _bars(chart.bars, across, up)
    marked = [] if polar else _marks(chart, across, up)
    parts = [chart.title, *axes, "; ".join(filter(None, told))]
    parts.append(f"Marked: {'; '.join(marked)}" if marked else "")
    return ". ".join(filter(None, parts)) + "."


def line_names(chart: Chart) -> tuple[str, ...]:
    """Return a name for each line of a chart: its own, else its nearest label's, else its role's.

    A line that only helps the eye and has no label has none.
    """
    names = [line.name for line in chart.lines]
    for label in _free_labels(chart):
        likely = [
            (_distance(label, line, chart), i)
            for i, line in enumerate(chart.lines)
            if line.role == label.role and not names[i]
        ]
        if likely:
            names[min(likely)[1]] = label.text.strip()
    return tuple(
        name or ROLE_WORDS.get(line.role, "") for name, line in zip(names, chart.lines, strict=True)
    )


class _Axis:
    """An axis: its label parted into words and unit, and its range."""

    def __init__(self, label: str, span: tuple[float, float]) -> None:
        words, _, unit = label.rpartition(", ")  # a label may also be a unit alone
        self.words, self.unit = (words, unit) if unit in _SYMBOLS else (label, "")
        self.span = span

    def at(self, value: float) -> str:
        """Return a value on the axis with its unit."""
        room = abs(self.span[1] - self.span[0])
        return join_unit(format_short(0.0 if abs(value) < SEEN * room else value, 4), self.unit)

    def __str__(self) -> str:
        ends = f"{self.at(self.span[0])} to {self.at(self.span[1])}"
        return f"{self.words}, {ends}" if self.words else ends


def _free_labels(chart: Chart) -> list[Label]:
    """Return the labels that belong to no mark of their own."""
    taken = {id(label) for _, label in _own_labels(chart) if label is not None}
    return [label for label in chart.labels if id(label) not in taken]


def _own_labels(chart: Chart) -> list[tuple[Mark, Label | None]]:
    """Return every mark with the label that stands right over or under it, or None."""
    found: list[tuple[Mark, Label | None]] = []
    for mark in chart.marks:
        same = sum(other.role == mark.role for other in chart.marks)
        over = [label for label in chart.labels if label.role == mark.role and label.x == mark.x]
        found.append((mark, over[-1] if over and same <= FEW_MARKS else None))
    return found


def _distance(label: Label, line: Line, chart: Chart) -> float:
    """Return how far a label is from the nearest point of a line, as a share of the chart."""
    x, y = _points(line)
    if not x.size:
        return float("inf")
    if x.size == 2:  # an edge: look along it
        x, y = np.linspace(x[0], x[1], 50), np.linspace(y[0], y[1], 50)
    wide, high = np.ptp(chart.x_range), np.ptp(chart.y_range)
    return float(np.hypot((x - label.x) / wide, (y - label.y) / high).min())


def _points(line: Line) -> tuple[Array, Array]:
    x, y = np.asarray(line.x, dtype=float), np.asarray(line.y, dtype=float)
    seen = np.isfinite(x) & np.isfinite(y)
    return x[seen], y[seen]


def _course(name: str, line: Line, chart: Chart, across: _Axis, up: _Axis) -> str:
    """Return how a line runs: level, upright, or from its lowest to its highest point."""
    x, y = _points(line)
    shown = (x >= min(chart.x_range)) & (x <= max(chart.x_range))
    x, y = x[shown], y[shown]
    if not x.size:
        return f"{name}: beyond the chart"
    if np.ptp(y) <= LEVEL * np.ptp(chart.y_range):
        return f"{name}: {up.at(y[0])} throughout"
    if np.ptp(x) <= LEVEL * np.ptp(chart.x_range):
        return f"{name}: at {across.at(x[0])}"
    low, high = int(y.argmin()), int(y.argmax())
    return (
        f"{name}: from {up.at(y[low])} at {across.at(x[low])} "
        f"to a peak of {up.at(y[high])} at {across.at(x[high])}"
    )


def _direction(name: str, line: Line) -> str:
    """Return where a polar line reaches farthest out."""
    x, y = _points(line)
    far = int(np.hypot(x, y).argmax())
    return f"{name}: farthest out at {turn_text(float(np.degrees(np.arctan2(x[far], y[far]))))}"


def _bars(bars: Sequence[Bar], across: _Axis, up: _Axis) -> list[str]:
    """Return every bar with a name, and the lowest and the highest of the others with values."""
    told = [f"{bar.name}: {across.at(bar.right)}" for bar in bars if bar.name]
    values = [bar for bar in bars if bar.role == "steel" and not bar.name]
    if not values:
        return told
    low, high = min(values, key=_top), max(values, key=_top)
    return [
        *told,
        f"{len(values)} bars: from {up.at(low.top)} at {across.at(_middle(low))} "
        f"to a peak of {up.at(high.top)} at {across.at(_middle(high))}",
    ]


def _top(bar: Bar) -> float:
    return bar.top


def _middle(bar: Bar) -> float:
    return (bar.left + bar.right) / 2


def _marks(chart: Chart, across: _Axis, up: _Axis) -> list[str]:
    """Return what is marked: each mark with a label of its own, others by role together."""
    told = [
        f"{label.text.strip()} at {across.at(mark.x)}, {up.at(mark.y)}"
        for mark, label in _own_labels(chart)
        if label is not None
    ]
    rest = [mark for mark, label in _own_labels(chart) if label is None]
    for role in dict.fromkeys(mark.role for mark in rest):
        heights = [mark.y for mark in rest if mark.role == role]
        names = _ring_names(chart.labels, role)
        what = names[0] if names else "points"
        told.append(f"{len(heights)} {what}, {up.at(min(heights))} to {up.at(max(heights))}")
    return told


def _ring_names(labels: Iterable[Label], role: str) -> list[Any]:
    """Return the names that labels give to all marks of a role, by the ring in front of them."""
    return [
        label.text[2:] for label in labels if label.role == role and label.text.startswith("○ ")
    ]
