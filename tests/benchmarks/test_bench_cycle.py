"""A full cycle of a six at 720 angles, beside a per-angle loop and MuJoCo's inverse dynamics.

Run with `pytest tests/benchmarks --benchmark-only`; the last lines give the ratios. Nothing here
asserts a time. The loop leaves out pressure and orders, MuJoCo also gas, pins and mains.
"""

import itertools
from collections.abc import Callable

import numpy as np
import pytest

from kinematics import Cycle, speed_sweep
from kinematics.train.cycle import RigidTrain, rigid_train
from tests.benchmarks.mujoco_train import InLineTrain, inverse_dynamics
from tests.benchmarks.per_angle_loop import looped_cycle
from tests.conftest import six

SPEED = 700.0  # rad/s
Bench = Callable[..., object]


def every_quantity(cycle: Cycle) -> None:
    """Ask a cycle for all that it has."""
    assert cycle.motion.displacement.size
    assert cycle.forces.crank_torque.size
    for frame in ("block", "rod", "crank"):
        cycle.bearings.big_end_load(frame)
    for frame in ("block", "crank"):
        cycle.bearings.main_load(frame)
    assert cycle.balance.free_moment.size


@pytest.mark.benchmark(group="cycle of a six, 720 angles")
def test_cold_cycle(benchmark: Bench) -> None:
    design = six()
    benchmark(lambda: every_quantity(Cycle(RigidTrain(design), SPEED)))


@pytest.mark.benchmark(group="cycle of a six, 720 angles")
def test_change_of_speed(benchmark: Bench) -> None:
    train = RigidTrain(six())
    every_quantity(Cycle(train, SPEED))
    speeds = itertools.count(100)
    benchmark(lambda: every_quantity(Cycle(train, float(next(speeds)))))


@pytest.mark.benchmark(group="cycle of a six, 720 angles")
def test_per_angle_loop(benchmark: Bench) -> None:
    design = six()
    cycle = Cycle(RigidTrain(design), SPEED)
    every_quantity(cycle)
    benchmark(lambda: looped_cycle(design, cycle))


@pytest.mark.benchmark(group="cycle of a six, 720 angles")
def test_mujoco_inverse_dynamics(benchmark: Bench) -> None:
    train = RigidTrain(six())
    linkage = InLineTrain(train.crank, train.masses, train.design.layout.throw_angles)
    model, data = linkage.model()
    state = linkage.state(train.crank_angle, train.motion)
    benchmark(lambda: linkage.torque(inverse_dynamics(model, data, state), state[1]))


@pytest.mark.benchmark(group="sweep of a six over 300 speeds")
def test_sweep_of_a_new_design(benchmark: Bench) -> None:
    design, speeds = six(), np.linspace(500, 9000, 300)

    def sweep() -> None:
        rigid_train.cache_clear()
        speed_sweep(design, speeds)

    benchmark(sweep)
