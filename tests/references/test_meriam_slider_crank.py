"""Meriam and Kraige, Engineering Mechanics: Dynamics, sample problems 5/9 and 5/15.

Inputs, 64.1 ft/s, 29.5 rad/s and 18.02° (worked solutions); 67.3 ft/s, 3310 ft/s² and
7740 rad/s² (from memory). The tight values are exact vector kinematics (recomputed).
"""

import math

import numpy as np
import pytest

from kinematics.mechanics.slider_crank import SliderCrank, piston_motion

FOOT = 12.0  # inches; all lengths below are in inches
TRAIN = SliderCrank(crank_radius=5.0, rod_length=14.0)
SPEED = 1500 * math.pi / 30
MOTION = piston_motion(TRAIN, np.array(math.radians(60)), speed=SPEED)


def cg_speed(from_piston_pin: float) -> float:
    """Speed of a point of the rod: piston pin's velocity plus the rod's turning about it."""
    angle, rate = float(MOTION.rod_angle), float(MOTION.rod_angular_velocity)
    across = from_piston_pin * rate * math.cos(angle)
    along = -float(MOTION.velocity) + from_piston_pin * rate * math.sin(angle)
    return math.hypot(across, along)


@pytest.mark.parametrize(
    ("found", "printed", "digit", "exact"),
    [
        (float(MOTION.velocity) / FOOT, 67.3, 0.05, 67.3248),
        (cg_speed(10.0) / FOOT, 64.1, 0.05, 64.1337),
        (float(MOTION.rod_angular_velocity), 29.5, 0.05, 29.4962),
        (math.degrees(float(MOTION.rod_angle)), 18.02, 0.005, 18.0167),
        (float(MOTION.acceleration) / FOOT, 3310.0, 5.0, 3312.00),
        (-float(MOTION.rod_angular_acceleration), 7740.0, 5.0, 7742.07),
    ],
    ids=["v_A", "v_G", "rod rate", "rod angle", "a_A", "rod acceleration"],
)
def test_sample_problem(found: float, printed: float, digit: float, exact: float) -> None:
    assert found == pytest.approx(printed, abs=digit)
    assert found == pytest.approx(exact, rel=4e-6)
