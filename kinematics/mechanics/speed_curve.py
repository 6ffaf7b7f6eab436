"""A measured curve over speed, of torque, power or mean effective pressure, as a file holds it."""

import re
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError, check_one_of
from kinematics.mechanics.trace_file import TraceTable
from kinematics.mechanics.trace_settings import PRESSURE_UNITS
from kinematics.units import UNITS, in_words

FEWEST_POINTS = 3
SLOWEST, FASTEST = (UNITS["rpm"].to_si(speed) for speed in (30.0, 25000.0))
_FOOT_POUND = 0.3048 * 0.45359237 * 9.80665
VALUE_UNITS = {  # quantity and SI factor; horsepower as in NIST SP 811, 2008 (from memory)
    "N·m": ("torque", 1.0),
    "lbf·ft": ("torque", _FOOT_POUND),
    "kW": ("power", 1e3),
    "hp": ("power", 550 * _FOOT_POUND),
    "metric hp": ("power", 75 * 9.80665),
    **{unit: ("mean pressure", factor) for unit, factor in PRESSURE_UNITS.items()},
}
BASES = ("brake", "indicated")
LOWEST_EFFICIENCY = 0.4
USUAL_EFFICIENCY = 0.87  # mechanical, at full load 0.8 to 0.9; common practice, from memory
_WORDS = {  # of a column's name, and the unit that each means
    "nm": "N·m", "torque": "N·m", "moment": "N·m", "lbfft": "lbf·ft", "lbft": "lbf·ft",
    "ftlbf": "lbf·ft", "kw": "kW", "power": "kW", "hp": "hp", "ps": "metric hp", "kpa": "kPa",
    "mpa": "MPa", "psi": "psi", "bar": "bar", "imep": "bar", "bmep": "bar",
}  # fmt: skip
_EXACT = ("nm", "lbfft", "lbft", "ftlbf", "kw", "hp", "ps", "kpa", "mpa", "psi", "bar")
_SPEED_WORDS = {"speed", "rpm", "n", "rev", "1/min"}


@dataclass(frozen=True, slots=True)
class CurveSettings:
    """How a table is taken: places of its columns, the unit of the values, and what they are of."""

    speed_column: int
    value_column: int
    unit: str = "N·m"
    basis: str = "brake"
    efficiency: float = USUAL_EFFICIENCY  # mechanical; of brake values alone

    def __post_init__(self) -> None:
        check_one_of("unit", self.unit, VALUE_UNITS)
        check_one_of("basis", self.basis, BASES)
        if self.speed_column == self.value_column:
            raise DesignError("columns", "must be one of speed and another of what is measured")
        if not LOWEST_EFFICIENCY <= self.efficiency <= 1:
            got = 100 * self.efficiency
            raise DesignError("efficiency", f"must be 40 to 100 % (got {got:g} %)")

    @property
    def quantity(self) -> str:
        """What is measured: torque, power or mean pressure."""
        return VALUE_UNITS[self.unit][0]

    @property
    def share(self) -> float:
        """What the values are of the indicated ones."""
        return self.efficiency if self.basis == "brake" else 1.0


@dataclass(frozen=True, slots=True)
class EngineSize:
    """What turns torque into mean pressure: swept volume of all cylinders [m³], cycle [rad]."""

    swept_volume: float
    cycle_angle: float


@dataclass(frozen=True, slots=True, eq=False)
class SpeedCurve:
    """Indicated mean effective pressure [Pa] over speed [rad/s], both (n,), speeds rising."""

    speed: Array
    mean_pressure: Array
    lines: Array  # of the file, from 1


