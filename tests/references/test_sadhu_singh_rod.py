"""Sadhu Singh, Machine Design I, example 4.14, p. 121 (worked solutions): Goodman's line.

Stress from +300 to -150 MPa, endurance half the ultimate, safety 1.5: ultimate 787.5 MPa.
"""

import numpy as np
import pytest

from kinematics.strength.rod_strength import goodman_safety, stress_range


def test_ultimate_strength_for_the_wanted_safety() -> None:
    cycle = stress_range(np.array([300e6, 40e6, -150e6, 0.0]))
    ultimate = 787.5e6
    found = goodman_safety(cycle, endurance=0.5 * ultimate, ultimate=ultimate)
    assert found == pytest.approx(1.5, rel=1e-12)
