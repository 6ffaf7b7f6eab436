"""Oil supply: rotating oil column, speed at which the supply falls short, least loaded place."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kinematics.errors import DesignError
from kinematics.film.oil_supply import (
    OilDrilling,
    crankpin_pressure,
    limit_speed,
    load_density,
    required_pressure,
    straight_drilling,
    supply_margin,
)

OIL = 850.0
THROUGH_AXIS = OilDrilling(0.030, 0.0, 0.070)
SPEED = np.linspace(0.0, 1000.0, 401)
STEP = 2 * math.pi / 360


def test_need_is_the_pressure_gradient_of_the_column_summed() -> None:
    """dp/dr = ρ ω² r from axis to entry, by the midpoint rule, which is exact here."""
    radius = (np.arange(100) + 0.5) * 0.030 / 100
    summed = (OIL * 700.0**2 * radius * 0.030 / 100).sum()
    found = required_pressure(THROUGH_AXIS, np.array([700.0]), density=OIL)
    assert found.item() == pytest.approx(summed, rel=1e-12)


def test_need_rises_with_speed_squared() -> None:
    need = required_pressure(THROUGH_AXIS, SPEED, density=OIL, minimum_pressure=2e4)
    assert need[0] == 2e4
    np.testing.assert_allclose(need[2::2] - 2e4, 4 * (need[1:201] - 2e4), rtol=1e-9)


def test_a_drilling_that_keeps_its_distance_needs_nothing() -> None:
    outward = OilDrilling(0.030, 0.030, 0.070)
    assert not required_pressure(outward, SPEED, density=OIL).any()
    assert limit_speed(outward, 1e5, density=OIL) == math.inf


@given(st.floats(1e4, 1e6), st.floats(0.01, 0.06), st.floats(0.0, 0.9))
def test_limit_speed_is_where_need_meets_supply(supply: float, entry: float, part: float) -> None:
    drilling = OilDrilling(entry, part * entry, 0.080)
    speed = limit_speed(drilling, supply, density=OIL)
    need = required_pressure(drilling, np.array([speed]), density=OIL)
    assert need.item() == pytest.approx(supply, rel=1e-9)


def test_limit_speed_without_enough_at_rest() -> None:
    assert limit_speed(THROUGH_AXIS, 1e4, density=OIL, minimum_pressure=2e4) == 0.0


def test_margin_falls_short_where_the_closed_form_says() -> None:
    margin = supply_margin(THROUGH_AXIS, SPEED, 3e5, density=OIL)
    exact = limit_speed(THROUGH_AXIS, 3e5, density=OIL)
    assert SPEED[0] < exact < SPEED[-1]
    step = SPEED[1] - SPEED[0]
    curved = step**2 / (8 * exact)  # of a chord on a parabola, as an error in speed
    assert margin.met_up_to == pytest.approx(exact, abs=2 * curved)
    np.testing.assert_allclose(margin.margin, 3e5 - margin.required)


def test_supply_that_rises_with_speed() -> None:
    """A pump's line through the origin is met only once it has passed the need kept at rest."""
    pump = 800.0 * SPEED
    margin = supply_margin(THROUGH_AXIS, SPEED, pump, density=OIL, minimum_pressure=1e4)
    a, b, c = -OIL / 2 * 0.030**2, 800.0, -1e4
    last = (-b - math.sqrt(b * b - 4 * a * c)) / (2 * a)
    assert last > SPEED[-1]
    assert margin.met_up_to == math.inf
    relieved = supply_margin(
        THROUGH_AXIS, SPEED, np.minimum(pump, 2e5), density=OIL, minimum_pressure=1e4
    )
    expected = limit_speed(THROUGH_AXIS, 2e5, density=OIL, minimum_pressure=1e4)
    assert relieved.met_up_to == pytest.approx(expected, rel=1e-4)


def test_supply_met_at_no_speed() -> None:
    none = supply_margin(THROUGH_AXIS, SPEED, 1e4, density=OIL, minimum_pressure=2e4)
    assert math.isnan(none.met_up_to)


