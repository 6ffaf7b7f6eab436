"""Measured pressure cut into cycles on one grid; their mean, spread and highest cycle."""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError, check_one_of
from kinematics.mechanics.pressure_trace import STRENGTH_CYCLES, WIDEST_GAP, PressureTrace
from kinematics.mechanics.trace_file import FEWEST_ROWS, TraceTable
from kinematics.mechanics.trace_settings import (
    DIRECTIONS,
    PRESSURE_UNITS,
    FiringCycle,
    TraceSettings,
)
from kinematics.one_line import frozen_record

MOST_POINTS = 7200  # of a cycle
STORED_STEP = math.radians(0.5)  # the narrowest that a design stores
STORED_DIGITS = 10.0  # [Pa] to which a design stores a pressure
TOGETHER, EACH = 0, -1  # of a choice, beside the number of one cylinder
WHICH = ("mean", "highest", "upper")  # upper is the mean plus twice the standard deviation
ZEROS = ("given", "intake")  # of pressure: as given, or each cylinder at intake pressure at BDC
_TOLERANCE = math.radians(1e-3)


@dataclass(frozen=True, slots=True)
class Choice:
    """Which course of what was measured a design runs on, and which its strength loads take.

    `cylinder` is one whose course all share, TOGETHER for the course of all, or EACH for its own.
    """

    cylinder: int = TOGETHER
    which: str = "mean"
    zero: str = "given"
    strength: str = "mean"

    def __post_init__(self) -> None:
        check_one_of("which", self.which, WHICH)
        check_one_of("zero", self.zero, ZEROS)
        check_one_of("strength", self.strength, STRENGTH_CYCLES)


@frozen_record
class PressureCycles:
    """The cycles of one cylinder, or of several together, on one grid."""

    after_tdc: Array  # [rad] (n,), a whole cycle from its first angle on
    pressure: Array  # [Pa] (k, n) of k cycles

    @property
    def count(self) -> int:
        """How many cycles there are."""
        return len(self.pressure)

    @property
    def step(self) -> float:
        """Angle between two points of the grid [rad]."""
        return float(self.after_tdc[1] - self.after_tdc[0])

    @property
    def mean(self) -> Array:
        """Mean of the cycles at each angle [Pa], (n,).

        Reference: ensemble mean, by definition.
        """
        found: Array = self.pressure.mean(axis=0)
        return found

    @property
    def deviation(self) -> Array:
        """Standard deviation of the cycles at each angle [Pa], (n,); 0 for one cycle.

        Reference: standard deviation of a sample, by definition.
        """
        if self.count < 2:
            return np.zeros_like(self.after_tdc)
        found: Array = self.pressure.std(axis=0, ddof=1)
        return found

    @property
    def highest_index(self) -> int:
        """Place of the cycle with the highest peak, from 0."""
        return int(self.pressure.max(axis=1).argmax())

    def course(self, which: str) -> Array:
        """Return the mean, the highest cycle, or the mean + 2σ at each angle [Pa], (n,).

        Reference: by definition.
        """
        if which == "highest":
            return self.pressure[self.highest_index]
        return self.mean + 2 * self.deviation if which == "upper" else self.mean


