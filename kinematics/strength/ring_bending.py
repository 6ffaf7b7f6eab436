"""Bending of a ring, alike on both sides of an axis, with a section that may change round it.

Angles count from the axis, 0 to π over one half. Thin, of one radius, bending alone: neither
stretch nor shear, so a real ring gives a little more.

Sources: Castigliano's second theorem, as in S. Timoshenko, Strength of Materials; for a ring of
even section under two opposed loads the same as R. J. Roark and W. C. Young, Formulas for Stress
and Strain, table of circular rings, case 1 (both from memory).
"""

import math

import numpy as np

from kinematics.array import Array
from kinematics.one_line import frozen_record

POINTS = 720  # over half the ring; two point loads within 0.001 %


@frozen_record
class RingChange:
    """Change of a ring's diameters [m]: growth along its axis, closing square to it."""

    opening: float
    closing: float


def half_ring_angles() -> Array:
    """Return the angles [rad] (n,) at which a half ring's section and load are given."""
    return (np.arange(POINTS) + 0.5) * (math.pi / POINTS)


def ring_change(flexibility: Array, radius: float, radial_load: Array) -> RingChange:
    """Return how the diameters of a ring change under a radial load.

    Parameters
    ----------
    flexibility : 1/(E I) [1/(N·m²)] (n,), at `half_ring_angles`, 0 where it is rigid
    radius : of the ring's middle [m]
    radial_load : outward, per length of the ring [N/m] (n,); where it has a resultant along
        the axis, the end at π carries it

    Notes
    -----
    Moment and hoop force at angle 0 are such that the ring neither turns nor moves sideways there;
    a diameter changes by what a unit load along it does on the moments.

    References
    ----------
    Castigliano's second theorem, as in Timoshenko, Strength of Materials (from memory).
    """
    angle, step = half_ring_angles(), math.pi / POINTS
    loaded = -(radius**2) * _moment_of(radial_load * step, angle)
    at_front = np.stack((np.ones(POINTS), radius * (1 - np.cos(angle))))  # unit moment, hoop force
    matrix = (flexibility * at_front) @ at_front.T
    moment = loaded + np.linalg.solve(matrix, -at_front @ (flexibility * loaded)) @ at_front
    along = -radius * np.sin(angle)
    across = np.where(angle > math.pi / 2, radius * np.cos(angle), 0.0)
    turned = flexibility * moment * radius * step
    return RingChange(float(turned @ along), -2 * float(turned @ across))


def _moment_of(load: Array, angle: Array) -> Array:
    """Return ∑ load(φ) sin(θ - φ) over the loads before each angle θ, (n,)."""
    by_cosine, by_sine = np.cumsum(load * np.cos(angle)), np.cumsum(load * np.sin(angle))
    summed: Array = np.sin(angle) * by_cosine - np.cos(angle) * by_sine
    return summed
