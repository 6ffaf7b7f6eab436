"""Bevan, The Theory of Machines, example 9, p. 443 (worked solutions): the energy's basis.

35.8 indicated hp at 270 rev/min, two wheels of 1000 lb, radius of gyration 2.25 ft, coefficient
of fluctuation of energy 1.93: printed 3.4 %, 3.3594 % (recomputed). The 1.93 is per *turn*.
"""

import math

import numpy as np
import pytest

from kinematics.torsion.cyclic_irregularity import degree_of_irregularity, energy_fluctuation

FOOT, POUND, GRAVITY = 0.3048, 0.45359237, 32.2
FOOT_POUND = FOOT**2 * POUND * GRAVITY  # [J], by this g
SPEED = 270 * math.pi / 30
MEAN_TORQUE = 35.8 * 550 * FOOT_POUND / SPEED
INERTIA = 2 * 1000 * POUND * (2.25 * FOOT) ** 2


def irregularity(energy: float) -> float:
    return float(degree_of_irregularity(np.array(energy), inertia=INERTIA, speed=np.array(SPEED)))


def test_coefficient_per_turn() -> None:
    per_turn = irregularity(1.93 * MEAN_TORQUE * 2 * math.pi)
    assert per_turn == pytest.approx(0.034, abs=5.1e-4)
    assert per_turn == pytest.approx(0.033594, abs=5.1e-7)


def test_a_torque_with_that_coefficient_per_turn() -> None:
    """A four-stroke curve scaled to 1.93 a turn has half of it a cycle, and Bevan's answer."""
    angle = np.arange(7200) * (4 * math.pi / 7200)
    amplitude = 1.93 * MEAN_TORQUE * 2 * math.pi / 4  # a half-order sine swings by 4 amplitudes
    found = energy_fluctuation(MEAN_TORQUE + amplitude * np.sin(angle / 2), 4 * math.pi)
    assert found.coefficient_per_turn == pytest.approx(1.93, rel=1e-6)
    assert found.coefficient == pytest.approx(0.965, rel=1e-6)
    assert irregularity(float(found.largest)) == pytest.approx(0.033594, abs=5.1e-7)