@dataclass(frozen=True)
class MeasuredPressure:
    """What a file holds: the cycles of each cylinder, all on the same grid."""

    by_cylinder: dict[int, PressureCycles]
    cycle_angle: float
    wraps_in_turns: bool  # the angle starts anew each turn, so that both TDC look alike

    @cached_property
    def together(self) -> PressureCycles:
        """The cycles of all cylinders in one."""
        parts = list(self.by_cylinder.values())
        grid = parts[0].after_tdc
        return PressureCycles(grid, np.concatenate([part.pressure for part in parts]))

    def cycles(self, cylinder: int) -> PressureCycles:
        """Return the cycles of a cylinder, else those of all; DesignError for one not measured."""
        if cylinder in (TOGETHER, EACH):
            return self.together
        if cylinder not in self.by_cylinder:
            allowed = ", ".join(map(str, self.by_cylinder))
            raise DesignError("cylinder", f"must be measured: {allowed} (got {cylinder})")
        return self.by_cylinder[cylinder]

    def parts(self, choice: Choice) -> list[PressureCycles]:
        """Return the cycles that courses are made of: of every cylinder, or of the one chosen.

        Raises DesignError for a cylinder that is not measured.
        """
        if choice.cylinder == EACH:
            return [self.by_cylinder[number] for number in sorted(self.by_cylinder)]
        return [self.cycles(choice.cylinder)]

    def has_highest_cycle(self, choice: Choice) -> bool:
        """Whether the courses are means of several cycles, with their highest beside them."""
        return choice.which == "mean" and any(part.count > 1 for part in self.parts(choice))

    def trace(self, choice: Choice) -> PressureTrace:
        """Return courses as a design stores them, at steps of 0.5° or wider, pressure to 10 Pa.

        The mean of several cycles has their highest beside it.

        Raises DesignError of the field offset where absolute pressure is not above 0.
        """
        parts = self.parts(choice)
        points = min(len(parts[0].after_tdc), round(self.cycle_angle / STORED_STEP))
        angle = np.arange(points) * (self.cycle_angle / points)
        courses = [self._stored(part, choice.which, angle) for part in parts]
        highest: list[tuple[float, ...]] = []
        if self.has_highest_cycle(choice):
            highest = [self._stored(part, "highest", angle) for part in parts]
        return PressureTrace(tuple(angle.tolist()), courses[0], tuple(courses[1:]), tuple(highest))

    def raised(self, offsets: dict[int, float]) -> "MeasuredPressure":
        """Return the same with an offset [Pa] added to every cycle of some cylinders."""
        parts = {
            number: PressureCycles(part.after_tdc, part.pressure + offsets.get(number, 0.0))
            for number, part in self.by_cylinder.items()
        }
        return MeasuredPressure(parts, self.cycle_angle, self.wraps_in_turns)

    def _stored(self, cycles: PressureCycles, which: str, angle: Array) -> tuple[float, ...]:
        course = cycles.course(which)
        lowest = int(course.argmin())
        if course[lowest] <= 0:
            at = math.degrees(cycles.after_tdc[lowest])
            raise DesignError(
                "offset", "must raise the absolute pressure above 0 at every angle (lowest "
                f"{course[lowest] / 1e5:.3g} bar at {at:.0f}°)",
            )  # fmt: skip
        stored = np.interp(angle, cycles.after_tdc, course, period=self.cycle_angle)
        digits = np.maximum(np.round(stored / STORED_DIGITS), 1)
        stored = digits / (1e5 / STORED_DIGITS) * 1e5  # in whole digits of the file's bar
        return tuple(stored.tolist())


def measured_pressure(
    table: TraceTable, settings: TraceSettings, cycle: FiringCycle
) -> MeasuredPressure:
    """Return the cycles that a table holds under settings; angles in it are degrees.

    One cycle may begin anywhere. Many are cut half a cycle before firing TDC, or up to 30° from
    there where the file begins, and what does not make a whole cycle at either end is left out.
    Between rows pressure is straight.

    Raises DesignError that names the line where angles do not rise or leave a gap, or says that
    there is no whole cycle.

    Reference: straight interpolation, by definition.
    """
    settings.check(table, cycle)
    degrees = table.values[:, settings.angle_column] * DIRECTIONS[settings.direction]
    tdc = math.degrees(settings.firing_tdc) * DIRECTIONS[settings.direction]
    rising, kept, wraps = _rising(degrees, table.lines, math.degrees(cycle.cycle_angle))
    after = np.radians(rising - tdc)
    factor = PRESSURE_UNITS[settings.unit]
    by_cylinder = {}
    for cylinder in settings.cylinders:
        columns = settings.pressure_columns(cylinder)
        pressure = table.values[kept][:, columns].T * factor + settings.offset
        behind = cycle.firing_angles[cylinder - 1] if settings.reference == "engine" else 0.0
        own = after - behind
        start = _start(own[0], cycle.cycle_angle, at_first=settings.reference == "cylinder")
        by_cylinder[cylinder] = _cut(own, pressure, cycle.cycle_angle, start)
    return MeasuredPressure(by_cylinder, cycle.cycle_angle, wraps)


