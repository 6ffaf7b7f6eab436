"""An invented six as a torsional chain, with its firing and orders, for several tests."""

import numpy as np

from kinematics.torsion.torsional_system import TorsionalSystem

WALL = 1e9  # a flywheel so large that it stands still
SIX = TorsionalSystem(
    inertias=(0.006, *(0.011,) * 6, 0.14),
    stiffnesses=(0.9e6, *(0.6e6,) * 5, 0.9e6),
    ground_damping=(0.0, *(1.5,) * 6, 0.0),
    span_damping=(8.0,) * 7,
)
FIRING = np.radians([0, 480, 240, 600, 120, 360])  # of cylinders 1 … 6, order 1-5-3-6-2-4
ORDERS = np.arange(1, 25) / 2
