"""What a chart shows: lines, marks, bars and labels, each of a role; `chart_figure` draws it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a role of `chart_figure.ROLES`; NaN breaks it."""

    role: str
    x: Sequence[float] | np.ndarray[Any, Any]
    y: Sequence[float] | np.ndarray[Any, Any]
    name: str = ""  # in words and tables; empty: that of the nearest label


@dataclass(frozen=True, slots=True)
class Label:
    """A text at a point; `align` is left, center or right of it."""

    role: str
    x: float
    y: float
    text: str
    align: str = "left"


@dataclass(frozen=True, slots=True)
class Mark:
    """A point that is marked."""

    role: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Bar:
    """A filled rectangle of one of `chart_figure.BAR_ROLES`; one with a name lies along x."""

    role: str
    left: float
    right: float
    bottom: float
    top: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class Chart:
    """What a figure shows; ranges are (start, end)."""

    title: str
    x_label: str
    y_label: str
    x_range: tuple[float, float]
    y_range: tuple[float, float]
    lines: tuple[Line, ...] = ()
    labels: tuple[Label, ...] = ()
    marks: tuple[Mark, ...] = ()
    bars: tuple[Bar, ...] = ()
    x_ticks: tuple[float, ...] = field(default=())  # empty: where they fall
    words: str = ""  # empty: made from what is drawn


# the plots that a rung may show: a name and what makes each
Views = tuple[tuple[str, Callable[[Any, Any], Chart]], ...]
