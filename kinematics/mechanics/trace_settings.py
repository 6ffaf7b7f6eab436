"""How a table of measured numbers is to be taken: columns, unit, offset, angle; and a proposal."""

import re
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError, check_one_of
from kinematics.mechanics.trace_file import TraceTable

ANGLE, IGNORED = -1, 0  # roles of columns; from 1 on the number of a cylinder
_INCH, _POUND_FORCE = 0.0254, 0.45359237 * 9.80665
PRESSURE_UNITS = {  # [Pa]; psi as in NIST Special Publication 811, 2008, appendix B (from memory)
    "bar": 1e5, "kPa": 1e3, "MPa": 1e6, "psi": _POUND_FORCE / _INCH**2,
}  # fmt: skip
DIRECTIONS = {"rising": 1.0, "falling": -1.0}
REFERENCES = ("cylinder", "engine")  # angles from each cylinder's own TDC, or from cylinder 1's
MOST_OFFSET = 20e5  # [Pa]
MOST_BAR, MOST_MPA = 400.0, 6.0  # peaks by which a unit is told; common practice, no source
USUAL_PEAK_AFTER = 12.0  # [°] after firing TDC; common practice, no source
_ANGLE_WORDS = {"angle", "crank", "deg", "degree", "degrees", "ca", "phi", "°", "°ca"}
_CYCLE_WORDS = {"cycle", "cyc"}


@dataclass(frozen=True, slots=True)
class FiringCycle:
    """How an engine's cycles lie: one cycle and the firing TDC of each cylinder [rad]."""

    cycle_angle: float
    firing_angles: tuple[float, ...]

    @property
    def cylinders(self) -> int:
        """How many there are."""
        return len(self.firing_angles)


@dataclass(frozen=True, slots=True)
class TraceSettings:
    """How a table is taken; several columns of one cylinder are successive cycles of it."""

    roles: tuple[int, ...]  # of each column: ANGLE, IGNORED or a cylinder from 1
    unit: str = "bar"
    offset: float = 0.0  # [Pa] added to what is measured
    firing_tdc: float = 0.0  # [rad] what the file calls firing TDC
    direction: str = "rising"  # of the angle with rotation
    reference: str = "cylinder"

    def __post_init__(self) -> None:
        check_one_of("unit", self.unit, PRESSURE_UNITS)
        check_one_of("direction", self.direction, DIRECTIONS)
        check_one_of("reference", self.reference, REFERENCES)
        if self.roles.count(ANGLE) != 1:
            found = self.roles.count(ANGLE)
            raise DesignError("columns", f"must have one column of crank angle (got {found})")
        if not any(role > 0 for role in self.roles):
            raise DesignError("columns", "must have a column of pressure (got none)")
        if not abs(self.offset) <= MOST_OFFSET:
            raise DesignError("offset", f"must be -20 to 20 bar (got {self.offset / 1e5:g} bar)")
        if not abs(self.firing_tdc) <= np.radians(1440) * (1 + 1e-9):
            got = np.degrees(self.firing_tdc)
            raise DesignError("firing_tdc", f"must be -1440 to 1440° (got {got:g}°)")

    def check(self, table: TraceTable, cycle: FiringCycle) -> None:
        """Raise DesignError where a table has no such columns or an engine no such cylinder."""
        if len(self.roles) != len(table.is_number):
            raise DesignError(
                "columns", f"must be {len(table.is_number)} as in the file (got {len(self.roles)})"
            )
        for place, (role, number) in enumerate(zip(self.roles, table.is_number, strict=True), 1):
            if role != IGNORED and not number:
                raise DesignError("columns", f"column {place}: must hold numbers (got text)")
            if role > cycle.cylinders or role < ANGLE:
                most = cycle.cylinders
                raise DesignError("columns", f"cylinder must be 1 to {most} (got {role})")

    @property
    def angle_column(self) -> int:
        """Place of the crank angle among the columns."""
        return self.roles.index(ANGLE)

    def pressure_columns(self, cylinder: int) -> list[int]:
        """Return the places of a cylinder's columns."""
        return [place for place, role in enumerate(self.roles) if role == cylinder]

    @property
    def cylinders(self) -> tuple[int, ...]:
        """The cylinders that have a column, rising."""
        return tuple(sorted({role for role in self.roles if role > 0}))


