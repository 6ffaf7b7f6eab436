"""A quantity that a lesson may name."""

from collections.abc import Callable
from dataclasses import dataclass

from kinematics.train.cycle import Cycle


@dataclass(frozen=True, slots=True)
class LiveValue:
    """A quantity by name; `of` gives it in the unit shown, NaN where a design has it not."""

    label: str
    unit: str
    digits: int
    of: Callable[[Cycle], float]
