"""A criterion: what loads a part at any speed, and the allowable that it is held against."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
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


THINNER = "the film is thinner than shown"
LESS_MARGIN = "the margin is smaller than shown"
MORE_MARGIN = "the margin is larger than shown"
EITHER_WAY = "the margin may be smaller or larger than shown"
DIRECTIONS = (THINNER, LESS_MARGIN, MORE_MARGIN, EITHER_WAY)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """What a criterion leaves out and applies to a design, and which way that errs."""

    what: str  # in plain words, without a full stop
    direction: str  # one of `DIRECTIONS`
    exceeds: bool = False  # the allowable by itself, at the rated speed

    @property
    def words(self) -> str:
        """Both as one sentence."""
        return f"{self.what}; {self.direction}."


@dataclass(frozen=True, slots=True)
class OtherModels:
    """The model that a design uses, and the same criterion by other models, named in words.

    Where a model is a choice of the design it gives other parts, else values at speeds (s,).
    """

    own: str  # the design's own model
    parts: Mapping[str, Any] = field(default_factory=dict)  # that `Criterion.value` takes
    values: Mapping[str, Callable[[Array], Array]] = field(default_factory=dict)


def nothing_left_out(_parts: Any) -> tuple[LeftOut, ...]:
    """Return nothing: of a criterion that leaves nothing out."""
    return ()


def no_other_models(_parts: Any) -> OtherModels:
    """Return no other models."""
    return OtherModels("")


@dataclass(frozen=True, slots=True)
class Criterion:
    """One way in which speed is limited; values are SI, `unit` is a key of UNITS for the screen.

    `value` maps the parts of a design and speeds (s,) [rad/s] to (s,). The value must stay below
    its allowable, or where `at_least` is true above it. `resonant` values need a fine grid.
    `of_designs` is the value of the parts of t designs, each at its speed (t,), where that costs
    less at once. `left_out` and `band` are asked for only where a rung's marks or band are shown.
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
    of_designs: Callable[[Sequence[Any], Array], Array] | None = None
    left_out: Callable[[Any], tuple[LeftOut, ...]] = nothing_left_out  # that applies to the parts
    band: Callable[[Any], OtherModels] = no_other_models

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

        A value below zero uses none.

        Reference: value over allowable, by definition.
        """
        if not self.at_least:
            return np.maximum(value / allowed, 0.0)
        return np.divide(allowed, value, out=np.full_like(value, np.inf), where=value > 0)


def safety(strength: Array | float, load: Array) -> Array:
    """Return strength over load, infinite where there is no load, of the load's shape.

    Reference: strength over load, by definition.
    """
    return np.divide(strength, load, out=np.full_like(load, np.inf), where=load > 0)
