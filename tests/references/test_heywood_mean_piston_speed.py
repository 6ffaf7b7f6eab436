"""Heywood, Internal Combustion Engine Fundamentals, 1988, equation 2.9: mean piston speed.

Strokes and speeds of teaching pages, printed answers; of the four the stroke and speed
(from memory) (all recomputed).
"""

import math

import pytest

from kinematics.mechanics.slider_crank import SliderCrank, mean_piston_speed


@pytest.mark.parametrize(
    ("stroke_mm", "rpm", "printed", "digit"),
    [
        (90.0, 3000, 9.0, 1e-9),
        (90.0, 7200, 21.6, 1e-9),
        (84.0, 9000, 25.2, 1e-9),
        (42.5, 13500, 19.125, 1e-9),
    ],
)
def test_mean_piston_speed(stroke_mm: float, rpm: float, printed: float, digit: float) -> None:
    train = SliderCrank(stroke_mm / 2e3, 0.150)
    assert mean_piston_speed(train, rpm * math.pi / 30) == pytest.approx(printed, abs=digit)
