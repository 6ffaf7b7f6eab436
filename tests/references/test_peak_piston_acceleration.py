"""Acceleration at TDC, (S/2) ω² (1 + r/l), of named strokes.

Jennings, Two-Stroke Tuner's Handbook, 1973: a racing twin at 11 000 rev/min, 135 000 ft/s²
(stroke and rod assumed, recomputed). A motorcycle magazine's case: stroke 42.5 mm, 13 500 rev/min,
51.49 km/s² (rod of 100 mm inferred). Two plain cases (recomputed).
"""

import math

import numpy as np
import pytest

from kinematics.mechanics.slider_crank import SliderCrank, piston_motion


@pytest.mark.parametrize(
    ("stroke_mm", "rod_mm", "rpm", "printed", "digit"),
    [
        (50.0, 104.0, 11000, 134997 * 0.3048, 0.5),
        (42.5, 100.0, 13500, 51.495e3, 0.5),
        (90.0, 144.0, 7000, 31737.0, 0.5),
        (200.0, 200.0, 2000, 6579.7363, 5e-5),
    ],
)
def test_acceleration_at_tdc(stroke_mm, rod_mm, rpm, printed, digit) -> None:
    train = SliderCrank(stroke_mm / 2e3, rod_mm / 1e3)
    motion = piston_motion(train, np.array(0.0), speed=rpm * math.pi / 30)
    assert float(motion.acceleration) == pytest.approx(printed, abs=digit)
    assert float(motion.velocity) == 0.0


def test_rates_at_tdc() -> None:
    """Crank 0.1 m, rod 0.2 m, 2000 rev/min (recomputed)."""
    motion = piston_motion(SliderCrank(0.1, 0.2), np.array(0.0), speed=2000 * math.pi / 30)
    assert float(motion.rod_angular_velocity) == pytest.approx(104.71976, abs=5e-6)
    assert float(motion.rod_angular_acceleration) == 0.0