def proposed_settings(table: TraceTable, cycle: FiringCycle) -> TraceSettings:
    """Return settings found from the names and numbers of a table, for a reader to correct.

    The angle is the column that names it or rises most steadily; the unit is that of the head, else
    of the usual size of a peak; firing TDC the multiple of a turn that lies nearest to the peak.
    Angles are the engine's where the peaks of a column a cylinder follow the firing order.
    """
    angle = _angle_column(table)
    pressures = _pressure_columns(table, angle)
    as_cycles = len(pressures) > cycle.cylinders or any(
        _words(_name(table, place)) & _CYCLE_WORDS for place in pressures
    )
    roles = [IGNORED] * len(table.is_number)
    for place, column in enumerate(pressures):
        roles[column] = 1 if as_cycles else place + 1
    roles[angle] = ANGLE
    degrees = table.values[:, angle]
    direction = "falling" if np.median(np.diff(degrees)) < 0 else "rising"
    unit = _unit(table, pressures)
    first = table.values[:, pressures[0]]
    tdc = _nearest_tdc(degrees, first, direction, cycle)
    reference = _reference(table, roles, direction, cycle)
    return TraceSettings(tuple(roles), unit, 0.0, tdc, direction, reference)


def unit_by_size(peak: float) -> str:
    """Return the unit of which a peak pressure of this size is usual.

    Reference: common practice, no source; psi cannot be told from bar or kPa.
    """
    return "MPa" if peak < MOST_MPA else "bar" if peak <= MOST_BAR else "kPa"


def _name(table: TraceTable, column: int) -> str:
    return table.names[column] if table.names else ""


def _words(name: str) -> set[str]:
    return {word for word in re.split(r"[^a-z°]+", name.lower()) if word}


def _numeric(table: TraceTable) -> list[int]:
    return [column for column, number in enumerate(table.is_number) if number]


def _angle_column(table: TraceTable) -> int:
    columns = _numeric(table)
    named = [column for column in columns if _words(_name(table, column)) & _ANGLE_WORDS]
    return max(named or columns, key=lambda column: _steadiness(table.values[:, column]))


def _steadiness(values: Array) -> float:
    """Return the share of steps that equal the middle one; 0 where that is none."""
    steps = np.diff(values)
    middle = np.median(steps)
    close = np.abs(steps - middle) <= 0.01 * abs(middle)
    return float(close.mean()) * float(abs(middle) > 0 and np.ptp(values) > 100)


def _pressure_columns(table: TraceTable, angle: int) -> list[int]:
    """Return the columns that may be pressures: of a named unit, else all that vary freely."""
    others = [column for column in _numeric(table) if column != angle]
    known = {unit.lower() for unit in PRESSURE_UNITS} | {"pressure", "p", "pcyl"}
    named = [column for column in others if _words(_name(table, column)) & known]
    free = [column for column in others if not _counts(table.values[:, column])]
    return named or free or others[:1]


def _counts(values: Array) -> bool:
    """Return whether a column only ever rises or stays, as time or a cycle's number does."""
    return bool((np.diff(values) >= 0).all() and np.ptp(values) > 0)


def _unit(table: TraceTable, pressures: list[int]) -> str:
    named = _words(_name(table, pressures[0]))
    for unit in PRESSURE_UNITS:
        if unit.lower() in named:
            return unit
    return unit_by_size(float(table.values[:, pressures[0]].max()))


def _reference(table: TraceTable, roles: list[int], direction: str, cycle: FiringCycle) -> str:
    """Return whose TDC the angles are from: that under which the cylinders peak most alike."""
    columns = [roles.index(number) for number in sorted(set(roles)) if number > 0]
    places = table.values[:, columns].argmax(axis=0)
    peaks = DIRECTIONS[direction] * np.radians(table.values[places, roles.index(ANGLE)])
    behind = np.array([cycle.firing_angles[roles[column] - 1] for column in columns])

    def alike(angles: Array) -> float:
        return abs(np.exp(2j * np.pi * angles / cycle.cycle_angle).sum())

    return "engine" if alike(peaks - behind) > alike(peaks) + 1e-6 else "cylinder"


def _nearest_tdc(degrees: Array, pressure: Array, direction: str, cycle: FiringCycle) -> float:
    """Return the multiple of a turn, from 0 and within one cycle, nearest to firing TDC [rad]."""
    sign = DIRECTIONS[direction]
    at_peak = sign * float(degrees[pressure.argmax()]) - USUAL_PEAK_AFTER
    turns = round(at_peak / 360) % round(cycle.cycle_angle / (2 * np.pi))
    return sign * 2 * np.pi * turns
