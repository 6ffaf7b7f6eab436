"""A crank train as a torsional chain: inertias joined by shafts.

The chain runs from the free end to the flywheel and hangs from nothing: it may turn as a whole.

Source: Den Hartog, Mechanical Vibrations, chapter 5 (from memory).
"""

import math
from dataclasses import dataclass, field

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.one_line import one_line


@dataclass(frozen=True, slots=True)
class TorsionalSystem:
    """N inertias in a row, N - 1 spans between neighbours.

    A span of stiffness zero is joined by its damping alone. Dampings left empty are zero. Raises
    DesignError where lengths do not fit or a value is negative, infinite or, of an inertia, zero.
    """

    inertias: tuple[float, ...]  # [kg·m²]
    stiffnesses: tuple[float, ...]  # of each span [N·m/rad]
    ground_damping: tuple[float, ...] = field(default=())  # of each inertia [N·m·s/rad]
    span_damping: tuple[float, ...] = field(default=())  # of each span [N·m·s/rad]

    __repr__ = one_line

    def __post_init__(self) -> None:
        count = len(self.inertias)
        if count < 2:
            raise DesignError("torsion.inertias", f"must be at least 2 (got {count})")
        object.__setattr__(self, "ground_damping", self.ground_damping or (0.0,) * count)
        object.__setattr__(self, "span_damping", self.span_damping or (0.0,) * (count - 1))
        _check("inertias", self.inertias, count, zero=False)
        _check("stiffnesses", self.stiffnesses, count - 1)
        _check("ground_damping", self.ground_damping, count)
        _check("span_damping", self.span_damping, count - 1)

    @property
    def stiffness_matrix(self) -> Array:
        """Stiffness matrix [N·m/rad], (N, N)."""
        return _chain_matrix(self.stiffnesses)

    @property
    def damping_matrix(self) -> Array:
        """Damping matrix [N·m·s/rad], (N, N)."""
        return _chain_matrix(self.span_damping) + np.diag(self.ground_damping)


def _check(name: str, values: tuple[float, ...], count: int, *, zero: bool = True) -> None:
    if len(values) != count:
        raise DesignError(f"torsion.{name}", f"must have {count} values (got {len(values)})")
    for value in values:
        if not math.isfinite(value) or value < 0 or (value == 0 and not zero):
            least = "0 or more" if zero else "above 0"
            raise DesignError(f"torsion.{name}", f"must be {least} and finite (got {value:g})")


def _chain_matrix(spans: tuple[float, ...]) -> Array:
    """Return the matrix of elements between neighbours, its rows adding up to nothing."""
    count = len(spans) + 1
    difference = np.eye(count - 1, count) - np.eye(count - 1, count, 1)
    return difference.T @ (np.array(spans)[:, None] * difference)
