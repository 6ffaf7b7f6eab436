"""Tilt, crown and edges: geometry by hand, beam theory, the best crown in closed form."""

import dataclasses
import math

import numpy as np
import pytest

from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import journal_films, load_design, solve_cycle
from kinematics.design.design_bearings import PlainBearing
from kinematics.design.design_parts import STEEL_MODULUS
from kinematics.film.journal_film import BearingFilms
from kinematics.film.journal_shape import (
    MEAN_DROP,
    crown_choice,
    edge_films,
    journal_tilts,
)
from tests.conftest import changed

HILL = load_design(FOLDER / "hill_climb_six.toml")
CYCLE = solve_cycle(HILL, 8500)
FILMS = journal_films(CYCLE)


def still(eccentricity: tuple[float, float], clearance: float = 30e-6) -> BearingFilms:
    """One bearing whose journal does not move, with nothing else to tell."""
    ratio = np.array(eccentricity)[None, :, None] * np.ones((1, 2, 4))
    none = np.zeros((1, 4))
    return BearingFilms(
        PlainBearing(diameter=0.05, width=0.02, radial_clearance=clearance),
        np.arange(4.0), np.zeros((1, 2, 4)), ratio, *(none,) * 6, *(np.zeros(1),) * 6,
        speed=1.0,
    )  # fmt: skip


def test_without_tilt_and_crown_the_edge_film_is_the_film():
    found = edge_films(FILMS.mains, np.zeros_like(FILMS.mains.load), 0.0)
    np.testing.assert_allclose(found, FILMS.mains.film, rtol=1e-12)


def test_a_tilt_in_the_load_plane_takes_half_the_width_times_the_slope():
    """c (1 - ε) - γ L/2, and across that plane by Pythagoras."""
    films, slope = still((0.0, -0.9)), 1e-4
    along, across = np.zeros((1, 2, 4)), np.zeros((1, 2, 4))
    along[:, 1], across[:, 0] = slope, slope
    np.testing.assert_allclose(edge_films(films, along, 0.0), 3e-6 - 1e-6, rtol=1e-9)
    expected = 30e-6 - math.hypot(27e-6, 1e-6)
    np.testing.assert_allclose(edge_films(films, across, 0.0), expected, rtol=1e-9)


def test_a_crown_lifts_the_edges_by_four_fifths_and_lowers_the_middle_by_a_fifth():
    films = still((0.0, -0.9))
    none = np.zeros((1, 2, 4))
    np.testing.assert_allclose(edge_films(films, none, 5e-6), 3e-6 - 1e-6, rtol=1e-9)
    slope = none.copy()
    slope[:, 1] = 1e-3  # 10 µm at the edge: it stays the thinnest place
    np.testing.assert_allclose(edge_films(films, slope, 1e-6), 3e-6 - 10e-6 + 0.8e-6, rtol=1e-9)


def test_the_best_crown_of_a_steady_tilt_in_closed_form():
    """h(s) = h - a s + k (s² - 1/5): best k = a √(5/4), which leaves h - a/√5."""
    films, slope = still((0.0, -0.9)), np.zeros((1, 2, 4))
    slope[:, 1] = 2e-4  # a = 2 µm
    choice = crown_choice(films, slope, 0)
    step = choice.crown[1]
    assert choice.crown[choice.best] == pytest.approx(2e-6 * math.sqrt(1.25), abs=1.5 * step)
    assert choice.minimum_film[choice.best] == pytest.approx(3e-6 - 2e-6 / math.sqrt(5), rel=0.02)
    np.testing.assert_allclose(choice.middle_film, 3e-6 - MEAN_DROP * choice.crown, rtol=1e-9)


def test_the_choice_without_crown_is_the_edge_film():
    tilts = journal_tilts(CYCLE, FILMS)
    edges = edge_films(FILMS.big_ends, tilts.big_ends, 0.0).min(axis=-1)
    for i in range(6):
        assert crown_choice(FILMS.big_ends, tilts.big_ends, i).minimum_film[0] == pytest.approx(
            edges[i], rel=1e-9
        )


