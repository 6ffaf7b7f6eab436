"""Shigley, Mechanical Engineering Design, example 8-4 (from memory): a preloaded bolt.

kb 6.50 and km 8.87 Mlbf/in, preload 25 kip, load 6 kip, 0.373 in², proof strength 85 kpsi: C
0.423; 67.02 and 73.83 kpsi; yield 1.15, load 2.64, separation 7.22. In kip and inches.
"""

import numpy as np
import pytest

from kinematics.strength.bolted_joint import BoltedJoint, bolt_force, load_factor, opening_load

SHARE = load_factor(1 / 6.50, 1 / 8.87)
JOINT = BoltedJoint(25.0, SHARE, 0.373)


def test_share_and_stresses() -> None:
    stress = bolt_force(JOINT, np.array([0.0, 6.0])) / 0.373
    assert pytest.approx(0.42290, abs=5e-6) == SHARE
    assert stress == pytest.approx([67.024, 73.827], abs=5e-4)


def test_safety_factors() -> None:
    stress = bolt_force(JOINT, np.array([6.0])).item() / 0.373
    assert 85 / stress == pytest.approx(1.1513, abs=5e-5)
    assert pytest.approx(2.6425, abs=5e-5) == (85 * 0.373 - 25) / (SHARE * 6)
    overload = np.array([2.6425 * 6.0])
    assert bolt_force(JOINT, overload).item() / 0.373 == pytest.approx(85.0, abs=5e-4)
    assert opening_load(JOINT) / 6 == pytest.approx(7.2200, abs=5e-5)
