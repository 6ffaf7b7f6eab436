"""Two teaching sheets on the slider-crank.

University at Buffalo, EAS 208, Fall 2010, Exam 3, problem 1, printed solutions: crank components
(2, 2) in, rod (6, -2) in, 200 rev/min; the sheet rounds the speed to 20.94 rad/s, so 0.05 %.
A four-bar worksheet after Norton: 10 in on 20 in, 45°, 1 rad/s (lengths inferred from its
answers). The tight values are exact vector kinematics (recomputed).
"""

import math

import numpy as np
import pytest

from kinematics.mechanics.slider_crank import SliderCrank, piston_motion

BUFFALO = piston_motion(
    SliderCrank(crank_radius=2 * math.sqrt(2), rod_length=math.sqrt(40)),
    np.array(math.radians(45)),
    speed=200 * math.pi / 30,
)
WORKSHEET = piston_motion(
    SliderCrank(crank_radius=10.0, rod_length=20.0), np.array(math.radians(45)), speed=1.0
)


@pytest.mark.parametrize(
    ("found", "printed", "exact"),
    [
        (float(BUFFALO.rod_angular_velocity), 6.98, 6.981317),
        (float(BUFFALO.acceleration), 909.45, 909.791),
        (-float(BUFFALO.rod_angular_acceleration), 129.92, 129.970),
    ],
    ids=["rod rate", "acceleration", "rod acceleration"],
)
def test_buffalo(found: float, printed: float, exact: float) -> None:
    assert found == pytest.approx(printed, rel=5e-4)
    assert found == pytest.approx(exact, rel=4e-6)


@pytest.mark.parametrize(
    ("found", "printed", "digit", "exact"),
    [
        (180 - math.degrees(float(WORKSHEET.rod_angle)), 159.295, 5e-4, 159.295189),
        (float(WORKSHEET.rod_angular_velocity), 0.378, 5e-4, 0.377964),
        (float(WORKSHEET.velocity), 9.744, 5e-4, 9.743680),
        (float(WORKSHEET.acceleration), 7.452870, 1e-6, 7.452870),
    ],
    ids=["rod angle", "rod rate", "velocity", "acceleration"],
)
def test_worksheet(found: float, printed: float, digit: float, exact: float) -> None:
    assert found == pytest.approx(printed, abs=digit)
    assert found == pytest.approx(exact, abs=1e-6)
