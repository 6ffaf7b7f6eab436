"""Booker's mobility: the fitted map, its equilibrium, squeezing, and rotating loads.

J. F. Booker, Dynamically loaded journal bearings: mobility method of solution, ASME J. Basic Eng.
87, 1965 (relations from memory). Orbits are integrated here by scipy's stiff solver.
"""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import fsolve

from kinematics import DesignError
from kinematics.design.design_bearings import FILM_MODELS
from kinematics.film.mobility import (
    finite_length_mobility,
    journal_velocity,
    short_bearing_mobility,
)
from kinematics.film.short_bearing import FilmBearing, load_number

DIESEL = FilmBearing(0.1016, 0.05715, 82.55e-6, 0.015)
SPEED, LOAD = 62.8319, 20000.0
UPWARD = np.array([0.0, LOAD])


def velocity(e, drag):
    return journal_velocity(DIESEL, np.asarray(e), UPWARD, drag, model="short_bearing")


def settled(drag, seconds=4.0):
    """The eccentricity ratio after a time under a load that stands still in these axes."""
    found = solve_ivp(
        lambda _t, e: velocity(e, drag), (0, seconds), [0.0, 0.0], method="LSODA",
        rtol=1e-10, atol=1e-12,
    )  # fmt: skip
    return found.y[:, -1]


@pytest.mark.parametrize(
    ("xi", "eta", "along", "ahead"),
    [
        (0.0, 0.0, 0.31831, 0.0),
        (0.3, 0.0, 0.13050, 0.0),
        (0.6, 0.0, 0.03221, 0.0),
        (0.9, 0.0, 0.00101, 0.0),
        (-0.5, 0.0, 0.87716, 0.0),
        (0.0, 0.6, 0.31831, -0.24317),
        (0.6, 0.5, 0.03221, -0.05126),
        (0.6, -0.6, 0.03221, 0.06152),
    ],
)
def test_the_fitted_map_to_its_printed_digits(xi, eta, along, ahead):
    found = short_bearing_mobility(np.array(xi), np.array(eta), 1.0)
    assert found[0] == pytest.approx(along, abs=6e-6)
    assert found[1] == pytest.approx(ahead, abs=6e-6)


def test_the_finite_map_tends_to_the_short_one():
    """0.150 · 2.12 is 1/π and 0.1125 · 3.6 is 4/π², both to 0.1 %."""
    xi, eta = np.linspace(-0.5, 0.95, 30), np.linspace(-0.3, 0.3, 30)
    for fit, short in zip(
        finite_length_mobility(xi, eta, 0.01), short_bearing_mobility(xi, eta, 0.01), strict=True
    ):
        np.testing.assert_allclose(fit, short, rtol=4e-3)


@pytest.mark.parametrize(
    ("xi", "eta", "number"), [(0.5, 0.44311, 24.7394), (0.8, 0.35449, 195.582)]
)
def test_the_locus_of_equilibrium(xi, eta, number):
    """η² = π ξ (1 - ξ)/4; within 2.5 % of Ocvirk's load number at the same eccentricity."""
    assert math.sqrt(math.pi * xi * (1 - xi) / 4) == pytest.approx(eta, abs=1e-5)
    along, ahead = short_bearing_mobility(np.array(xi), np.array(eta), 1.0)
    assert along / eta == pytest.approx(-ahead / xi, rel=1e-4)
    assert math.pi**2 * eta / (1 - xi) ** 2.5 == pytest.approx(number, rel=1e-4)
    assert load_number(np.array(math.hypot(xi, eta))) == pytest.approx(number, rel=0.025)


@pytest.mark.parametrize(
    ("turning", "expected"),
    [(0.0, 0.823666), (1.0, 0.823666), (0.25, 0.873781), (0.75, 0.873781), (-1.0, 0.704508)],
)
def test_a_load_that_turns_with_a_share_of_the_journals_speed(turning, expected):
    drag = SPEED / 2 - turning * SPEED
    e = settled(drag)
    assert np.hypot(*e) == pytest.approx(expected, abs=2e-6)
    np.testing.assert_allclose(fsolve(lambda one: velocity(one, drag), e), e, atol=1e-6)


def test_a_steady_load_leads_the_thinnest_film_by_the_attitude():
    """28.835° ahead of the load in the sense of rotation: toward +x with the load upward."""
    x, y = settled(SPEED / 2)
    assert math.degrees(math.atan2(x, y)) == pytest.approx(28.835, abs=1e-3)


@pytest.mark.parametrize(("time", "ratio"), [(0.1, 0.922944), (0.5, 0.973342), (2.0, 0.989398)])
def test_at_half_the_journals_speed_the_film_collapses(time, ratio):
    """No drag is left: pure squeeze, W t c²/(μ R L³) = (π/3) [(1 - ε)^-1.5 - 1]."""
    x, y = settled(0.0, time)
    assert x == pytest.approx(0, abs=1e-12)
    assert y == pytest.approx(ratio, abs=2e-6)
    impulse = LOAD * time * 82.55e-6**2 / (0.015 * 0.1016 * 0.05715**3)
    assert math.pi / 3 * ((1 - y) ** -1.5 - 1) == pytest.approx(impulse, rel=1e-6)


def test_axes_that_turn_change_nothing_but_the_axes():
    """In turned axes velocity and eccentricity turn alike."""
    e, load, drag = np.array([0.2, 0.5]), np.array([3000.0, -7000.0]), 40.0
    turn = np.array([[math.cos(0.7), math.sin(0.7)], [-math.sin(0.7), math.cos(0.7)]])
    for name in FILM_MODELS:
        straight = journal_velocity(DIESEL, e, load, drag, model=name)
        turned = journal_velocity(DIESEL, turn @ e, turn @ load, drag, model=name)
        np.testing.assert_allclose(turned, turn @ straight, rtol=1e-12)


def test_many_bearings_at_once_and_no_load():
    e = np.random.default_rng(1).uniform(-0.5, 0.5, (2, 5))
    load = np.random.default_rng(2).normal(size=(2, 5)) * 1e4
    load[:, 3] = 0.0
    together = journal_velocity(DIESEL, e, load, 10.0)
    for i in range(5):
        np.testing.assert_allclose(
            together[:, i], journal_velocity(DIESEL, e[:, i], load[:, i], 10.0)
        )
    np.testing.assert_allclose(together[:, 3], 10.0 * np.array([e[1, 3], -e[0, 3]]))


def test_an_unknown_map_and_no_bearing_are_refused():
    with pytest.raises(DesignError, match="must be one of reynolds, finite_length, short_bearing"):
        journal_velocity(DIESEL, np.zeros(2), UPWARD, 0.0, model="guess")
    with pytest.raises(DesignError, match="must be above 0"):
        FilmBearing(0.03, 0.02, 0.0, 0.01)
