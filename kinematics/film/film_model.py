"""What a film model is: all that the solver of orbits and the heat balance ask of a film.

A model serves some bearings at once, one a row. It answers for places of their journals under
load, in axes that follow the load: ξ is the eccentricity ratio along the load, η that a quarter
turn ahead of it in the sense of rotation. A grooved, starved or elastic film has its place here:
it knows its own bearings, and every place says where in the shell the load points and how large
it is.

Source: the axes are those of J. F. Booker, ASME J. Basic Eng. 87, 1965 (from memory).
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Protocol, TypeVar, runtime_checkable

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.one_line import one_line

Velocity = tuple[Array, Array]  # along the load and ahead of it, (b, n)
# ∂along/∂ξ, ∂along/∂η (None: none), ∂ahead/∂ξ, ∂ahead/∂η
Slopes = tuple[Array, Array | None, Array, Array]
TINY = 1e-300  # instead of the size of a velocity that is none and has no direction
_Made = TypeVar("_Made")


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
    def roundness(self) -> Array:
        """√(1 - ε²)."""
        root: Array = np.sqrt(1 - self.size**2)
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

    def in_shell(self, along: Array, ahead: Array) -> tuple[Array, Array]:
        """Return vectors (x, y) in the shell's axes from those along the load and ahead of it.

        Reference: a turn of axes, vector geometry.
        """
        return along * self.load_x + ahead * self.load_y, along * self.load_y - ahead * self.load_x

    def of_rows(self, rows: NDArray[np.intp]) -> "JournalPlaces":
        """Return the places of some of the bearings, with what is kept of them."""
        some = JournalPlaces(
            *(part[rows] for part in (self.xi, self.eta, self.load_x, self.load_y, self.load))
        )
        for name in ("size", "thinness", "lead", "load_angle"):
            some.__dict__[name] = getattr(self, name)[rows]
        return some

    def once(self, make: Callable[["JournalPlaces"], _Made]) -> _Made:
        """Return what a function makes of these places; it is made once."""
        if make not in self._made:
            self._made[make] = make(self)
        made: _Made = self._made[make]
        return made

    @cached_property
    def _made(self) -> dict[Any, Any]:
        return {}

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
    return at.roundness


def even_gap_share(
    at: JournalPlaces, sine: Array | float, cosine: Array | float, toward: Array
) -> Array:
    """Return √(1 - ε²) ∫ c/h dφ over a stretch of the gap [rad], (b, n).

    Parameters
    ----------
    sine, cosine : of half the stretch
    toward : ε cos of the angle from the thinnest film to the stretch's middle

    Reference: by A. Sommerfeld's substitution tan(ψ/2) = √((1 + ε)/(1 - ε)) tan(φ/2) it is the
    difference of ψ at both ends (from memory).
    """
    return 2 * np.arctan2(at.roundness * sine, cosine - toward)
