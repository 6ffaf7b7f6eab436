"""What a film model is: all that the solver of orbits and the heat balance ask of a film.

A model serves some bearings at once, one a row. It answers for places of their journals under
load, in axes that follow the load: ξ is the eccentricity ratio along the load, η that a quarter
turn ahead of it in the sense of rotation. A grooved, starved or elastic film has its place here:
it knows its own bearings, and every place says where in the shell the load points and how large
it is.

Source: the axes are those of J. F. Booker, ASME J. Basic Eng. 87, 1965 (from memory).
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Protocol, runtime_checkable

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.one_line import one_line

Velocity = tuple[Array, Array]  # along the load and ahead of it, (b, n)
# ∂along/∂ξ, ∂along/∂η (None: none), ∂ahead/∂ξ, ∂ahead/∂η
Slopes = tuple[Array, Array | None, Array, Array]


@dataclass(frozen=True, eq=False, repr=False)
class JournalPlaces:
    """Places of loaded journals in their shells, (b, n); what all models ask of them is kept."""

    xi: Array  # eccentricity ratio along the load
    eta: Array  # that a quarter turn ahead
    load_x: Array  # the load's direction in the shell's axes
    load_y: Array
    load: Array  # [1/rad], W (c/R)² / (μ L D ω): change of ε a radian at a mobility of 1

    __repr__ = one_line

    @cached_property
    def size(self) -> Array:
        """Eccentricity ratio."""
        root: Array = np.sqrt(self.xi * self.xi + self.eta * self.eta)
        return root

    @cached_property
    def thinness(self) -> Array:
        """How thin the film is, -ln(1 - ε)."""
        return -np.log(1 - self.size)

    @cached_property
    def lead(self) -> Array:
        """Angle of the eccentricity from the load [rad], positive ahead."""
        return np.arctan2(self.eta, self.xi)

    @cached_property
    def load_angle(self) -> Array:
        """Direction of the load [rad], from the shell's y axis in the sense of rotation."""
        return np.arctan2(self.load_x, self.load_y)

    def slopes(self, over_size: Array, over_lead: Array) -> tuple[Array, Array]:
        """Return slopes over ξ and η from those over the eccentricity ratio and its angle [rad].

        Reference: chain rule, ε and angle being polar coordinates of ξ and η.
        """
        along, aside, per_size = self._outward
        turned = over_lead * per_size
        return over_size * along - turned * aside, over_size * aside + turned * along

    @cached_property
    def _outward(self) -> tuple[Array, Array, Array]:
        """Direction of the eccentricity, and one over its size."""
        per_size = 1 / np.maximum(self.size, 1e-9)  # in the middle no direction counts
        return self.xi * per_size, self.eta * per_size, per_size


@runtime_checkable
class FilmModel(Protocol):
    """The films of some bearings; every answer is (b, n)."""

    def of_rows(self, rows: NDArray[np.intp]) -> "FilmModel":
        """Return the films of some of the bearings."""
        ...

    def velocity(self, at: JournalPlaces) -> Velocity:
        """Return dε/dφ [1/rad] that the load alone makes, along the load and ahead of it."""
        ...

    def velocity_and_slopes(self, at: JournalPlaces) -> tuple[Velocity, Slopes]:
        """Return `velocity` and how it changes with the place, near enough for Newton's method."""
        ...

    def peak_pressure(self, at: JournalPlaces) -> Array:
        """Return the film's peak pressure over the specific load W/(L D) [1]."""
        ...

    def peak_angle(self, at: JournalPlaces) -> Array:
        """Return where the peak pressure stands [rad], ahead of the load."""
        ...

    def side_flow(self, at: JournalPlaces) -> Array:
        """Return the oil pressed out at both sides over R L times the squeeze velocity [1]."""
        ...

    def friction_gap(self, at: JournalPlaces, velocity: Velocity) -> Array:
        """Return the clearance of a film even all round that has the same friction, over c [1].

        `velocity` is the film's own at these places.
        """
        ...


def even_friction_gap(at: JournalPlaces) -> Array:
    """Return √(1 - ε²) (b, n), of a film that fills the gap all round.

    Reference: the integral of c/h round the shell is 2π/√(1 - ε²), by A. Sommerfeld's
    substitution (from memory).
    """
    root: Array = np.sqrt(1 - at.size**2)
    return root
