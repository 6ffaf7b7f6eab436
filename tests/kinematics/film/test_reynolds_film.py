"""Reynolds' film: its limits, its identities, its grid, and the table made from it."""

import math
from pathlib import Path

import numpy as np
import pytest

import kinematics
from kinematics import DesignError
from kinematics.film.mobility import finite_length_mobility
from kinematics.film.reynolds_film import film_grid, solve_film
from kinematics.film.short_bearing import (
    attitude_angle,
    load_function,
    peak_pressure_angle,
    squeeze_impulse,
)

SHORT = 0.02
AGAINST_ROTATION = np.array([0.0, -1.0])
ASKEW = np.array([0.6, -0.8])
FILMS = [(0.0, 0.5), (0.3, 1.5), (0.9, 0.5), (0.99, 0.25), (0.9991, 1.0)]
films = pytest.mark.parametrize(("eccentricity", "width_ratio"), FILMS)


def size_of(vector):
    return float(np.hypot(*vector))


@pytest.mark.parametrize("eccentricity", [0.1, 0.5, 0.8])
def test_a_slim_steady_bearing_is_ocvirks(eccentricity):
    """F = 4 f (L/D)³ / ε; the peak is 6 (L/D)² sin θ / H³ at Ocvirk's angle."""
    film = solve_film(eccentricity, AGAINST_ROTATION, SHORT)
    e = np.array(eccentricity)
    assert size_of(film.force) == pytest.approx(4 * SHORT**3 / e * load_function(e), rel=5e-3)
    assert -film.load_angle == pytest.approx(attitude_angle(e), abs=2e-3)
    place = peak_pressure_angle(e)
    height = 6 * SHORT**2 * math.sin(place) / (1 + eccentricity * math.cos(place)) ** 3
    assert film.peak == pytest.approx(height, rel=5e-3)
    assert film.peak_angle == pytest.approx(place - math.pi, abs=5e-3)
    assert film.side_flow == pytest.approx(2, rel=2e-3)


@pytest.mark.parametrize("eccentricity", [0.2, 0.6, 0.9])
def test_a_slim_squeezed_bearing_has_the_closed_impulse(eccentricity):
    """F = 8 (L/D)³ dI/dε, I the impulse in units of μ R L³/c²."""
    film = solve_film(eccentricity, np.array([1.0, 0.0]), SHORT)
    around = np.array([eccentricity + 1e-5, eccentricity - 1e-5])
    slope = -np.diff(squeeze_impulse(around))[0] / 2e-5
    assert film.force[0] == pytest.approx(8 * SHORT**3 * slope, rel=5e-3)
    assert film.force[1] == pytest.approx(0, abs=1e-9 * film.force[0])


@pytest.mark.parametrize(
    ("xi", "eta", "along", "ahead"),
    [(0.0, 0.0, 0.31831, 0.0), (0.6, 0.0, 0.03122, 0.0), (-0.5, 0.0, 0.89627, 0.0),
     (0.0, 0.6, 0.33078, -0.24795), (0.6, 0.5, 0.03371, -0.05408)],
)  # fmt: skip
def test_a_slim_bearings_mobility_is_that_of_quadrature(xi, eta, along, ahead):
    """(L/D)² M by quadrature of the short bearing's equation, computed independently."""
    turn = math.atan2(eta, xi)
    load = np.array([math.cos(turn), -math.sin(turn)])  # from the eccentricity
    aside = np.array([math.sin(turn), math.cos(turn)])
    film = solve_film(math.hypot(xi, eta), along * load + ahead * aside, SHORT)
    assert math.remainder(film.load_angle + turn, 2 * math.pi) == pytest.approx(0, abs=3e-3)
    assert film.mobility @ load * SHORT**2 == pytest.approx(along, rel=5e-3)
    assert film.mobility @ aside * SHORT**2 == pytest.approx(ahead, rel=5e-3, abs=1e-4)


@films
def test_either_pressure_or_lack_and_never_less_than_none(eccentricity, width_ratio):
    film = solve_film(eccentricity, ASKEW, width_ratio)
    assert film.pressure.min() == 0
    assert film.lack.min() == 0
    assert not (film.pressure * film.lack).any()
    assert (film.pressure[film.filled] > 0).all()


