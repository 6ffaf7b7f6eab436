"""Unbalance as a vector: read off a balancing machine, summed up, and moved between planes.

A vector is size · exp(i angle) [kg·m]; its angle counts from throw 1 in the sense of rotation and
points where there is too much mass. z counts along the crank to the rear. What stands in two
planes has them on its last axis, front and rear. Taking u at the angle a away adds -u exp(i a).

Source: statics of a rigid rotor; terms as in ISO 21940-2 (from memory).
"""

import math
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array, ComplexArray
from kinematics.errors import DesignError
from kinematics.units import in_words


@dataclass(frozen=True, slots=True)
class TwoPlanes:
    """Two planes square to the crank, by their places z [m]."""

    front: float
    rear: float

    def __post_init__(self) -> None:
        """Refuse planes that are one, or in the wrong order."""
        if not -math.inf < self.front < self.rear < math.inf:
            raise DesignError(
                "planes",
                "rear plane must lie behind the front plane "
                f"(got front {in_words(self.front, 'mm')}, rear {in_words(self.rear, 'mm')})",
            )

    @property
    def places(self) -> Array:
        """Both places z (2,) [m]."""
        return np.array([self.front, self.rear])

    @property
    def span(self) -> float:
        """Distance of the planes [m]."""
        return self.rear - self.front


@dataclass(frozen=True, slots=True)
class MachineScale:
    """How a balancing machine counts the angles it shows.

    `zero` is where its 0 lies on the crank [rad], from throw 1 with rotation; `against` says that
    it counts against the engine's rotation, whichever way the machine itself turns the crank;
    `shows_light` that it points to the light side, where mass is to be put on.
    """

    zero: float = 0.0
    against: bool = False
    shows_light: bool = False

    @property
    def sense(self) -> float:
        """1 where the machine counts with rotation, -1 where it counts against it."""
        return -1.0 if self.against else 1.0

    @property
    def turn(self) -> float:
        """Angle of the vector [rad] for a shown 0."""
        return self.zero + (math.pi if self.shows_light else 0.0)


def vectors(size: Array, angle: Array) -> ComplexArray:
    """Return size · exp(i angle) [kg·m] of sizes [kg·m] and angles [rad], of their common shape."""
    found: ComplexArray = np.asarray(size) * np.exp(1j * np.asarray(angle))
    return found


def read_off(scale: MachineScale, size: Array, angle: Array) -> ComplexArray:
    """Return the unbalance [kg·m] for what a machine shows, of its shape.

    Parameters
    ----------
    size : [kg·m], not negative;  angle : [rad], as the machine counts it

    Raises DesignError for a size below zero or a value that is no number.

    Reference: follows from the machine's scale.
    """
    if not (np.all(np.isfinite(angle)) and np.all(np.isfinite(size))):
        raise DesignError("reading", "must hold finite numbers only")
    if np.any(np.asarray(size) < 0):
        raise DesignError("reading", "must hold amounts of 0 or more")
    return vectors(size, scale.turn + scale.sense * np.asarray(angle))


def shown_angle(scale: MachineScale, unbalance: ComplexArray) -> Array:
    """Return the angles [rad, 0 … 2π) at which a machine shows vectors, of their shape.

    Reference: follows from the machine's scale.
    """
    return np.mod(scale.sense * (np.angle(unbalance) - scale.turn), 2 * np.pi)


def plane_shares(z: Array, planes: TwoPlanes) -> Array:
    """Return which share of something at z [m] (…) each plane has, (…, 2); they add up to 1.

    By the lever: (rear - z) / span and (z - front) / span. Outside the planes one is negative.

    References
    ----------
    Khurmi and Gupta, Theory of Machines, chapter 21 (from memory).
    """
    to_rear = (np.asarray(z, dtype=float) - planes.front) / planes.span
    return np.stack((1 - to_rear, to_rear), axis=-1)


def in_planes(unbalance: ComplexArray, z: Array, planes: TwoPlanes) -> ComplexArray:
    """Return what unbalances (…, k) [kg·m] at z (k,) [m] are in two planes, (…, 2) [kg·m].

    Sum and moment are kept, so a rigid crank cannot tell the difference.

    Reference: follows from statics of a rigid rotor.
    """
    found: ComplexArray = np.asarray(unbalance) @ plane_shares(z, planes)
    return found


def moved(unbalance: ComplexArray, measured: TwoPlanes, wanted: TwoPlanes) -> ComplexArray:
    """Return an unbalance (…, 2) [kg·m] in two measured planes as it is in two others, (…, 2).

    Reference: follows from statics of a rigid rotor.
    """
    return in_planes(unbalance, measured.places, wanted)


def static_unbalance(unbalance: ComplexArray) -> ComplexArray:
    """Return the sum (…) [kg·m] over the planes: what a crank on knife edges shows.

    Reference: ISO 21940-2 (terms, from memory).
    """
    return unbalance.sum(axis=-1)


def moment_unbalance(
    unbalance: ComplexArray, planes: TwoPlanes, about: float = 0.0
) -> ComplexArray:
    """Return the moment Σ (z - about) U (…) [kg·m²] about a place on the crank [m].

    Reference: ISO 21940-2 (terms, from memory).
    """
    found: ComplexArray = unbalance @ (planes.places - about)
    return found
