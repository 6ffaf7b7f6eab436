"""Two designs compared: inputs that differ, limits, and results in two views of their speeds."""

from dataclasses import dataclass

from kinematics.design.design import Design
from kinematics.train.cycle import Cycle, solve_cycle
from kinematics.units import UNITS
from viz.compare.compared_inputs import inputs_of
from viz.compare.compared_results import limit_rows, result_rows
from viz.compare.compared_row import Compared, by_change, paired_rows
from viz.speed_words import rpm_text

NOT_GIVEN = "not given"
RATED, SHARED = "rated", "shared"  # the views


@dataclass(frozen=True, slots=True)
class View:
    """Two cycles and their results, the largest change first: `RATED` or `SHARED`."""

    key: str
    a: Cycle
    b: Cycle
    results: tuple[Compared, ...]

    @property
    def title(self) -> str:
        """What the view is called, with its speeds."""
        a, b = rpm_text(self.a.speed), rpm_text(self.b.speed)
        return f"each at its rated speed (A {a}, B {b})" if self.key == RATED else f"both at {b}"


@dataclass(frozen=True, slots=True)
class Comparison:
    """Inputs that differ, limits of both designs, and results by view."""

    a: Design
    b: Design
    inputs: tuple[Compared, ...]
    limits: tuple[Compared, ...]
    views: tuple[View, View]


def compared(a: Design, b: Design, speed_rpm: float) -> Comparison:
    """Return what differs between two designs: each at its rated speed, and both at one [rpm].

    The limits are those of the designs, at every speed. Raises DesignError where the speed or a
    pressure cannot be had.
    """
    rated = [UNITS["rpm"].from_si(design.layout.rated_speed) for design in (a, b)]
    return Comparison(
        a, b, differing_inputs(a, b), by_change(limit_rows(a, b)),
        (_view(RATED, (a, b), rated), _view(SHARED, (a, b), [speed_rpm, speed_rpm])),
    )  # fmt: skip


def differing_inputs(a: Design, b: Design) -> tuple[Compared, ...]:
    """Return the inputs that differ between two designs, the largest change first."""
    inputs = paired_rows(inputs_of(a, b), inputs_of(b, a), NOT_GIVEN, NOT_GIVEN)
    return by_change([row for row in inputs if row.change != 0])


def _view(key: str, designs: tuple[Design, Design], speeds: list[float]) -> View:
    a, b = (solve_cycle(design, speed) for design, speed in zip(designs, speeds, strict=True))
    return View(key, a, b, by_change(result_rows(a, b)))