def test_a_throw_tilts_as_its_mains_stand_apart():
    """Big end 1: what main 2 is off less what main 1 is, over the spacing; determinate."""
    cycle = solve_cycle(changed(HILL, "crank", main_loads="cut_at_mains"), 8500)
    shift = 30e-6 * FILMS.mains.eccentricity
    slope = (shift[1] - shift[0]) / 0.097
    found = journal_tilts(cycle, FILMS).big_ends[0]
    np.testing.assert_allclose(np.hypot(*found), np.hypot(*slope), rtol=1e-9)
    along_rod = CYCLE.motion.rod_angle[0]
    # the rod's axis leans against the rotation by the rod angle
    np.testing.assert_allclose(
        found[1], slope[1] * np.cos(along_rod) - slope[0] * np.sin(along_rod), atol=1e-12
    )


def test_without_clearance_only_bending_tilts_the_mains():
    """At the front main, the slope F s² / (16 E I) of the first throw's end."""
    cut = changed(HILL, "crank", main_loads="cut_at_mains")
    design = changed(cut, "main_bearing", radial_clearance=1e-6)
    cycle = solve_cycle(design, 8500)
    films = journal_films(cycle)
    stiff = dataclasses.replace(
        films, mains=dataclasses.replace(films.mains, eccentricity=0 * films.mains.eccentricity)
    )
    found = journal_tilts(cycle, stiff).mains
    # the mains' loads are what the throws do to them: throw 1 is carried half by main 1
    force = 2 * cycle.bearings.main_load("block")[0]
    bore = HILL.crank_throw.pin_bore
    second_moment = math.pi / 64 * (0.048**4 - bore**4)
    slope = force * 0.097**2 / (16 * STEEL_MODULUS * second_moment)
    # counterweights on the webs are not shared half and half: 2 % of the largest
    np.testing.assert_allclose(found[0], slope, rtol=0, atol=0.15 * np.abs(slope).max())


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_tilts_are_small_and_finite_in_every_demo(stem):
    design = load_design(FOLDER / f"{stem}.toml")
    cycle = solve_cycle(design, design.layout.rated_speed * 30 / math.pi)
    films = journal_films(cycle)
    tilts = journal_tilts(cycle, films)
    for own, tilt in ((films.big_ends, tilts.big_ends), (films.mains, tilts.mains)):
        assert tilt.shape == own.load.shape
        assert np.abs(tilt).max() < 3 * 2 * films.mains.bearing.radial_clearance / 0.05
        edges = edge_films(own, tilt, own.bearing.crown)
        assert np.all(edges <= own.film + 1e-12)


def as_continuous(stem: str = "hill_climb_six", **crank: float):
    design = load_design(FOLDER / f"{stem}.toml")
    whole = changed(design, "crank", main_loads="continuous", **crank)
    return solve_cycle(whole, whole.layout.rated_speed * 30 / math.pi)


def test_continuous_journals_that_run_where_springs_hold_them_tilt_as_the_shaft_on_springs():
    """The shaft's slopes follow from where its mains stand, whatever holds them there."""
    cycle = as_continuous()
    shaft, speed = cycle.train.continuous_shaft, cycle.speed
    films = journal_films(cycle)
    at_springs = dataclasses.replace(
        films.mains,
        eccentricity=shaft.deflection.at(speed) / films.mains.bearing.radial_clearance,
    )
    tilts = journal_tilts(cycle, dataclasses.replace(films, mains=at_springs))
    expected = shaft.slope.at(speed)
    np.testing.assert_allclose(tilts.mains, expected, atol=1e-9 * np.abs(expected).max())


def test_continuous_a_shaft_whose_mains_stand_on_a_slant_tilts_with_them():
    """Shifts in proportion to z bend nothing: all journals, and pins, get that slope besides."""
    cycle = as_continuous()
    films = journal_films(cycle)
    z = (np.arange(7) - 3) * cycle.design.layout.throw_spacing
    slant = np.zeros_like(films.mains.eccentricity)
    slant[:, 1] = 1e-4 * z[:, None] / films.mains.bearing.radial_clearance
    turned_too = dataclasses.replace(films.mains, eccentricity=films.mains.eccentricity + slant)
    without = journal_tilts(cycle, films)
    found = journal_tilts(cycle, dataclasses.replace(films, mains=turned_too))
    added = found.mains - without.mains
    np.testing.assert_allclose(added[:, 0], 0, atol=1e-12)
    np.testing.assert_allclose(added[:, 1], 1e-4, rtol=1e-7)
    size = np.hypot(*np.moveaxis(found.big_ends - without.big_ends, 1, 0))
    np.testing.assert_allclose(size, 1e-4, rtol=1e-7)