def _rising(degrees: Array, lines: Array, cycle: float) -> tuple[Array, Array, bool]:
    """Return angles [°] that rise over all cycles, the rows kept, whether they restart each turn.

    Where the angle falls it starts anew, one or two turns back; of two rows at one such place the
    first is left out.
    """
    span = float(np.ptp(degrees))
    if span < 30:
        raise DesignError("columns", f"crank angle must be in degrees (got a span of {span:.4g})")
    steps = np.diff(degrees)
    turns = np.where(steps < 0, np.ceil(-steps / 360 - 1e-9), 0.0)
    steps = steps + 360 * turns
    widest = math.degrees(WIDEST_GAP)
    same = steps <= 1e-9
    bad = np.flatnonzero((turns * 360 > max(cycle, 360)) | (steps > widest) | (same & (turns == 0)))
    if bad.size:
        at = bad[0]
        before, angle, line = degrees[at], degrees[at + 1], lines[at + 1]
        if turns[at] or same[at]:
            raise DesignError(
                "columns", f"line {line}: crank angle {angle:g}° does not rise from {before:g}°, "
                "nor start a new cycle",
            )  # fmt: skip
        raise DesignError(
            "columns", f"line {line}: rows must be at most {widest:.0f}° apart "
            f"(got {steps[at]:.4g}°)",
        )  # fmt: skip
    kept = np.append(~same, True)
    rising = degrees[0] + np.concatenate(([0.0], np.cumsum(steps)))
    restarts = bool((turns == 1).any()) and cycle > 360
    return rising[kept], kept, restarts


def _start(first: float, cycle: float, *, at_first: bool) -> float:
    """Return where the first whole cycle starts [rad] of angles that begin at one."""
    beyond = (first + cycle / 2 + WIDEST_GAP) % cycle - WIDEST_GAP
    if at_first and abs(beyond) <= WIDEST_GAP:
        return float(first)
    return -cycle / 2 + cycle * math.ceil((first + cycle / 2 - _TOLERANCE) / cycle)


def _cut(after: Array, pressure: Array, cycle: float, start: float) -> PressureCycles:
    """Return whole cycles, from an angle on, of pressures (k, r) at rising angles (r,)."""
    step = float(np.median(np.diff(after)))
    points = int(np.clip(round(cycle / step), FEWEST_ROWS, MOST_POINTS))
    span = after[-1] - after[0] + step
    own = np.arange(points) * (cycle / points)
    if span < cycle - WIDEST_GAP:
        degrees = math.degrees(cycle)
        raise DesignError(
            "columns", f"crank angle must span a cycle of {degrees:.0f}° or more "
            f"(got {math.degrees(span):.5g}°)",
        )  # fmt: skip
    count = math.floor((after[-1] + step - start + _TOLERANCE) / cycle)
    if count < 1 or span < 1.5 * cycle:
        first = after <= after[0] + cycle - _TOLERANCE
        where = own - cycle / 2
        found = [np.interp(where, after[first], row[first], period=cycle) for row in pressure]
        return PressureCycles(where, np.array(found))
    where = (start + np.arange(count)[:, None] * cycle + own).ravel()
    found = [np.interp(where, after, row).reshape(count, points) for row in pressure]
    turns = round((start + cycle / 2) / cycle)
    return PressureCycles(start - turns * cycle + own, np.concatenate(found))