@films
def test_what_leaves_at_the_sides_is_the_room_that_opens(eccentricity, width_ratio):
    """The gap keeps its volume, so Q L/D is the sum of all lack: every filled cell balances."""
    film = solve_film(eccentricity, ASKEW, width_ratio)
    assert film.lack.sum() == pytest.approx(film.side_flow * width_ratio, rel=1e-9)


@films
def test_what_leaves_at_the_sides_is_what_the_filled_film_squeezes(eccentricity, width_ratio):
    """No flow crosses where the film tears, since pressure meets none there without a slope.

    In cells the slope is that of the last cell, so what crosses dwindles at first order.
    """
    crossing = []
    for cells in ((128, 12), (512, 48)):
        film = solve_film(eccentricity, ASKEW, width_ratio, cells=cells)
        faces, steps = film.grid.angle_faces, np.diff(film.grid.width_faces)
        normal = np.stack((np.diff(np.sin(faces)), -np.diff(np.cos(faces))), axis=1)
        squeezed = (np.outer(normal @ film.velocity, steps) * film.filled).sum()
        crossing.append(squeezed / (film.side_flow * width_ratio) - 1)
    assert 0 <= crossing[1] < 0.4 * crossing[0]
    assert crossing[1] < 8e-3


@films
def test_the_journals_power_is_lost_in_the_film(eccentricity, width_ratio):
    """F · V is the integral of H³ |∇P|² / 12, taken from the field as it stands."""
    film = solve_film(eccentricity, ASKEW, width_ratio, cells=(384, 32))
    grid, pressure = film.grid, film.pressure
    sides = np.concatenate(([-grid.width[0]], grid.width, [width_ratio]))
    ring = np.concatenate(
        ([grid.angle[-1] - 2 * math.pi], grid.angle, [grid.angle[0] + 2 * math.pi])
    )
    padded = np.pad(pressure, ((1, 1), (0, 0)), mode="wrap")
    padded = np.hstack((padded[:, :1], padded, np.zeros((len(ring), 1))))
    ahead, outward = np.gradient(padded, ring, sides)
    lost = (ahead**2 + outward**2)[1:-1, 1:-1] * grid.film(grid.angle)[:, None] ** 3 / 12
    area = np.outer(np.diff(grid.angle_faces), np.diff(grid.width_faces))
    assert 2 * (lost * area).sum() == pytest.approx(film.force @ film.velocity, rel=6e-3)


@films
def test_the_other_sense_is_the_mirror_image(eccentricity, width_ratio):
    one = solve_film(eccentricity, ASKEW, width_ratio)
    other = solve_film(eccentricity, ASKEW * [1, -1], width_ratio)
    np.testing.assert_allclose(other.pressure[::-1], one.pressure, atol=1e-9 * one.peak)
    np.testing.assert_allclose(other.force, one.force * [1, -1], rtol=1e-9)
    assert other.peak_angle == pytest.approx(-one.peak_angle, abs=1e-9)


def test_in_the_middle_all_directions_are_alike():
    films = [solve_film(0, np.array([math.cos(a), math.sin(a)]), 0.5) for a in (0, 1, 2.5, 4)]
    for film in films:
        np.testing.assert_allclose(size_of(film.force), size_of(films[0].force), rtol=1e-4)
        np.testing.assert_allclose(film.mobility / size_of(film.mobility), film.velocity, atol=1e-3)


@films
def test_finer_cells_close_in_at_second_order(eccentricity, width_ratio):
    """Measured along the eccentricity: 2.0 in load and peak."""
    loads, peaks = [], []
    for cells in ((64, 8), (128, 16), (256, 32)):
        film = solve_film(eccentricity, np.array([1.0, 0.0]), width_ratio, cells=cells)
        loads.append(film.force[0])
        peaks.append(film.peak)
    for found in (loads, peaks):
        order = math.log2((found[1] - found[0]) / (found[2] - found[1]))
        assert order == pytest.approx(2, abs=0.15)
    assert loads[2] == pytest.approx(loads[1], rel=2e-3)


