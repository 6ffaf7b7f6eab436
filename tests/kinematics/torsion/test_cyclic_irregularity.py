"""Energy swings of torque curves: closed forms, bases, and the speed that comes of them."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kinematics.errors import DesignError
from kinematics.torsion.cyclic_irregularity import (
    degree_of_irregularity,
    energy_fluctuation,
    flywheel_inertia,
    speed_over_cycle,
)


def grid(points: int, cycle: float = 2 * math.pi) -> np.ndarray:
    return np.arange(points) * (cycle / points)


@pytest.mark.parametrize("order", [1, 3, 6])
def test_a_sine_swings_by_twice_its_amplitude_over_its_order(order: int) -> None:
    """∫ A sin hθ over half a wave is 2 A / h; the trapezia lose (h step)² / 12 of it."""
    found = energy_fluctuation(80 + 30 * np.sin(order * grid(3600)), 2 * math.pi)
    assert found.largest == pytest.approx(
        60 / order, rel=1.1 * (order * 2 * np.pi / 3600) ** 2 / 12
    )
    assert found.mean_torque == pytest.approx(80, rel=1e-12)
    assert found.largest_surplus == pytest.approx(30, rel=1e-5)
    assert found.work == pytest.approx(160 * math.pi, rel=1e-12)


@given(st.integers(0, 11), st.floats(0.1, 1e3))
def test_a_triangle_is_exact_on_any_grid_with_its_corners(shift: int, size: float) -> None:
    """Straight lines from 0 up to T in a quarter and back: extremes fall between the points."""
    corners = np.array([0, 0.5, 1, 0.5, 0, 0, 0, 0, 0, 0, 0, 0]) * size
    found = energy_fluctuation(np.roll(corners, shift), 12.0)
    mean = size / 6
    above = 0.5 * 4 * size * (1 - mean / size) ** 2
    assert found.largest == pytest.approx(above, rel=1e-12)


@given(st.lists(st.floats(-100, 100), min_size=3, max_size=40))
def test_finer_points_on_the_same_lines_change_nothing(torque: list[float]) -> None:
    coarse = np.array(torque)
    at = np.arange(coarse.size * 8) / 8
    fine = np.interp(at, np.arange(coarse.size + 1), np.append(coarse, coarse[0]))
    one, other = (energy_fluctuation(values, 5.0) for values in (coarse, fine))
    assert other.largest == pytest.approx(float(one.largest), rel=1e-9, abs=1e-9)
    np.testing.assert_allclose(other.energy[::8], one.energy, rtol=0, atol=1e-9)


def test_a_sweep_is_row_by_row() -> None:
    rng = np.random.default_rng(2)
    torque = rng.normal(50, 20, size=(4, 90))
    sweep = energy_fluctuation(torque, 4 * math.pi)
    assert sweep.energy.shape == (4, 90)
    for row, curve in enumerate(torque):
        one = energy_fluctuation(curve, 4 * math.pi)
        assert sweep.largest[row] == pytest.approx(float(one.largest), rel=1e-12)
        assert sweep.coefficient[row] == pytest.approx(float(one.coefficient), rel=1e-12)


def test_a_load_that_follows_the_torque_leaves_nothing() -> None:
    torque = 50 + 20 * np.sin(grid(360))
    found = energy_fluctuation(torque, 2 * math.pi, load=torque.copy())
    assert found.largest == 0.0
    with pytest.raises(DesignError, match="mean"):
        energy_fluctuation(torque, 2 * math.pi, load=torque + 1)


def test_bases_of_the_energy_coefficient() -> None:
    """Over a turn it is twice that over a four-stroke cycle, and the same for a two-stroke."""
    torque = 100 + 40 * np.sin(grid(720))
    four, two = (energy_fluctuation(torque, turns * 2 * math.pi) for turns in (2, 1))
    assert four.coefficient_per_turn == pytest.approx(2 * four.coefficient, rel=1e-12)
    assert two.coefficient_per_turn == pytest.approx(float(two.coefficient), rel=1e-12)


@given(st.floats(1, 1e4), st.floats(1e-3, 0.2), st.floats(10, 1000))
def test_inertia_and_irregularity_are_inverse(energy: float, wanted: float, speed: float) -> None:
    inertia = float(flywheel_inertia(np.array(energy), irregularity=wanted, speed=np.array(speed)))
    found = degree_of_irregularity(np.array(energy), inertia=inertia, speed=np.array(speed))
    assert found == pytest.approx(wanted, rel=1e-12)


def test_speed_swings_by_the_degree_of_irregularity() -> None:
    """Exactly, about the speed midway between the extremes; and J ω ω' is the surplus torque."""
    angle = grid(7200)
    torque = 200 + 150 * np.sin(2 * angle)
    found = energy_fluctuation(torque, 2 * math.pi)
    speed = speed_over_cycle(found, inertia=0.3, speed=60.0)
    middle = (speed.max() + speed.min()) / 2
    swing = degree_of_irregularity(found.largest, inertia=0.3, speed=np.array(middle))
    assert (speed.max() - speed.min()) / middle == pytest.approx(float(swing), rel=1e-6)
    assert np.mean(speed**2) == pytest.approx(3600.0, rel=1e-12)
    slope = (np.roll(speed**2, -1) - np.roll(speed**2, 1)) / (2 * (angle[1] - angle[0]))
    np.testing.assert_allclose(0.3 * slope / 2, torque - 200, rtol=0, atol=1e-3)


def test_too_small_an_inertia_stops_the_crank() -> None:
    found = energy_fluctuation(200 + 150 * np.sin(grid(360)), 2 * math.pi)
    with pytest.raises(DesignError, match="inertia"):
        speed_over_cycle(found, inertia=0.01, speed=10.0)
