"""The table of finite films as it is read: nodes, smoothness, ends, the limit of a slim bearing."""

import math

import numpy as np
import pytest

from kinematics.film.film_map import QUANTITIES, crowded, film_map, film_table
from kinematics.film.mobility import (
    finite_length_mobility,
    finite_length_slopes,
)
from kinematics.film.reynolds_film import solve_film
from tests.kinematics.film.unit_places import unit_places


def places(thinness, angle):
    size = -np.expm1(-thinness)
    return size * np.cos(angle), size * np.sin(angle)


def test_the_table_is_met_at_its_own_points():
    """Every thinness and load angle at two widths of the table; straight reading costs 0.3 %."""
    table = film_table()
    for ratio in (0.3, 0.8):
        v = int(np.flatnonzero(np.isclose(table.width_ratio, ratio))[0])
        t, b = np.meshgrid(table.thinness[1:-1], table.load_angle[1:-1], indexing="ij")
        xi, eta = (one.reshape(1, -1) for one in places(t, b))
        found = film_map((ratio,)).correction(unit_places(xi, eta))
        for name, values in zip(("along", "ahead"), found, strict=True):
            wanted = table.quantities[QUANTITIES.index(name), v, 1:-1, 1:-1].reshape(1, -1)
            np.testing.assert_allclose(values, wanted, rtol=3e-3)


def test_load_angles_of_the_table_stand_evenly_when_crowded():
    place = crowded(film_table().load_angle)
    np.testing.assert_allclose(np.diff(place), 1 / 36, rtol=0, atol=1e-6)
    assert crowded(np.array([0.0, math.pi])).tolist() == pytest.approx([0.0, 1.0], abs=1e-12)


@pytest.mark.parametrize("ratio", [0.32, 0.41, 0.7])
@pytest.mark.parametrize(("size", "angle"), [(0.3, 1.0), (0.8, 0.4), (0.93, 0.7), (0.97, 2.2)])
def test_between_the_tables_points_it_is_reynolds_equation(ratio, size, angle):
    """Solved anew there for the mobility that the map gives: its load lies where it should.

    0.01 rad of direction, 1 % of size.
    """
    xi, eta = np.array([[size * math.cos(angle)]]), np.array([[size * math.sin(angle)]])
    factors = film_map((ratio,)).correction(unit_places(xi, eta))
    along, ahead = (
        float((fit * factor)[0, 0])
        for fit, factor in zip(finite_length_mobility(xi, eta, ratio), factors, strict=True)
    )
    # velocity along the eccentricity and ahead of it: the load lies at -angle from it
    velocity = np.array(
        [along * math.cos(angle) + ahead * math.sin(angle),
         ahead * math.cos(angle) - along * math.sin(angle)]
    )  # fmt: skip
    film = solve_film(size, velocity, ratio, cells=(256, 16))
    assert math.remainder(film.load_angle + angle, 2 * math.pi) == pytest.approx(0, abs=0.01)
    assert math.hypot(*film.mobility) == pytest.approx(math.hypot(along, ahead), rel=0.01)
    peak = float(film_map((ratio,)).peak_pressure(unit_places(xi, eta))[0, 0])
    assert film.peak_over_mean == pytest.approx(peak, rel=0.015)


def test_it_is_smooth_over_eccentricity_and_angle():
    """Second differences stay as small as the curve's own bend: no step between cells."""
    size = np.linspace(0.05, 0.99, 4000)
    for angle in (0.05, 0.9, 2.5):
        along = film_map((0.4,)).correction(
            unit_places(size[None] * math.cos(angle), size[None] * math.sin(angle))
        )[0][0]
        assert np.abs(np.diff(along)).max() < 4e-3


def test_it_is_symmetric_about_the_load():
    xi, eta = np.array([[0.5, 0.8]]), np.array([[0.3, 0.55]])
    table, ahead, behind = film_map((0.4,)), unit_places(xi, eta), unit_places(xi, -eta)
    for name in ("peak_pressure", "side_flow"):
        np.testing.assert_array_equal(getattr(table, name)(ahead), getattr(table, name)(behind))
    np.testing.assert_array_equal(table.peak_angle(ahead), -table.peak_angle(behind))


@pytest.mark.parametrize("ratio", [0.3, 0.8])
def test_slopes_are_the_differences_of_the_correction(ratio):
    table, step, draw = film_map((ratio,)), 1e-6, np.random.default_rng(5)
    size, lead = draw.uniform(0.1, 0.98, (1, 300)), draw.uniform(-3, 3, (1, 300))
    xi, eta = size * np.cos(lead), size * np.sin(lead)
    found = table.correction_slopes(unit_places(xi, eta))
    values = table.correction(unit_places(xi, eta))
    for over, (dx, dy) in enumerate(((step, 0.0), (0.0, step)), start=1):
        up = table.correction(unit_places(xi + dx, eta + dy))
        down = table.correction(unit_places(xi - dx, eta - dy))
        for part, own in enumerate(found):
            np.testing.assert_array_equal(own[0], values[part])
            difference = (up[part] - down[part]) / (2 * step)
            off = np.abs(own[over] - difference) / (1 + np.abs(difference))
            assert np.median(off) < 1e-6  # straight between points: corners alone differ
            assert np.quantile(off, 0.99) < 1e-3


def test_several_bearings_read_their_own_tables():
    xi, eta = np.full((3, 4), 0.7), np.full((3, 4), 0.2)
    together = film_map((0.5, 0.3, 0.5)).correction(unit_places(xi, eta))[0]
    for row, ratio in enumerate((0.5, 0.3, 0.5)):
        alone = film_map((ratio,)).correction(unit_places(xi[:1], eta[:1]))[0]
        np.testing.assert_allclose(together[row], alone[0], rtol=1e-12)


def test_widths_beyond_the_table_take_its_nearest():
    xi, eta = np.array([[0.7]]), np.array([[0.2]])
    for beyond, nearest in ((0.02, 0.1), (4.0, 1.5)):
        np.testing.assert_allclose(
            film_map((beyond,)).correction(unit_places(xi, eta)),
            film_map((nearest,)).correction(unit_places(xi, eta)),
        )


def test_slopes_of_the_fit_are_its_differences():
    xi, eta = np.linspace(-0.8, 0.8, 9), np.linspace(0.5, -0.5, 9)
    step = 1e-6
    up, down = (finite_length_mobility(xi + by, eta, 0.4) for by in (step, -step))
    left, right = (finite_length_mobility(xi, eta + by, 0.4) for by in (step, -step))
    along_xi, ahead_xi, ahead_eta = finite_length_slopes(xi, eta, 0.4)
    np.testing.assert_allclose(along_xi, (up[0] - down[0]) / (2 * step), rtol=1e-6)
    np.testing.assert_allclose(ahead_xi, (up[1] - down[1]) / (2 * step), rtol=1e-5, atol=1e-8)
    np.testing.assert_allclose(ahead_eta, (left[1] - right[1]) / (2 * step), rtol=1e-6)
