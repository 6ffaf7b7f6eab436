"""Area of a round section, whole or hollow."""

import math
from typing import TypeVar

from kinematics.array import Array

Size = TypeVar("Size", float, Array)


def round_area(diameter: Size, bore: float = 0.0) -> Size:
    """Return π (D² - d²) / 4 [m²] of a round section [m], of the diameter's shape.

    Reference: area of a circle, from geometry.
    """
    return math.pi / 4 * (diameter**2 - bore**2)
