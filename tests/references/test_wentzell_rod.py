"""Wentzell, Machine Design, example 3.6, p. 55 (worked solutions): Johnson's column.

60 in long, K 0.65, 2.26 in², 0.764 in⁴, yield 36 ksi, E 30e6 psi, safety 2: effective length
39.00 in, L/k 67.08, transition 128.25, load 35 116.5 lb. In pounds and inches: the formulas keep
any one system of units.
"""

import math

import pytest

from kinematics.strength.rod_strength import column_load, transition_slenderness

RATIO = 0.65 * 60 / math.sqrt(0.764 / 2.26)


def test_slenderness_lies_in_johnsons_range() -> None:
    assert pytest.approx(67.08, abs=0.005) == RATIO
    assert transition_slenderness(36e3, 30e6) == pytest.approx(128.25, abs=0.005)


def test_allowed_load() -> None:
    load = column_load(2.26, RATIO, yield_strength=36e3, elastic_modulus=30e6)
    assert load / 2 == pytest.approx(35116.5, abs=0.05)