def proposed_curve(table: TraceTable) -> CurveSettings:
    """Return settings found from the names and numbers of a table, for a reader to correct.

    Speed is the column that names it, else the first of numbers; values the next that names a
    unit, else the next. Indicated values are those that a name calls so.
    """
    numeric = [column for column, number in enumerate(table.is_number) if number]
    words = [_words(table.names[column]) if table.names else [] for column in numeric]
    named = [k for k, own in enumerate(words) if _SPEED_WORDS & set(own)]
    speed = named[0] if named else 0
    others = [k for k in range(len(numeric)) if k != speed]
    value = next((k for k in others if set(words[k]) & set(_WORDS)), others[0])
    own = words[value]
    unit = next((_WORDS[word] for word in (*_EXACT, *_WORDS) if word in own), "N·m")
    is_indicated = any(word == "imep" or word.startswith("indicated") for word in own)
    return CurveSettings(
        numeric[speed], numeric[value], unit, "indicated" if is_indicated else "brake"
    )


def speed_curve(table: TraceTable, settings: CurveSettings, size: EngineSize) -> SpeedCurve:
    """Return the indicated mean effective pressure over speed that a table holds.

    Raises DesignError that names the line where a speed is out of range or twice there, or a value
    is not above 0.

    Reference: work per cycle over swept volume, by definition; mechanical efficiency is brake over
    indicated work.
    """
    for column in (settings.speed_column, settings.value_column):
        if not 0 <= column < len(table.is_number) or not table.is_number[column]:
            raise DesignError("columns", f"column {column + 1}: must hold numbers (got text)")
    order = np.argsort(table.values[:, settings.speed_column], kind="stable")
    lines = table.lines[order]
    speed = UNITS["rpm"].to_si(1.0) * table.values[order, settings.speed_column]
    value = table.values[order, settings.value_column]
    _check_points(speed, value, lines)
    factor = VALUE_UNITS[settings.unit][1]
    work = _work_per_cycle(settings.quantity, speed, value * factor, size)
    return SpeedCurve(speed, work / size.swept_volume / settings.share, lines)


def thinned(curve: SpeedCurve, most: int) -> tuple[SpeedCurve, float]:
    """Return at most so many of a curve's points, and the widest error between them, as a share.

    Beginning with the ends, the point that lies farthest from the straight line is added.

    Reference: U. Ramer, An iterative procedure for the polygonal approximation of plane curves,
    Computer Graphics and Image Processing 1, 1972 (from memory).
    """
    kept = [0, len(curve.speed) - 1]
    while True:
        straight = np.interp(curve.speed, curve.speed[kept], curve.mean_pressure[kept])
        error = np.abs(curve.mean_pressure - straight)
        if len(kept) >= min(most, len(curve.speed)) or error.max() <= 1e-9 * straight.max():
            break
        kept = sorted({*kept, int(error.argmax())})
    found = SpeedCurve(curve.speed[kept], curve.mean_pressure[kept], curve.lines[kept])
    return found, float((error / curve.mean_pressure).max())


def _words(name: str) -> list[str]:
    """Return the words of a name, and its unit without marks: N·m or lbf-ft as one."""
    low = name.lower()
    units = re.findall(r"n\W?m\b|(?:lbf?|ft)\W?(?:ft|lbf?)\b", low)
    return [*re.findall(r"[a-z]+", low), *(re.sub(r"\W", "", unit) for unit in units)]


def _check_points(speed: Array, value: Array, lines: Array) -> None:
    """Raise DesignError with the line where speeds (n,) [rad/s] or values cannot be."""
    for bad, words in (
        ((speed < SLOWEST) | (speed > FASTEST), "speed must be 30 to 25000 rpm (got {})"),
        (~(value > 0), "value must be above 0 (at {})"),
        (np.append(False, np.diff(speed) <= 0), "speed {} must be in the file once"),
    ):
        if bad.any():
            at = int(bad.argmax())
            got = in_words(float(speed[at]), "rpm")
            raise DesignError("file", f"line {lines[at]}: {words.format(got)}")


def _work_per_cycle(quantity: str, speed: Array, value: Array, size: EngineSize) -> Array:
    """Return the work of all cylinders over a cycle [J] from values [SI], (n,)."""
    if quantity == "mean pressure":
        return value * size.swept_volume
    torque = value / speed if quantity == "power" else value
    return torque * size.cycle_angle
