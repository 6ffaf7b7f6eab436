"""Forces and torque against MuJoCo's inverse dynamics of the same linkage, pin offset included.

Tolerance: 1e-9 of the peak of each quantity.
"""

import math

import numpy as np
import pytest

from kinematics import solve_cycle
from kinematics.mechanics.gas_and_inertia_loads import BySpeed, MovingMasses, cylinder_loads
from kinematics.mechanics.slider_crank import SliderCrank, pose, posed_motion
from kinematics.train.cycle import RigidTrain
from tests.benchmarks.mujoco_train import FreeParts, InLineTrain, inverse_dynamics
from tests.conftest import changed, six

ANGLE = np.arange(180) * (2 * np.pi / 180)


def assert_near(found: np.ndarray, expected: np.ndarray) -> None:
    np.testing.assert_allclose(found, expected, atol=1e-9 * np.abs(expected).max())


def random_train(seed: int) -> tuple[SliderCrank, MovingMasses]:
    random = np.random.default_rng(seed)
    r = random.uniform(0.03, 0.2)
    train = SliderCrank(r, r * random.uniform(2.5, 5), r * random.uniform(-0.4, 0.4))
    rod = random.uniform(0.3, 20)
    centre = train.rod_length * random.uniform(0.05, 0.95)
    inertia = rod * train.rod_length**2 * random.uniform(0.02, 0.3)
    return train, MovingMasses(random.uniform(0.2, 20), rod, centre, inertia)


@pytest.mark.parametrize("seed", range(6))
def test_pin_forces_of_the_freed_parts(seed: int) -> None:
    """Equilibrium of the freed rod and piston gives pin, rod and side forces and the torque."""
    train, masses = random_train(seed)
    at = pose(train, ANGLE[None, :])
    motion = posed_motion(train, at)
    gas = 1e4 * np.random.default_rng(seed).normal(size=ANGLE.size)
    loads = cylinder_loads(train, masses, at, motion, BySpeed.steady(gas[None, :]))
    row = posed_motion(train, pose(train, ANGLE))
    big_x, big_y, couple, piston_y = FreeParts(train, masses).forces(ANGLE, row).T
    sin, cos = np.sin(row.rod_angle), np.cos(row.rod_angle)
    on_piston_y = gas + piston_y
    on_piston_x = (couple / train.rod_length - sin * on_piston_y) / cos
    pin_x, pin_y = big_x + on_piston_x, big_y + on_piston_y
    assert_near(loads.crankpin_force.at(1.0)[0], np.stack((pin_x, pin_y)))
    assert_near(loads.rod_force.at(1.0)[0], cos * on_piston_y - sin * on_piston_x)
    assert_near(loads.side_thrust.at(1.0)[0], -on_piston_x)
    torque = train.crank_radius * (np.sin(ANGLE) * pin_y - np.cos(ANGLE) * pin_x)
    assert_near(loads.cylinder_torque.at(1.0)[0], torque)


@pytest.mark.parametrize("offset", [0.0, 1.5e-3, -4e-3])
def test_torque_of_the_whole_six_by_virtual_work(offset: float) -> None:
    train = RigidTrain(changed(six(), "cylinder", pin_offset=offset))
    linkage = InLineTrain(train.crank, train.masses, train.design.layout.throw_angles)
    model, data = linkage.model()
    state = linkage.state(train.crank_angle, train.motion)
    forces = inverse_dynamics(model, data, state)
    single = np.abs(train.loads.cylinder_torque.inertia).max()
    found = linkage.torque(forces, state[1])
    np.testing.assert_allclose(found, train.crank_torque.inertia, atol=1e-9 * single)


def test_gas_torque_by_virtual_work() -> None:
    cycle = solve_cycle(changed(six(), "cylinder", pin_offset=1e-3), 6000)
    work_rate = cycle.forces.gas_force * cycle.motion.velocity / cycle.speed
    assert_near(cycle.train.loads.cylinder_torque.gas.only, work_rate)
    assert cycle.speed == pytest.approx(6000 * math.pi / 30)
