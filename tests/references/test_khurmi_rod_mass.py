"""Khurmi and Gupta, Theory of Machines, 14th ed., 2009, chapter 15: the rod's mass.

Examples 15.15, 15.16, 15.18, 15.20, inputs and printed values (worked solutions); the tight
values (recomputed). Dynamic equivalence puts the second mass at k²/l1; the split at the pins
that the core makes is the same when it is asked for a rod of that length.
"""

import math

import numpy as np
import pytest

from kinematics.mechanics.gas_and_inertia_loads import BySpeed, MovingMasses, cylinder_loads
from kinematics.mechanics.rod_mass import two_mass_rod
from kinematics.mechanics.slider_crank import SliderCrank, pose, posed_motion


@pytest.mark.parametrize(
    ("mass", "l1", "inertia", "l2", "m1", "m2", "printed"),
    [
        (15.0, 0.200, 7000e-6, 0.002333333, 0.172982, 14.827018, (0.17, 0.00233, 14.83)),
        (2.0, 0.100, 2.0 * 0.110**2, 0.121, 1.095023, 0.904977, (1.1, 0.121, 0.9)),
        (37.5, 0.625, 37.5 * 0.377246**2, 0.227703, 10.0139, 27.4861, (10.0, 0.228, 27.5)),
    ],
    ids=["15.15", "15.18", "15.16"],
)
def test_dynamically_equivalent_masses(mass, l1, inertia, l2, m1, m2, printed) -> None:
    """At the conjugate point the two masses leave no inertia out."""
    split = two_mass_rod(mass, l2, inertia, l1 + l2)
    assert split.reciprocating == pytest.approx(m1, rel=1e-5)
    assert split.rotating == pytest.approx(m2, rel=1e-5)
    assert split.correction_inertia == pytest.approx(0.0, abs=1e-5 * inertia)
    assert inertia / mass / l1 == pytest.approx(printed[1], rel=5e-3)
    assert split.reciprocating == pytest.approx(printed[0], rel=2e-2)
    assert split.rotating == pytest.approx(printed[2], rel=1e-2)


def test_correction_couple_of_example_15_18() -> None:
    split = two_mass_rod(2.0, 0.150, 2.0 * 0.110**2, 0.250)
    couple = -split.correction_inertia * 23000.0
    assert couple == pytest.approx(133.4, abs=0.05)
    assert couple == pytest.approx(133.4000, abs=1e-9)


def inertia_torque(train: SliderCrank, masses: MovingMasses, degrees: float, rpm: float) -> float:
    """Torque that inertia asks of the crank [N·m]."""
    at = pose(train, np.array([[math.radians(degrees)]]))
    loads = cylinder_loads(
        train, masses, at, posed_motion(train, at), BySpeed.steady(np.zeros((1, 1)))
    )
    return -loads.cylinder_torque.at(rpm * math.pi / 30).item()


def test_total_torque_of_example_15_20() -> None:
    masses = MovingMasses(300.0, 250.0, 0.5, 250.0 * 0.65**2)
    found = inertia_torque(SliderCrank(0.3, 1.5), masses, 30, 125)
    weight = 424.79  # torque of the rod's weight, which the core leaves out
    assert found == pytest.approx(3415.72, abs=0.005)
    assert found + weight == pytest.approx(3840.0, rel=2e-4)


def test_rigid_rod_is_two_masses_and_a_couple() -> None:
    """Crank 45 mm, rod 144 mm, 7000 rev/min, 77° (recomputed)."""
    train, speed, l = SliderCrank(0.045, 0.144), 7000 * math.pi / 30, 0.144
    inertia = 0.6 * 0.050**2
    split = two_mass_rod(0.6, 0.044, inertia, l)
    rigid = MovingMasses(0.45, 0.6, 0.044, inertia)
    pair = MovingMasses(0.45, 0.6, 0.044, inertia - split.correction_inertia)
    motion = posed_motion(train, pose(train, np.array(math.radians(77)))).at(speed)
    couple = split.correction_inertia * float(motion.rod_angular_acceleration)
    on_crank = couple * float(motion.rod_angular_velocity) / speed
    found = inertia_torque(train, rigid, 77, 7000)
    assert found == pytest.approx(-34.821541, abs=5e-7)
    assert inertia_torque(train, pair, 77, 7000) == pytest.approx(-49.194768, abs=5e-7)
    assert on_crank == pytest.approx(14.373228, abs=5e-7)
    assert found == pytest.approx(-49.194768 + 14.373228, abs=1e-6)
