"""The yardstick of the benchmarks computes the same as the core, to 1e-9 of each peak."""

import numpy as np
import pytest

from kinematics import solve_cycle
from tests.benchmarks.per_angle_loop import FORCES, MOTION, looped_cycle
from tests.conftest import changed, six


@pytest.mark.parametrize("offset", [0.0, 1.2e-3])
def test_the_loop_agrees_with_the_core(offset: float) -> None:
    design = changed(six(), "cylinder", pin_offset=offset)
    cycle = solve_cycle(design, 6800)
    found = looped_cycle(design, cycle)
    expected = {name: getattr(cycle.motion, name) for name in MOTION}
    expected |= {name: getattr(cycle.forces, name) for name in (*FORCES, "crank_torque")}
    expected |= {name: cycle.bearings.big_end_load(name) for name in ("block", "rod", "crank")}
    expected |= {f"main {name}": cycle.bearings.main_load(name) for name in ("block", "crank")}
    expected |= {name: getattr(cycle.balance, name) for name in ("free_force", "free_moment")}
    for name, values in expected.items():
        peak = np.abs(values).max()
        np.testing.assert_allclose(found.array(name), values, atol=1e-9 * peak, err_msg=name)
