"""What a check of fit is: what it asks, and what it found on one design."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from kinematics.design.design import Design
from kinematics.design.design_field import find_field
from kinematics.errors import DesignError
from kinematics.mechanics.part_shapes import PartGeometry
from kinematics.one_line import one_line
from kinematics.shaft.part_geometry import part_geometry
from kinematics.units import in_words

Outcome = Literal["fits", "close", "does not fit", "not checked"]
FITS: Outcome = "fits"
CLOSE: Outcome = "close"
DOES_NOT_FIT: Outcome = "does not fit"
NOT_CHECKED: Outcome = "not checked"
SAME = 1e-9  # [SI]: what agrees but for rounding
CLEARANCE = 0.02  # running clearance of parts that pass one another, over the bore
CLEARANCE_SOURCE = "clearance of 2 % of the bore: common practice, no source"
PURPOSE = "this check"


@dataclass(frozen=True, slots=True)
class FitQuestion:
    """What a check asks of every design.

    `field` is the key of the control that one would change, `unit` a key of `UNITS`.
    """

    key: str
    what: str
    field: str
    unit: str
    formula: str
    source: str


@dataclass(frozen=True, slots=True)
class FitCheck:
    """What a check found on a design; value and bound in SI, None where it is not checked.

    `brief` says in a few words what does not fit, `missing` is the key of what a design lacks.
    """

    question: FitQuestion
    outcome: Outcome
    sentence: str
    brief: str = ""
    value: float | None = None
    bound: float | None = None
    at_least: bool = False  # the value must not be below the bound, else not above it
    values: str = ""  # the formula with values put in, lengths in mm
    missing: str = ""

    def __repr__(self) -> str:
        return one_line(self, self.question.key, self.outcome, self.sentence[:80])

    @property
    def key(self) -> str:
        """Key of the check."""
        return self.question.key

    @property
    def field(self) -> str:
        """Key of what one would change, or give where it is missing."""
        return self.missing or self.question.field


@lru_cache(maxsize=8)
def drawn(design: Design) -> PartGeometry:
    """Return the shapes of a design's parts, which several checks ask for."""
    return part_geometry(design)


def given(design: Design, key: str) -> float:
    """Return a field that a design may leave out [SI]; raises DesignError where it does."""
    found = find_field(design, key)
    value = None if found is None else getattr(found[0], found[1])
    if value is None:
        raise DesignError(key, "is not given")
    return float(value)


def by_clearance(gap: float, least: float) -> Outcome:
    """Return the outcome of a gap [m] that must reach a running clearance [m]."""
    if gap < -SAME:
        return DOES_NOT_FIT
    return CLOSE if gap < least - SAME else FITS


def within(value: float, bound: float) -> Outcome:
    """Return the outcome of a value that must not be above a bound, both SI."""
    return FITS if value <= bound + SAME * max(1.0, abs(bound)) else DOES_NOT_FIT


def mm(length: float) -> str:
    """Return a length [m] in mm as it is put into a formula."""
    return f"{length * 1e3:.4g}".replace("-", "−")


def length(value: float) -> str:
    """Return a length [m] in words, as shown now."""
    return in_words(value, "mm", 4)
