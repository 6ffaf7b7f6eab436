"""Kolchin and Demidov, Design of Automotive Engines: the piston pin (formulas from memory).

An invented case (recomputed): 20 kN, pin 22/15 mm by 68 mm, small end 28 mm, gap 32 mm, 210 GPa:
ratio 0.68182, bending 179.71 MPa, shear 96.19 MPa, growth 0.02167 mm, small end 32.47 MPa, bosses
25.25 MPa. Hoop stress at the four places of a section, tension positive: 82.83 MPa outside and
-219.23 MPa inside square to the load, -151.77 MPa outside and 124.86 MPa inside at it: the largest
is compression in the bore.
"""

import numpy as np
import pytest

from kinematics.strength.piston_strength import PIN_OVALISATION_GUIDE, PistonPin, pin_stress

PIN = PistonPin(0.022, 0.015, 0.068, 0.028, 0.032)
FOUND = pin_stress(PIN, np.array([20e3]), 210e9)


def test_stresses() -> None:
    assert PIN.bore_ratio == pytest.approx(0.68182, abs=5e-6)
    assert FOUND.bending.item() == pytest.approx(179.71e6, abs=5e3)
    assert FOUND.shear.item() == pytest.approx(96.19e6, abs=5e3)


def test_growth_lies_in_the_guide() -> None:
    growth = FOUND.ovalisation.item()
    assert growth == pytest.approx(0.02167e-3, abs=5e-9)
    assert PIN_OVALISATION_GUIDE.low < growth < PIN_OVALISATION_GUIDE.high


def test_hoop_stress_at_all_four_places() -> None:
    """15 P/(l d) (0.1 - (α - 0.4)³) = 15.5650 MPa; f = 44.551, g = 57.589 (recomputed)."""
    expected = [82.83e6, -219.23e6, -151.77e6, 124.86e6]
    assert FOUND.hoop[:, 0] == pytest.approx(expected, abs=5e3)


def test_pressures() -> None:
    assert FOUND.small_end_pressure.item() == pytest.approx(32.47e6, abs=5e3)
    assert FOUND.boss_pressure.item() == pytest.approx(25.25e6, abs=5e3)
