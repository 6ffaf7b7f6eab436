"""Bhavikatti, Strength of Materials, example 9.9.5, p. 381 (worked solutions): Rankine's column.

Tube 200/160 mm, 4.5 m, both ends fixed, 550 MPa, a = 1/1600, safety 2.5: 1404.36 kN.
"""

import math

import pytest

from kinematics.strength.rod_strength import rankine_load, slenderness


def test_allowed_load_of_a_tube_fixed_at_both_ends() -> None:
    area = math.pi / 4 * (0.200**2 - 0.160**2)
    second_moment = math.pi / 64 * (0.200**4 - 0.160**4)
    ratio = slenderness(4.5, "across", area, second_moment)
    load = rankine_load(area, ratio, crushing_stress=550e6, constant=1 / 1600)
    assert load / 2.5 == pytest.approx(1404.36e3, abs=5)
