"""A drawn curve beside the engine's, in words: feature by feature, and then its size."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array

LEVEL = 0.03  # of the axis: the height up to which a curve is level, and a turn is none
BENT = 0.05  # of its height: the mean distance from the chord from which a curve bends
CLOSE = 0.1  # of the axis: places nearer than this are alike
MOVES = {1: "rises", -1: "falls"}

Words = Callable[[float], str]


@dataclass(frozen=True, slots=True)
class Axes:
    """What a curve is drawn on: its ends across and up, and numbers in words."""

    start: float
    end: float
    low: float
    high: float
    x_words: Words
    y_words: Words

    @property
    def reach(self) -> float:
        """How far apart two places are alike."""
        return CLOSE * (self.end - self.start)

    @property
    def level(self) -> float:
        """The height up to which a curve is level."""
        return LEVEL * (self.high - self.low)


@dataclass(frozen=True, slots=True)
class Line:
    """A curve by its points: places and values, both (n,)."""

    x: Array
    y: Array

    def at(self, x: Array) -> Array:
        """Return values at places between the points, (m,)."""
        return np.interp(x, self.x, self.y)


@dataclass(frozen=True, slots=True)
class Remark:
    """One feature of a drawing: whether it is the engine's, and a sentence on both."""

    feature: str
    alike: bool
    words: str


def remarks(axes: Axes, drawn: Line, true: Line, features: Sequence[str]) -> list[Remark]:
    """Return a remark on each feature of `FEATURES`, in the order given."""
    return [FEATURES[name](axes, drawn, true) for name in features]


def size_words(axes: Axes, drawn: Line, true: Line) -> str:
    """Return how far apart the values are on average."""
    away = float(np.abs(drawn.y - true.at(drawn.x)).mean())
    if away < axes.level / 3:
        return "In size the two are the same, as near as can be drawn."
    return f"In size the two are {axes.y_words(away)} apart on average."


def _both(yours: str, engines: str) -> str:
    return f"Your curve {yours}, the engine's {engines}."


def _direction(axes: Axes, drawn: Line, true: Line) -> Remark:
    yours, engines = _moves(axes, drawn), _moves(axes, true)
    alike = yours == engines
    words = f"Both curves {_plural(yours)}." if alike else _both(_moved(yours), _moved(engines))
    return Remark("direction", alike, words)


def _moves(axes: Axes, line: Line) -> tuple[int, ...]:
    """Return the signs of the ways up and down between turns, those that are small left out."""
    found: list[int] = []
    low = high = float(line.y[0])
    for value in map(float, line.y):
        low, high = min(low, value), max(high, value)
        way = 1 if value - low >= axes.level else -1 if high - value >= axes.level else 0
        if way:
            low = high = value
        if way and (not found or found[-1] != way):
            found.append(way)
    return tuple(found)


def _moved(moves: tuple[int, ...]) -> str:
    if len(moves) > 3:
        return f"turns {len(moves) - 1} times"
    return ", then ".join(MOVES[way] for way in moves) or "stays level"


def _plural(moves: tuple[int, ...]) -> str:
    words = _moved(moves)
    for one in ("rises", "falls", "turns", "stays"):
        words = words.replace(one, one[:-1])
    return words


def _zero(axes: Axes, drawn: Line, true: Line) -> Remark:
    yours, engines = _crossings(drawn), _crossings(true)
    alike = len(yours) == len(engines) and bool(np.all(np.abs(yours - engines) <= axes.reach))
    engines_words = _crossed(axes, engines)
    if yours.size and engines.size:
        engines_words = engines_words.removeprefix("crosses zero ")
    return Remark("zero", alike, _both(_crossed(axes, yours), engines_words))


def _crossings(line: Line) -> Array:
    """Return where straight lines between points change sign; one that ends on zero counts."""
    x, y = line.x, line.y
    sign = np.where(y >= 0, 1, -1)
    at = np.flatnonzero(sign[1:] != sign[:-1])
    return x[at] + (x[at + 1] - x[at]) * y[at] / (y[at] - y[at + 1])


def _crossed(axes: Axes, places: Array) -> str:
    if not places.size:
        return "never crosses zero"
    return "crosses zero at " + " and ".join(axes.x_words(float(place)) for place in places[:3])


def _extremum(axes: Axes, drawn: Line, true: Line) -> Remark:
    lowest = _is_lowest_inside(true.y)
    yours, engines = (_extreme(axes, line, lowest) for line in (drawn, true))
    name = "lowest" if lowest else "highest"
    alike = yours is not None and engines is not None and abs(yours - engines) <= axes.reach
    said = ["at an end of the axis" if at is None else f"at {axes.x_words(at)}"
            for at in (yours, engines)]  # fmt: skip
    return Remark("extremum", alike, f"Your curve is {name} {said[0]}, the engine's {said[1]}.")


def _is_lowest_inside(y: Array) -> bool:
    """Return whether the minimum rather than the maximum stands out between the ends."""
    ends = y[[0, -1]]
    return bool(ends.min() - y.min() > y.max() - ends.max())


def _extreme(axes: Axes, line: Line, lowest: bool) -> float | None:
    """Return where a curve is lowest or highest, None at an end of the axis."""
    size = -line.y if lowest else line.y
    at = int(size.argmax())
    level = float(size[at] - max(size[0], size[-1])) < axes.level
    return None if level else float(line.x[at])


def _curvature(axes: Axes, drawn: Line, true: Line) -> Remark:
    yours, engines = (_bend(axes, y) for y in (drawn.y, true.at(drawn.x)))
    alike = yours == engines
    both = f"Both curves {BENDS[yours][1]}."
    return Remark("curvature", alike, both if alike else _both(BENDS[yours][0], BENDS[engines][0]))


BENDS = {
    0: ("is straight", "are straight"),
    1: ("bends upward", "bend upward"),
    -1: ("bends downward", "bend downward"),
}


def _bend(axes: Axes, y: Array) -> int:
    """Return 1 where a curve, at evenly spaced places, lies below its chord, -1 above, 0 near."""
    height = float(np.ptp(y))
    if height < axes.level:
        return 0
    off = float((np.linspace(y[0], y[-1], y.size) - y).mean()) / height
    return 0 if abs(off) < BENT else 1 if off > 0 else -1


FEATURES: dict[str, Callable[[Axes, Line, Line], Remark]] = {
    "direction": _direction,
    "zero": _zero,
    "extremum": _extremum,
    "curvature": _curvature,
}
