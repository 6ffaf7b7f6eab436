"""Bounds of film and peak pressure: oil that thickens under pressure, shells that conform."""

import math

import numpy as np
import pytest

from assets_demo import DEMO_DESIGNS
from kinematics import journal_films, load_demo, solve_cycle
from kinematics.design.design_bearings import BARUS
from kinematics.film.film_bounds import conforming_peaks, thickened_films
from kinematics.film.running_bearings import PRESSURE_COEFFICIENT, running_bearings
from kinematics.train.cycle import rigid_train
from tests.conftest import changed

HILL = load_demo("hill_climb_six")


def test_the_conforming_shell_carries_the_load():
    """p cos θ over half the shell, a parabola over the width, summed up along the load."""
    steps = 400
    angle = ((np.arange(steps) + 0.5) / steps - 0.5) * math.pi
    width = (np.arange(steps) + 0.5) / steps * 2 - 1
    pressure = 6 / math.pi * np.outer(np.cos(angle), 1 - width**2)  # W/(L D) is 1
    load = (pressure * np.cos(angle)[:, None]).mean() * math.pi / 2
    assert load == pytest.approx(1.0, rel=1e-5)
    own = journal_films(solve_cycle(HILL, 8500)).big_ends
    expected = pressure.max() * own.specific_load.max(axis=-1)
    np.testing.assert_allclose(conforming_peaks(own), expected, rtol=1e-4)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_a_rigid_shell_has_more_peak_than_one_that_conforms(stem):
    design = load_demo(stem)
    films = journal_films(solve_cycle(design, design.layout.rated_speed * 30 / math.pi))
    for own in (films.big_ends, films.mains):
        assert np.all(own.peak_pressure.max(axis=-1) > conforming_peaks(own))


def test_oil_that_thickens_moves_the_film_as_a_smaller_load():
    """dε/dφ goes with W/μ: W exp(-α W/(L D)) at each instant."""
    train = rigid_train(changed(HILL, "oil", under_pressure=BARUS))
    bearings, even = (
        running_bearings(one, np.array([800.0])) for one in (train, rigid_train(HILL))
    )
    thick = np.full(len(even.speed), 0.01)
    mean = np.hypot(even.load[:, 0], even.load[:, 1]) / even.projected_area[:, None]
    less = np.exp(-PRESSURE_COEFFICIENT * mean)[:, None]
    np.testing.assert_allclose(
        bearings.journals(thick).load, even.journals(thick).load * less, rtol=1e-12
    )
    strided = bearings.journals(thick, 3).load
    np.testing.assert_allclose(strided, bearings.journals(thick).load[..., ::3], rtol=1e-12)


@pytest.mark.parametrize("kind", ["big_end", "main"])
def test_the_bound_is_near_the_film_of_such_an_oil(kind):
    """The bound keeps the viscosity of the even oil; with its own heat the film is a little off."""
    cycle = solve_cycle(HILL, 8500)
    own = journal_films(cycle).of(kind)
    bound = thickened_films(cycle.train, own, kind)
    assert np.all(bound > own.minimum_film)
    thick = solve_cycle(changed(HILL, "oil", under_pressure=BARUS), 8500)
    np.testing.assert_allclose(bound, journal_films(thick).of(kind).minimum_film, rtol=0.05)
