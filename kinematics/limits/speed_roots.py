"""Speeds at which a load gas + speed² · inertia meets its bounds.

At every point of the cycle the load is a straight line in speed², so all speeds that keep every
point between two bounds are one stretch, from `low` to `high`.
"""

from dataclasses import dataclass

import numpy as np

from kinematics.array import Array


@dataclass(frozen=True, slots=True)
class SpeedStretch:
    """Speeds [rad/s] at which a load stays within its bounds; `high` may be infinite."""

    low: float
    high: float


def allowed_speeds(
    gas: Array, inertia: Array, *, lower: float = -np.inf, upper: float = np.inf
) -> SpeedStretch | None:
    """Return the speeds at which lower ≤ gas + speed² · inertia ≤ upper at all points.

    Parameters
    ----------
    gas, inertia : of one shape, or shapes that broadcast; `inertia` is that at 1 rad/s
    lower, upper : in the load's unit

    Returns
    -------
    SpeedStretch, or None where no speed will do.

    Reference: follows from gas + speed² · inertia, solved point by point.
    """
    gas, inertia = np.broadcast_arrays(gas, inertia)
    fixed = inertia == 0
    if np.any((gas < lower) & fixed) or np.any((gas > upper) & fixed):
        return None
    at_rest, slope = gas[~fixed], inertia[~fixed]
    roots = (lower - at_rest) / slope, (upper - at_rest) / slope
    first = float(np.minimum(*roots).max(initial=0.0))
    last = float(np.maximum(*roots).min(initial=np.inf))
    if last < first:
        return None
    return SpeedStretch(first**0.5, last**0.5)


def speeds_at(allowable: float, gas: Array, inertia: Array) -> Array:
    """Return the speeds [rad/s] at which the largest |gas + speed² · inertia| is the allowable.

    Parameters
    ----------
    allowable : in the load's unit, not negative
    gas, inertia : of one shape, or shapes that broadcast; `inertia` is that at 1 rad/s

    Returns
    -------
    Array (0,), (1,) or (2,), rising: below a first of two, gas alone is too much.

    Reference: roots of |g + ω² i|² = a², a quadratic in ω².
    """
    stretch = allowed_speeds(gas, inertia, lower=-allowable, upper=allowable)
    ends = {stretch.low, stretch.high} if stretch else set()
    return np.array(sorted(end for end in ends if 0 < end < np.inf))
