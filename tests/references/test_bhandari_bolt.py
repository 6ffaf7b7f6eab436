"""Bhandari, Design of Machine Elements, chapter 7, examples 7.17 and 7.20 (worked solutions).

7.17: preload 2.5 kN, load 5 kN, kc = 2.5 kb, yield 400 MPa, safety 2.5: 24.554 mm²,
which takes the joint as closed under a load that opens it. 7.20: cap of
a rod, two bolts, 2000 rev/min, stroke 100 mm, rod 200 mm, 5 kg, 50 % overspeed, kc = 4 kb,
ultimate 600 MPa, notch factor 3, reliability 0.897, safety 2; preload such that the cap does not
part at overspeed: core 38.128 mm². Steps on the way (recomputed).
"""

import math

import numpy as np
import pytest

from kinematics.mechanics.slider_crank import SliderCrank
from kinematics.strength.bolted_joint import (
    BoltedJoint,
    bolt_fatigue_safety,
    bolt_force,
    clamp_force,
    load_factor,
    opening_load,
    preload_against_opening,
)
from kinematics.strength.piston_strength import peak_acceleration
from kinematics.strength.rod_strength import endurance_limit

SHARE = load_factor(4.0, 1.0)  # kc = 4 kb
INERTIA = 5.0 * peak_acceleration(SliderCrank(0.050, 0.200), 2000 * math.pi / 30)
ENDURANCE = endurance_limit(0.5 * 600e6, reliability=0.897, notch=3.0)


def test_example_7_17_stretches_a_closed_joint_past_its_opening() -> None:
    """The printed area is preload + C load; but that load has opened the joint: 31.25 mm²."""
    joint = BoltedJoint(2500.0, load_factor(2.5, 1.0), 24.554e-6)
    stress_allowed = 400e6 / 2.5
    as_printed = joint.preload + joint.load_factor * 5000.0
    assert as_printed / stress_allowed == pytest.approx(24.554e-6, abs=5e-10)
    assert opening_load(joint) == pytest.approx(3500.0, rel=1e-12)
    force = bolt_force(joint, np.array([3499.0, 5000.0]))
    assert force[0] == pytest.approx(2500.0 + 3499.0 / 3.5, rel=1e-12)
    assert force[1] / stress_allowed == pytest.approx(31.25e-6, rel=1e-12)


def test_forces_of_example_7_20() -> None:
    assert pytest.approx(13707.8, abs=0.05) == INERTIA
    assert pytest.approx(30842.5, abs=0.05) == 1.5**2 * INERTIA
    assert pytest.approx(0.2, rel=1e-15) == SHARE
    assert preload_against_opening(INERTIA / 2, SHARE, 1.5**2) == pytest.approx(12337.0, abs=0.05)
    assert pytest.approx(89.7e6, rel=1e-12) == ENDURANCE


def test_core_area_of_example_7_20() -> None:
    """Fatigue at running speed; at overspeed the faces just part."""
    preload = preload_against_opening(INERTIA / 2, SHARE, 1.5**2)
    joint = BoltedJoint(preload, SHARE, 38.128e-6)
    cycle = np.array([0.0, INERTIA / 2])
    safety = bolt_fatigue_safety(joint, cycle, endurance=ENDURANCE, ultimate=600e6)
    assert safety == pytest.approx(2.0, abs=1e-3)
    for area, wanted in ((38.1275e-6, -1), (38.1285e-6, 1)):
        nearby = BoltedJoint(preload, SHARE, area)
        found = bolt_fatigue_safety(nearby, cycle, endurance=ENDURANCE, ultimate=600e6)
        assert math.copysign(1, found - 2.0) == wanted
    assert clamp_force(joint, np.array([1.5**2 * INERTIA / 2])).item() == pytest.approx(0, abs=1e-9)
