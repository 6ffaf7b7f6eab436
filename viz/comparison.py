"""Two designs compared: the inputs that differ, and the results with differences and margins."""

from dataclasses import dataclass

from kinematics.cycle import Cycle
from viz.compared_inputs import inputs_of
from viz.compared_results import result_rows
from viz.compared_row import Compared, by_change, paired_rows

NOT_GIVEN = "not given"


@dataclass(frozen=True, slots=True)
class Comparison:
    """Inputs that differ and all results of two cycles, each with the largest change first."""

    a: Cycle
    b: Cycle
    inputs: tuple[Compared, ...]
    results: tuple[Compared, ...]


def compared(a: Cycle, b: Cycle) -> Comparison:
    """Return what differs between two cycles, each at its own speed.

    The limits are those of the designs, at every speed. Raises DesignError where a pressure cannot
    be made.
    """
    inputs = paired_rows(inputs_of(a, b.design), inputs_of(b, a.design), NOT_GIVEN, NOT_GIVEN)
    differing = [row for row in inputs if row.change != 0]
    return Comparison(a, b, by_change(differing), by_change(result_rows(a, b)))
