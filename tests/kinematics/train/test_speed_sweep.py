"""A sweep over speeds is the cycle at each of them, and refuses what is too much."""

import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from kinematics import Design, DesignError, solve_cycle, speed_sweep
from kinematics.train.speed_sweep import MOST_SPEEDS
from tests.kinematics.random_designs import designs, solved

SPEEDS = np.array([500.0, 3000.0, 7000.0, 12000.0])


@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(designs())
def test_peaks_are_those_of_each_cycle(design: Design) -> None:
    solved(design, 1000)
    sweep = speed_sweep(design, SPEEDS)
    for row, rpm in enumerate(SPEEDS):
        cycle = solve_cycle(design, float(rpm))
        forces, bearings = cycle.forces, cycle.bearings
        for found, expected in (
            (sweep.rod_compression, forces.rod_force.max(axis=1)),
            (sweep.rod_tension, -forces.rod_force.min(axis=1)),
            (sweep.side_thrust, np.abs(forces.side_thrust).max(axis=1)),
            (sweep.big_end_peak, bearings.big_end_peaks.peak),
            (sweep.main_peak, bearings.main_peaks.peak),
            (sweep.torque_peak, forces.crank_torque.max()),
        ):
            atol = 1e-9 * np.abs(expected).max()
            np.testing.assert_allclose(found[row], expected, rtol=1e-9, atol=atol)
        assert sweep.speed[row] == pytest.approx(cycle.speed, rel=1e-15)


def test_shapes(base: Design) -> None:
    sweep = speed_sweep(base, np.linspace(1000, 9000, 50))
    assert sweep.rod_tension.shape == (50, 6)
    assert sweep.main_peak.shape == (50, 7)
    assert sweep.torque_peak.shape == (50,)


@pytest.mark.parametrize(
    "speeds",
    [
        np.array([]),
        np.zeros(MOST_SPEEDS + 1) + 1000,
        np.array([[1000.0]]),
        np.array(1000.0),
        np.array([1000.0, math.nan, 2000.0]),
        np.array([1000.0, math.inf]),
        np.array([0.0, 1000.0]),
        np.array([-5.0, 1000.0]),
        np.array([1000.0, 30001.0]),
    ],
    ids=["none", "many", "table", "scalar", "nan", "inf", "zero", "negative", "fast"],
)
def test_speeds_that_are_refused(base: Design, speeds: np.ndarray) -> None:
    with pytest.raises(DesignError, match=r"speeds?_rpm"):
        speed_sweep(base, speeds)
