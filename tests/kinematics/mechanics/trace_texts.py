"""Measured files as tests write them, on the four-stroke six that they share."""

import math

import numpy as np

from kinematics.mechanics.trace_settings import FiringCycle

SIX = FiringCycle(4 * math.pi, tuple(math.radians(angle) for angle in (0, 480, 240, 600, 120, 360)))
ANGLES = np.arange(-360.0, 360.0, 2.0)


def bars(degrees=ANGLES, peak=60.0):
    """A smooth hill of pressure [bar] about 10° after firing TDC."""
    near = np.mod(np.asarray(degrees) - 10 + 360, 720) - 360
    return 1.0 + peak * np.exp(-((near / 40) ** 2))


def text_of(angles=ANGLES, *columns, head="angle deg,pressure bar", mark=",", decimal="."):
    """A file's text; without columns that of the hill."""
    columns = columns or (bars(angles),)
    rows = "\n".join(
        mark.join(f"{value:.6g}" for value in row).replace(".", decimal)
        for row in zip(angles, *columns, strict=True)
    )
    return f"{head}\n{rows}\n" if head else f"{rows}\n"
