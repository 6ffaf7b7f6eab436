"""A criterion: what loads a part at any speed, and the allowable that it is held against."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from kinematics.array import Array
from kinematics.design.allowables import Allowable, LimitName, allowable
from kinematics.design.design import Design
from kinematics.errors import DesignError
from kinematics.one_line import one_line

OptionalGroup = Literal[
    "big_end", "main_bearing", "oil", "piston_pin", "top_ring", "rod_shank", "rod_material",
    "rod_bolts", "crank_throw", "crank_material", "shaft", "torsion",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Criterion:
    """One way in which speed is limited; values are SI, `unit` is a key of UNITS for the screen.

    `value` maps the parts of a design and speeds (s,) [rad/s] to (s,). The value must stay below
    its allowable, or where `at_least` is true above it. `resonant` values need a fine grid.
    """

    key: str
    part: str
    label: str
    unit: str
    limit: LimitName | None  # the allowable; None where `allowed` alone knows it
    needs: tuple[OptionalGroup, ...]
    value: Callable[[Any, Array], Array]
    at_least: bool = False
    resonant: bool = False
    at_idle: bool = False  # shown at the idle speed rather than at the rated one
    speeds: int = 33  # looked at first
    guide: bool = False  # a rule of thumb: flagged, never the limit
    allowed: Callable[[Any], Allowable] | None = None  # where it is not a plain field of `Limits`

    def __repr__(self) -> str:
        return one_line(self, self.key, f"{self.part}: {self.label}")

    def allowable(self, parts: Any) -> Allowable:
        """Return the allowable in force for the parts of a design.

        Raises DesignError where none can be had.
        """
        if self.allowed is not None:
            return self.allowed(parts)
        if self.limit is None:
            raise DesignError("limits", f"{self.label} has no allowable")
        return allowable(parts.design.limits, self.limit)

    def missing(self, design: Design) -> tuple[str, ...]:
        """Return the groups that this needs and the design lacks."""
        return tuple(group for group in self.needs if getattr(design, group) is None)

    def use(self, value: Array, allowed: float) -> Array:
        """Return the share of the allowable that values use, of their shape; above 1 is over.

        Reference: value over allowable, by definition.
        """
        if not self.at_least:
            return value / allowed
        return np.divide(allowed, value, out=np.full_like(value, np.inf), where=value > 0)


def safety(strength: Array | float, load: Array) -> Array:
    """Return strength over load, infinite where there is no load, of the load's shape.

    Reference: strength over load, by definition.
    """
    return np.divide(strength, load, out=np.full_like(load, np.inf), where=load > 0)