@films
@pytest.mark.parametrize("guess", [True, False])
def test_a_poor_guess_leads_to_the_same_film(eccentricity, width_ratio, guess):
    cells = (96, 8)
    known = solve_film(eccentricity, ASKEW, width_ratio, cells=cells)
    film = solve_film(eccentricity, ASKEW, width_ratio, cells=cells, start=np.full(cells, guess))
    assert (film.filled == known.filled).all()
    np.testing.assert_allclose(film.pressure, known.pressure, atol=1e-9 * known.peak)


@films
def test_a_groove_takes_pressure_away_and_gives_none(eccentricity, width_ratio):
    whole = solve_film(eccentricity, AGAINST_ROTATION, width_ratio)
    grooved = solve_film(eccentricity, AGAINST_ROTATION, width_ratio, groove=True)
    assert (grooved.pressure <= whole.pressure + 1e-12 * whole.peak).all()
    assert grooved.side_flow < whole.side_flow


def test_the_grid_is_even_in_the_middle_and_fine_where_the_film_is_thin():
    even, thin = film_grid(0.0, 0.5), film_grid(0.999, 0.5)
    np.testing.assert_allclose(np.diff(even.angle_faces), 2 * math.pi / 192, rtol=1e-9)
    steps = np.diff(thin.angle_faces)
    assert steps.min() < math.sqrt(2 * 0.001) / 20
    assert steps.max() < 2.1 * 2 * math.pi / 192
    np.testing.assert_allclose(thin.angle_faces, -thin.angle_faces[::-1], atol=1e-12)
    assert thin.width_faces[-1] == pytest.approx(0.5, rel=1e-12)


@pytest.mark.parametrize(
    ("eccentricity", "velocity", "width_ratio", "field"),
    [(1.0, ASKEW, 0.5, "eccentricity"), (-0.1, ASKEW, 0.5, "eccentricity"),
     (0.5, ASKEW, 0.0, "width_ratio"), (0.5, 0 * ASKEW, 0.5, "velocity"),
     (math.nan, ASKEW, 0.5, "eccentricity")],
)  # fmt: skip
def test_what_is_no_bearing_is_refused(eccentricity, velocity, width_ratio, field):
    with pytest.raises(DesignError) as refused:
        solve_film(eccentricity, velocity, width_ratio)
    assert refused.value.field == field


@pytest.fixture(scope="module")
def table():
    with np.load(Path(kinematics.__file__).parent / "film" / "film_map.npz") as stored:
        return dict(stored)


@pytest.mark.parametrize("i", [0, 4, 6, 9, 11])
@pytest.mark.parametrize(("j", "k"), [(1, 20), (4, 6), (8, 0), (12, 3), (20, 2), (28, 1), (28, 36)])
def test_the_table_holds_the_solved_films(table, i, j, k):
    """The velocity of an entry gives back its load's direction, size, peak and flow."""
    width_ratio, angle = table["width_ratio"][i], table["load_angle"][k]
    eccentricity = -math.expm1(-table["thinness"][j])
    xi, eta = eccentricity * math.cos(angle), eccentricity * math.sin(angle)
    fit = finite_length_mobility(np.array(xi), np.array(eta), width_ratio)
    straight, aside = fit[0] * table["along"][i, j, k], fit[1] * table["ahead"][i, j, k]
    load = np.array([math.cos(angle), -math.sin(angle)])
    velocity = straight * load + aside * np.array([math.sin(angle), math.cos(angle)])
    film = solve_film(eccentricity, velocity, width_ratio, cells=(256, 24))
    turned = math.remainder(film.load_angle + angle, 2 * math.pi)
    assert turned == pytest.approx(0, abs=2e-3)
    assert size_of(film.mobility) == pytest.approx(math.hypot(straight, aside), rel=6e-3)
    assert film.peak_over_mean == pytest.approx(table["peak"][i, j, k], rel=0.01)
    assert film.side_flow == pytest.approx(table["flow"][i, j, k], rel=2e-3)
