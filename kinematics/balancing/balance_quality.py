"""Balance quality: how much unbalance a crankshaft may keep, in all and in each of two planes.

A grade G is the permissible speed e ω of the centre of gravity [m/s]; the trade writes it in
mm/s, G16 for 16 mm/s. With mass and highest speed it gives U = G m / ω.

Source: ISO 21940-11 (before, ISO 1940-1), its rules from memory; of its table of grades each row
says what was read. "Inherently balanced" is said of the crank drive, not of the shaft: an in-line
six is, an in-line four is not.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array, ComplexArray
from kinematics.balancing.unbalance import TwoPlanes, moved
from kinematics.design.allowables import Origin
from kinematics.errors import DesignError
from kinematics.one_line import frozen_record, one_line, quantity

LEAST_SHARE, MOST_SHARE = 0.3, 0.7  # of a plane, centre of gravity between the planes
MOST_SHARE_OUTSIDE = 1.3  # of the nearer plane, centre of gravity outside them

_QUOTED = Origin("ISO 21940-11, table of grades (read as quoted, not in the standard)", "published")
_RECALLED = Origin(
    "ISO 21940-11, table of grades (from memory; the quotation that was read calls this row "
    "unbalanced like the one above it, an error)",
    "memory",
)


@dataclass(frozen=True, slots=True)
class BalanceGrade:
    """A row of the table: `speed` is e ω [m/s].

    `inherent` is "balanced" or "unbalanced" of a crank drive, `mounting` "elastic" or "rigid";
    both are "" where the row does not ask.
    """

    name: str
    speed: float
    use: str
    inherent: str
    mounting: str
    origin: Origin


_SLOW = "crank drives of large slow marine diesels"
_DRIVES = "crank drives"
GRADES = (
    BalanceGrade("G4000", 4.0, _SLOW, "unbalanced", "", _QUOTED),
    BalanceGrade("G1600", 1.6, _SLOW, "balanced", "", _RECALLED),
    BalanceGrade("G630", 0.63, _DRIVES, "unbalanced", "elastic", _QUOTED),
    BalanceGrade("G250", 0.25, _DRIVES, "unbalanced", "rigid", _QUOTED),
    BalanceGrade("G100", 0.1, "complete engines of cars, trucks and locomotives", "", "", _QUOTED),
    BalanceGrade("G40", 0.04, _DRIVES, "balanced", "elastic", _QUOTED),
    BalanceGrade("G16", 0.016, _DRIVES, "balanced", "rigid", _QUOTED),
    BalanceGrade("G6.3", 0.0063, "general machinery", "", "", _QUOTED),
)


def named_grade(name: str) -> BalanceGrade:
    """Return a row of `GRADES`; raise DesignError that lists them for any other name.

    Reference: ISO 21940-11; each row says what was read of it.
    """
    for row in GRADES:
        if row.name == name:
            return row
    allowed = ", ".join(row.name for row in GRADES)
    raise DesignError("grade", f"must be one of {allowed} (got {name[:20]!r})")


def crank_drive_grade(*, balanced: bool, rigid: bool) -> BalanceGrade:
    """Return the usual grade of an engine's crank drive, by its inherent balance and mounting.

    Reference: ISO 21940-11 (from memory).
    """
    wanted = ("balanced" if balanced else "unbalanced", "rigid" if rigid else "elastic")
    return next(row for row in GRADES if (row.inherent, row.mounting) == wanted)


def permissible_eccentricity(grade: float, speed: float) -> float:
    """Return the permissible offset e = G / ω of the centre of gravity [m].

    Parameters
    ----------
    grade : [m/s];  speed : the highest in service [rad/s]

    Raises DesignError unless both are above zero.

    References
    ----------
    ISO 21940-11 (from memory).
    """
    _above_zero("grade", grade)
    _above_zero("speed", speed)
    return grade / speed


def permissible_unbalance(grade: float, mass: float, speed: float) -> float:
    """Return the permissible residual unbalance U = G m / ω [kg·m] of the whole shaft.

    Parameters
    ----------
    grade : [m/s];  mass : of the shaft as balanced [kg];  speed : the highest in service [rad/s]

    Raises DesignError unless all are above zero.

    References
    ----------
    ISO 21940-11 (from memory): U in g·mm is 1000 G m / ω with G in mm/s.
    """
    _above_zero("mass", mass)
    return mass * permissible_eccentricity(grade, speed)


@dataclass(frozen=True, slots=True)
class PlaneTolerance:
    """Permissible residual unbalance [kg·m] in each of two planes, the bearings as a rule."""

    planes: TwoPlanes
    front: float
    rear: float

    def __repr__(self) -> str:
        front, rear = quantity(self.front, "g_mm"), quantity(self.rear, "g_mm")
        return one_line(self, f"front {front}", f"rear {rear}")

    def __post_init__(self) -> None:
        """Refuse a tolerance that nothing could meet."""
        _above_zero("front", self.front)
        _above_zero("rear", self.rear)

    @property
    def amounts(self) -> Array:
        """Both amounts (2,) [kg·m]."""
        return np.array([self.front, self.rear])


def plane_tolerance(permissible: float, centre: float, planes: TwoPlanes) -> PlaneTolerance:
    """Return the permissible unbalance [kg·m] shared out to two planes.

    By the lever to the centre of gravity's place z [m]: front U (rear - centre) / span, rear
    U (centre - front) / span, each held to 0.3 … 0.7 U where the centre lies between the planes,
    to 0.3 … 1.3 U where it lies outside.

    References
    ----------
    ISO 21940-11 (the limits 0.3 and 0.7 read as quoted; 1.3 outside from memory).
    """
    inside = planes.front <= centre <= planes.rear
    most = MOST_SHARE if inside else MOST_SHARE_OUTSIDE
    arms = abs(planes.rear - centre), abs(centre - planes.front)
    front, rear = (permissible * min(max(arm / planes.span, LEAST_SHARE), most) for arm in arms)
    return PlaneTolerance(planes, front, rear)


@frozen_record
class ToleranceCheck:
    """A residual unbalance held against its tolerance, in the tolerance's planes.

    `residual` (…, 2) [kg·m]; `ratio` (…, 2) is its size over what is permissible.
    """

    residual: ComplexArray
    ratio: Array

    @property
    def largest(self) -> Array:
        """The larger ratio of both planes (…)."""
        return self.ratio.max(axis=-1)

    @property
    def within(self) -> NDArray[np.bool_]:
        """Whether both planes are within tolerance (…), as booleans."""
        return self.largest <= 1.0


def check_residual(
    residual: ComplexArray, measured: TwoPlanes, tolerance: PlaneTolerance
) -> ToleranceCheck:
    """Return how a residual unbalance (…, 2) [kg·m] in the measured planes meets a tolerance.

    It is moved to the tolerance's planes first: amounts in planes that lie nearer to one another
    are larger for the same couple.

    Reference: ISO 21940-11 (from memory).
    """
    there = moved(residual, measured, tolerance.planes)
    return ToleranceCheck(there, np.abs(there) / tolerance.amounts)


def _above_zero(field: str, value: float) -> None:
    if not 0 < value < math.inf:
        raise DesignError(field, f"must be above 0 and finite (got {value:g})")
