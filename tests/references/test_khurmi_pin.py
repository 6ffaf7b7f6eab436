"""Khurmi and Gupta, A Textbook of Machine Design, chapter 32: the pin as a beam.

The printed moment P l2/4 - P l1/8 with l2 = (l1 + D)/2 is P D/8 whatever the small end's width.
"""

import math

import numpy as np
import pytest

from kinematics.strength.piston_strength import PistonPin, simple_pin_bending


@pytest.mark.parametrize("small_end", [0.020, 0.028, 0.031])
def test_small_end_width_drops_out(small_end) -> None:
    load, bore, outer, inner = 24740.0, 0.100, 0.030, 0.018
    span = (small_end + bore) / 2
    moment = load * span / 4 - load * small_end / 8
    modulus = math.pi * (outer**4 - inner**4) / (32 * outer)
    pin = PistonPin(outer, inner, 0.080, small_end, 0.034)
    found = simple_pin_bending(np.array([load]), bore, pin).item()
    assert found == pytest.approx(moment / modulus, rel=1e-12)
