"""Jennings, Two-Stroke Tuner's Handbook, 1973: piston acceleration at which rings flutter.

Printed: 40 000, 53 000, 80 000, 106 000, 138 000 ft/s² for 0.125, 0.094, 0.063, 0.047, 0.039 in,
that is 12 192 … 42 062 m/s² for 3.18 … 0.99 mm. Acceleration times thickness is 38.7 m²/s² within
1 % for the first four; the thinnest row lies 7 % higher (recomputed). The racing twin at 11 000
rev/min has 135 000 ft/s² (stroke 50 mm and rod 104 mm assumed).
"""

import math

import pytest

from kinematics.mechanics.slider_crank import SliderCrank
from kinematics.strength.piston_strength import (
    FLUTTER_THRESHOLDS,
    flutter_acceleration,
    peak_acceleration,
    speed_at_acceleration,
)

TWIN = SliderCrank(0.025, 0.104)
PRINTED = [(3.18, 12192), (2.39, 16154), (1.60, 24384), (1.19, 32309), (0.99, 42062)]


@pytest.mark.parametrize(
    ("row", "millimetres", "acceleration"),
    [(row, *printed) for row, printed in enumerate(reversed(PRINTED))],
)
def test_rows(row, millimetres, acceleration) -> None:
    assert FLUTTER_THRESHOLDS[row][0] == pytest.approx(millimetres / 1e3, abs=5.01e-6)
    assert FLUTTER_THRESHOLDS[row][1] == pytest.approx(acceleration, abs=0.5)


def test_product_is_constant_but_for_the_thinnest() -> None:
    products = [t * a for t, a in FLUTTER_THRESHOLDS]
    assert products[1:] == pytest.approx([38.7] * 4, rel=0.01)
    assert products[0] / 38.7 == pytest.approx(1.07, abs=0.01)


def test_racing_twin_needs_nearly_the_thinnest_ring() -> None:
    acceleration = peak_acceleration(TWIN, 11000 * math.pi / 30)
    assert acceleration / 0.3048 == pytest.approx(134997, abs=1)
    assert (
        flutter_acceleration(0.039 * 0.0254) > acceleration > flutter_acceleration(0.047 * 0.0254)
    )
    assert speed_at_acceleration(TWIN, 135000 * 0.3048) == pytest.approx(
        11000 * math.pi / 30, rel=5e-5
    )
