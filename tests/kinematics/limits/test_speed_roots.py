"""Speeds at an allowable: the ends meet it, the inside keeps it, the outside breaks it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from kinematics.limits.speed_roots import allowed_speeds, speeds_at

loads = arrays(float, 12, elements=st.floats(-100, 100, width=16))


def peak(gas, inertia, speed) -> float:
    return float(np.abs(gas + speed**2 * inertia).max())


def test_one_point_whose_inertia_relieves_the_gas() -> None:
    """5 - w² = ±3 at w² = 2 and 8."""
    found = speeds_at(3.0, np.array([5.0]), np.array([-1.0]))
    assert found == pytest.approx([2**0.5, 8**0.5], rel=1e-14)


def test_gas_within_the_allowable_leaves_one_speed() -> None:
    found = speeds_at(7.0, np.array([5.0, 0.0, 1.0]), np.array([-1.0, 1.0, 0.0]))
    assert found == pytest.approx([7**0.5], rel=1e-14)


def test_two_points_may_leave_no_speed() -> None:
    """Point 1 needs w² ≥ 3, point 2 w² ≤ 2."""
    gas, inertia = np.array([5.0, 0.0]), np.array([-1.0, 1.0])
    assert allowed_speeds(gas, inertia, lower=-2, upper=2) is None
    assert speeds_at(2.0, gas, inertia).size == 0


def test_a_load_that_speed_does_not_change() -> None:
    gas, none = np.array([4.0, -2.0]), np.zeros(2)
    assert speeds_at(4.5, gas, none).size == 0
    assert allowed_speeds(gas, none, upper=4.5).high == np.inf
    assert allowed_speeds(gas, none, upper=3.5) is None
    assert allowed_speeds(gas, none, lower=-1.5) is None


def test_one_bound_looks_at_one_side() -> None:
    gas, inertia = np.array([1.0, 1.0]), np.array([-1.0, 0.25])
    assert allowed_speeds(gas, inertia, lower=-3.0).high == pytest.approx(2.0, rel=1e-14)
    assert allowed_speeds(gas, inertia, upper=3.0).high == pytest.approx(8**0.5, rel=1e-14)


@given(loads, loads, st.floats(1, 200))
def test_ends_meet_the_allowable_and_neighbours_show_the_side(gas, inertia, allowable) -> None:
    stretch = allowed_speeds(gas, inertia, lower=-allowable, upper=allowable)
    for speed in speeds_at(allowable, gas, inertia):
        assert peak(gas, inertia, speed) == pytest.approx(allowable, rel=1e-9)
    if stretch is None:
        grid = np.linspace(0, 40, 81)
        assert min(peak(gas, inertia, speed) for speed in grid) > allowable * (1 - 1e-9)
        return
    top = min(stretch.high, max(1e3, 2 * stretch.low))  # a tiny inertia meets a bound far up
    middle = ((stretch.low**2 + top**2) / 2) ** 0.5
    assert peak(gas, inertia, middle) <= allowable * (1 + 1e-9)
    if stretch.high < np.inf:
        assert peak(gas, inertia, stretch.high * 1.001 + 1e-6) > allowable
    if stretch.low > 0:
        assert peak(gas, inertia, stretch.low * 0.999) > allowable


@given(loads, loads, st.floats(1, 200), st.floats(1, 2))
def test_more_allowed_is_never_less_speed(gas, inertia, allowable, more) -> None:
    first = allowed_speeds(gas, inertia, lower=-allowable, upper=allowable)
    wider = allowed_speeds(gas, inertia, lower=-more * allowable, upper=more * allowable)
    if first is not None:
        assert wider is not None
        assert wider.low <= first.low
        assert wider.high >= first.high