def test_pressure_at_the_crankpin_lies_above_the_supply_by_the_outward_column() -> None:
    found = crankpin_pressure(THROUGH_AXIS, SPEED, 3e5, density=OIL)
    assert found[0] == 3e5
    assert found[-1] - 3e5 == pytest.approx(OIL / 2 * 1e6 * (0.07**2 - 0.03**2), rel=1e-12)


@pytest.mark.parametrize(
    ("entry", "exit_", "expected"),
    [
        ((0.0, -0.03), (0.0, 0.07), (0.03, 0.0, 0.07)),  # through the axis
        ((0.0, 0.03), (0.0, 0.07), (0.03, 0.03, 0.07)),  # outward only
        ((0.03, 0.0), (0.0, 0.04), (0.03, 0.024, 0.04)),  # height of the 3-4-5 triangle
        ((0.01, 0.02), (0.01, 0.02), (math.hypot(0.01, 0.02),) * 3),  # along the axis
    ],
)
def test_straight_drilling(entry, exit_, expected) -> None:
    drilling = straight_drilling(entry, exit_)
    found = (drilling.entry_radius, drilling.least_radius, drilling.exit_radius)
    assert found == pytest.approx(expected, abs=1e-15)


def test_refused_drillings() -> None:
    for name, value in (("entry_radius", -1.0), ("exit_radius", math.nan), ("least_radius", 0.04)):
        with pytest.raises(DesignError) as caught:
            replace(THROUGH_AXIS, **{name: value})
        assert caught.value.field == name


def pressed(degrees: np.ndarray, size: np.ndarray) -> np.ndarray:
    """Loads (2, n) pressing the journal at angles from y in the sense of rotation."""
    return size * np.stack((np.sin(np.radians(degrees)), np.cos(np.radians(degrees))))


def test_density_sums_to_the_mean_load() -> None:
    random = np.random.default_rng(3)
    load = random.normal(size=(2, 720)) * 1e4
    density = load_density(load)
    assert density.density.sum() * STEP == pytest.approx(
        np.hypot(load[0], load[1]).mean(), rel=1e-12
    )


@given(st.floats(0.0, 359.0))
def test_one_direction_is_least_loaded_at_the_opposite(degrees: float) -> None:
    load = pressed(np.full(8, degrees), np.full(8, 5e3))
    away = load_density(load).least_loaded_angle - math.radians(degrees) - math.pi
    assert abs(math.remainder(away, 2 * math.pi)) < STEP


def test_least_angle_lies_in_the_middle_of_the_longest_gap() -> None:
    """Loads at 0°, 90° and 180° leave the left side free, over the seam as well."""
    angles = np.array([0.0, 90.0, 180.0])
    for turn in (0.0, 90.0, 200.0):
        found = load_density(pressed(angles + turn, np.full(3, 1e3)), spread=math.pi / 4)
        gap = math.radians(270 + turn)
        assert abs(math.remainder(found.least_loaded_angle - gap, 2 * math.pi)) < STEP


def test_turning_the_load_turns_the_density() -> None:
    degrees = np.arange(720) / 2
    size = 2e3 + 1e3 * np.cos(np.radians(degrees - 40)) + 500 * np.cos(np.radians(3 * degrees))
    still = load_density(pressed(degrees, size))
    turned = load_density(pressed(degrees + 25, size))
    np.testing.assert_allclose(turned.density, np.roll(still.density, 25), rtol=1e-9)
    expected = (still.least_loaded_angle + math.radians(25)) % (2 * math.pi)
    assert turned.least_loaded_angle == pytest.approx(expected, abs=1e-9)


def test_heavier_loads_count_more() -> None:
    found = load_density(pressed(np.array([90.0, 270.0]), np.array([3e3, 1e3])), spread=0.5)
    assert found.density[90] == pytest.approx(3 * found.density[270], rel=1e-12)
    assert found.density[0] == 0.0


def test_an_even_load_leaves_no_choice() -> None:
    degrees = np.arange(720) / 2
    assert load_density(pressed(degrees, np.full(720, 1e3))).least_loaded_angle == 0.0
    assert load_density(np.zeros((2, 10))).least_loaded_angle == 0.0


@pytest.mark.parametrize("spread", [0.0, 4.0, math.nan])
def test_refused_spread(spread: float) -> None:
    with pytest.raises(DesignError):
        load_density(np.ones((2, 3)), spread=spread)
