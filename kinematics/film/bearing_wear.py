"""Where a bearing is pressed over the cycle, and so where it is polished or wears first.

A mark of wear needs more than load: oil, dirt and temperature have their say. The load says
where to look.
"""

import math

import numpy as np

from kinematics.array import Array
from kinematics.film.oil_supply import load_density


def heaviest_angle(load: Array) -> float:
    """Return the angle [rad, 0 … 2π) from the frame's y axis at which a load (2, n) presses most.

    In the sense of rotation; the load is spread as `load_density` spreads it.

    Reference: common practice, no source.
    """
    spread = load_density(load)
    return float(spread.angle[int(spread.density.argmax())] % (2 * math.pi))


def upper_share(load: Array) -> float:
    """Return the share, 0 … 1, of a load (2, n) that presses the half toward the frame's y axis.

    Each instant counts by the size of its load.

    Reference: common practice, no source.
    """
    size = np.hypot(load[0], load[1])
    total = float(size.sum())
    return float(size[load[1] > 0].sum()) / total if total > 0 else 0.5
