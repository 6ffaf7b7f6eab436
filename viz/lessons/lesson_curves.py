"""The curves that a student draws or sees in a lesson, as the browser draws them."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np

from kinematics.array import Array
from kinematics.mechanics.slider_crank import acceleration_harmonics
from kinematics.shaft.torsion_train import (
    CriticalSpeed,
    TorsionalStrain,
    critical_speed_table,
    torsional_chain,
    torsional_strain,
    vibratory_stress,
)
from kinematics.train.cycle import Cycle
from kinematics.units import UNITS, as_shown, from_shown, key_of, shown_unit
from viz.lessons.drawn_curve import Axes, Line, Remark, remarks, size_words
from viz.lessons.lesson_values import FREE_ORDERS, TORQUE_ORDERS, free_forces, torque_sums
from viz.number_words import format_short, join_unit, unbroken

CRANK_ANGLE = "crank_angle"
ORDER = "order"
RUNNING_SPEED = "running_speed"
SPEEDS = 201  # of a curve over the speed, those about its resonances aside
NEAR_RESONANCE = (0.0, 0.002, 0.005, 0.01, 0.02, 0.035)  # speeds to both sides, relative
STRONG = 0.2  # phase-vector sum of a critical speed that is marked, over the number of throws
HANDLES = 11  # points at which a student sets a curve


@dataclass(frozen=True, slots=True)
class AngleRow:
    """A curve over the crank angle [°]: label, unit and its values in that unit, (n,)."""

    label: str
    unit: str
    of: Callable[[Cycle], Array]


def _in(unit: str, of: Callable[[Cycle], Array]) -> Callable[[Cycle], Array]:
    return lambda cycle: UNITS[unit].array_from_si(of(cycle))


def _order_of_acceleration(order: int) -> Callable[[Cycle], Array]:
    def of(cycle: Cycle) -> Array:
        factor = acceleration_harmonics(cycle.train.crank, order)[order]
        turning = np.exp(1j * order * cycle.train.own_angle[0])
        return (factor * turning).real * cycle.train.crank.crank_radius * cycle.speed**2

    return _in("km_s2", of)


ANGLE_ROWS = {
    "piston_acceleration": AngleRow(
        "Piston acceleration", "km/s²", _in("km_s2", lambda cycle: cycle.motion.acceleration[0])
    ),
    "piston_acceleration_first": AngleRow("1st order", "km/s²", _order_of_acceleration(1)),
    "piston_acceleration_second": AngleRow("2nd order", "km/s²", _order_of_acceleration(2)),
    "piston_velocity": AngleRow(
        "Piston velocity", "m/s", _in("m_s", lambda cycle: cycle.motion.velocity[0])
    ),
    "rod_force": AngleRow("Rod force", "kN", _in("kN", lambda cycle: cycle.forces.rod_force[0])),
    "side_thrust": AngleRow(
        "Side thrust", "kN", _in("kN", lambda cycle: cycle.forces.side_thrust[0])
    ),
    "crank_torque": AngleRow(
        "Crank torque", "N·m", _in("Nm", lambda cycle: cycle.forces.crank_torque)
    ),
}


@dataclass(frozen=True, slots=True)
class OrderRow:
    """Values by order: label, unit, orders, and the values in that unit, (n,)."""

    label: str
    unit: str
    orders: tuple[float, ...]
    of: Callable[[Cycle], Array]


ORDER_ROWS = {
    "torque_sum": OrderRow("Phase-vector sum of the first mode", "", TORQUE_ORDERS, torque_sums),
    "free_force": OrderRow("Free force", "N", FREE_ORDERS, free_forces),
}


@dataclass(frozen=True, slots=True)
class SpeedRow:
    """A curve over the crank speed: label, unit, its values in that unit at speeds (s,) [rad/s]."""

    label: str
    unit: str
    of: Callable[[Cycle, Array], Array]


def _strain(cycle: Cycle, speeds: Array) -> TorsionalStrain:
    return torsional_strain(cycle.train, torsional_chain(cycle.train), speeds)


def _swing(cycle: Cycle, speeds: Array) -> Array:
    return UNITS["deg"].array_from_si(_strain(cycle, speeds).free_end)


def _stress(cycle: Cycle, speeds: Array) -> Array:
    stress = vibratory_stress(_strain(cycle, speeds), cycle.design)
    return UNITS["MPa"].array_from_si(stress.max(axis=-1))


SPEED_ROWS = {
    "free_end_twist": SpeedRow("Torsional amplitude at free end", "°", _swing),
    "vibratory_stress": SpeedRow("Vibratory stress", "MPa", _stress),
}


@dataclass(frozen=True, slots=True)
class Critical:
    """A critical speed that is marked: where along x, and its order in words."""

    x: float
    words: str


@dataclass(frozen=True, slots=True)
class LessonLine:
    """One line of a lesson's plot, its values in the plot's unit, NaN where there is none."""

    label: str
    y: Array


@dataclass(frozen=True, slots=True)
class LessonPlot:
    """What the plot of a lesson shows; `bars` for values at single orders, `mark` is x now.

    `criticals` are marked along x, the strongest first.

    Values are in the units of design files, whose symbols `x_unit` and `y_unit` are; what goes to
    the browser is in those shown.
    """

    x_label: str
    y_label: str
    x_unit: str
    y_unit: str
    x: Array
    lines: tuple[LessonLine, ...]
    low: float
    high: float
    bars: bool = False
    mark: float | None = None
    criticals: tuple[Critical, ...] = ()

    def message(self) -> dict[str, Any]:
        """Return the plot as plain JSON."""
        lines = [{"label": line.label, "y": _shown(line.y, self.y_unit)} for line in self.lines]
        mark = None if self.mark is None else _shown(np.array([self.mark]), self.x_unit)[0]
        criticals = [
            {"x": _shown(np.array([critical.x]), self.x_unit)[0], "words": critical.words}
            for critical in self.criticals
        ]
        return self.axes() | {
            "x": _shown(self.x, self.x_unit), "lines": lines, "mark": mark, "criticals": criticals,
        }  # fmt: skip

    def axes(self) -> dict[str, Any]:
        """Return what may be seen before the answer: the axes and the places to set."""
        low, high = _shown(np.array([self.low, self.high]), self.y_unit)
        start, end = _shown(self.x[[0, -1]], self.x_unit)
        return {
            "xLabel": _labelled(self.x_label, self.x_unit), "low": low, "high": high,
            "yLabel": _labelled(self.y_label, self.y_unit), "start": start, "end": end,
            "bars": self.bars, "places": _shown(self.places, self.x_unit),
        }  # fmt: skip

    @property
    def places(self) -> Array:
        """Where a student sets a curve, along x."""
        return np.linspace(self.x[0], self.x[-1], HANDLES)

    def drawn(self, values: Sequence[float]) -> Array:
        """Return values that a student drew, in the unit that the curve is in."""
        key = key_of(self.y_unit)
        return np.array([value if key is None else from_shown(value, key) for value in values])

    def compared(
        self, values: Sequence[float], features: Sequence[str]
    ) -> tuple[list[Remark], str]:
        """Return remarks on the features of a drawing beside the first line, and on its size."""
        known = np.isfinite(self.lines[0].y)
        true = Line(self.x[known], self.lines[0].y[known])
        drawn = Line(self.places, self.drawn(values))
        x_words = partial(_in_words, symbol=self.x_unit)
        y_words = partial(_in_words, symbol=self.y_unit)
        axes = Axes(float(self.x[0]), float(self.x[-1]), self.low, self.high, x_words, y_words)
        return remarks(axes, drawn, true, features), size_words(axes, drawn, true)


def _shown(values: Array, symbol: str) -> list[float | None]:
    """Return values in a unit of design files as the browser shows them."""
    key = key_of(symbol)
    shown = [y if key is None else as_shown(y, key) for y in values.tolist()]
    return [float(f"{y:.5g}") if math.isfinite(y) else None for y in shown]


def _in_words(value: float, symbol: str) -> str:
    key = key_of(symbol)
    shown = value if key is None else as_shown(value, key)
    unit = symbol if key is None else shown_unit(key).symbol
    return unbroken(join_unit(format_short(shown, 3), unit))


def _labelled(words: str, symbol: str) -> str:
    key = key_of(symbol)
    unit = symbol if key is None else shown_unit(key).symbol
    return ", ".join(part for part in (words, unit) if part)


def angle_lines(cycle: Cycle, names: Sequence[str]) -> tuple[Array, tuple[LessonLine, ...]]:
    """Return crank angles [°] and lines of `ANGLE_ROWS` over a cycle, its end included."""
    degrees = np.degrees(np.append(cycle.crank_angle, cycle.design.layout.cycle_angle))[::4]
    rows = [(ANGLE_ROWS[name].label, ANGLE_ROWS[name].of(cycle)) for name in names]
    lines = tuple(LessonLine(label, np.append(y, y[0])[::4]) for label, y in rows)
    return degrees, lines


def order_line(cycle: Cycle, name: str, whose: str) -> LessonLine:
    """Return one of `ORDER_ROWS` as a line."""
    row = ORDER_ROWS[name]
    return LessonLine(whose or row.label, row.of(cycle))


def speed_lines(
    rows: Sequence[tuple[str, Cycle, str]], low: float, high: float
) -> tuple[Array, tuple[LessonLine, ...], tuple[Critical, ...]]:
    """Return speeds [rpm] between two, lines of `SPEED_ROWS` by (words, cycle, row), criticals.

    The speeds stand close about the resonances of all cycles. Marked are the critical speeds of
    the first modes whose phase-vector sum is large. Raises DesignError without the group torsion.
    """
    rpm = UNITS["rpm"]
    cycles = {id(cycle): cycle for _, cycle, _ in rows}.values()
    tables = [_first_mode(cycle, rpm.to_si(low), rpm.to_si(high)) for cycle in cycles]
    found = [critical for table in tables for critical in table]
    about = [1 + side * part for part in NEAR_RESONANCE for side in (-1, 1)]
    close = np.multiply.outer([rpm.from_si(critical.speed) for critical in found], about).ravel()
    x = np.union1d(np.linspace(low, high, SPEEDS), close[(close > low) & (close < high)])
    speeds = x * rpm.factor
    lines = tuple(
        LessonLine(words or SPEED_ROWS[row].label, SPEED_ROWS[row].of(cycle, speeds))
        for words, cycle, row in rows
    )
    return x, lines, _marked(found, rows[0][1].design.layout.throws)


def _first_mode(cycle: Cycle, low: float, high: float) -> list[CriticalSpeed]:
    """Return where orders meet the first mode between two speeds [rad/s]."""
    table = critical_speed_table(torsional_chain(cycle.train), low, high)
    return [critical for critical in table if critical.mode == 1]


def _marked(found: Sequence[CriticalSpeed], throws: int) -> tuple[Critical, ...]:
    """Return the strong ones, each place once, the strongest first."""
    strong = [critical for critical in found if critical.phasor_sum > STRONG * throws]
    strong.sort(key=lambda critical: -critical.phasor_sum)
    marks = {
        (round(UNITS["rpm"].from_si(critical.speed)), f"{critical.order:g}"): critical
        for critical in reversed(strong)
    }
    places = sorted(marks, key=lambda place: -marks[place].phasor_sum)
    return tuple(Critical(float(x), order) for x, order in places)


def nice_range(lines: Sequence[LessonLine]) -> tuple[float, float]:
    """Return a range with round ends that holds all lines and zero, with room above."""
    values = np.concatenate([line.y for line in lines])
    values = values[np.isfinite(values)]
    low, high = (min(values.min(), 0.0), max(values.max(), 0.0)) if values.size else (0.0, 1.0)
    span = max(high - low, 1e-9)
    step = _nice(span / 5)
    top = step * math.ceil((high + 0.08 * span) / step)
    bottom = step * math.floor((low - 0.04 * span) / step) if low < 0 else 0.0
    return float(f"{bottom:.6g}"), float(f"{top:.6g}")


def _nice(value: float) -> float:
    power = 10.0 ** math.floor(math.log10(value))
    return next(step * power for step in (1, 2, 2.5, 5, 10) if step * power >= value * 0.999999)
