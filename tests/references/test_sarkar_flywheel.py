"""Torque and load of different orders on one shaft.

B. K. Sarkar, Theory of Machines, example 6.10, p. 183 (worked solutions): torque
15000 + 8000 sin 2θ, load 15000 - 6000 cos θ N·m, 200 rev/min, 2 %. The notebook's inertia of 19.5
mixes degrees and radians; 1724.04 kg·m² is right, as is 15125.0 N·m (it says 15124; recomputed).

A three-crank exercise, its source not named: torque 25 - 7.5 sin 3θ, load
25 + 3.6 sin θ kN·m, inertia 360 kg·m², 450 rev/min; no printed answer (recomputed).
"""

import math

import numpy as np
import pytest

from kinematics.torsion.cyclic_irregularity import (
    degree_of_irregularity,
    energy_fluctuation,
    flywheel_inertia,
)

TURN = 2 * math.pi
ANGLE = np.arange(36000) * (TURN / 36000)


def test_example_6_10() -> None:
    speed = np.array(200 * math.pi / 30)
    torque, load = 15000 + 8000 * np.sin(2 * ANGLE), 15000 - 6000 * np.cos(ANGLE)
    found = energy_fluctuation(torque, TURN, load=load)
    assert found.mean_torque * speed == pytest.approx(314.16e3, abs=5.1)
    assert found.largest == pytest.approx(15124, abs=1.1)
    assert found.largest == pytest.approx(15125.0, abs=0.051)
    inertia = flywheel_inertia(found.largest, irregularity=0.02, speed=speed)
    assert inertia == pytest.approx(1724.04, abs=0.0051)


def test_three_cranks() -> None:
    speed = np.array(450 * math.pi / 30)
    torque, load = 25e3 - 7.5e3 * np.sin(3 * ANGLE), 25e3 + 3.6e3 * np.sin(ANGLE)
    found = energy_fluctuation(torque, TURN, load=load)
    assert found.mean_torque * speed == pytest.approx(1178.097e3, abs=0.51)
    assert found.largest == pytest.approx(12200.0, abs=0.051)
    swing = degree_of_irregularity(found.largest, inertia=360.0, speed=speed)
    assert swing == pytest.approx(1.526072e-2, abs=5.1e-9)
