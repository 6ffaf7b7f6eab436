"""Shigley, Mechanical Engineering Design, chapter 4, round pinned column (from memory).

E 207 GPa, yield 500 MPa, 22 kN with safety 4. 1.5 m: by Euler 37.48 mm, transition 90.4. 375 mm:
by Johnson 19.02 mm. Recomputed 37.485, 90.399, 19.020 mm.
"""

import math

import pytest

from kinematics.strength.rod_strength import column_load, slenderness, transition_slenderness


def buckling(diameter: float, length: float) -> float:
    area, second_moment = math.pi / 4 * diameter**2, math.pi / 64 * diameter**4
    ratio = slenderness(length, "in plane", area, second_moment)
    return column_load(area, ratio, yield_strength=500e6, elastic_modulus=207e9)


def test_transition() -> None:
    assert transition_slenderness(500e6, 207e9) == pytest.approx(90.4, abs=0.05)
    assert transition_slenderness(500e6, 207e9) == pytest.approx(90.399, abs=5e-4)


@pytest.mark.parametrize(
    ("length", "diameter_mm"), [(1.5, 37.485), (0.375, 19.020)], ids=["Euler", "Johnson"]
)
def test_diameter_brackets_the_load(length, diameter_mm) -> None:
    digit = 5.5e-4
    low, high = ((diameter_mm + side * digit) / 1e3 for side in (-1, 1))
    assert buckling(low, length) < 4 * 22e3 < buckling(high, length)
