"""Closed orbits: published rotating loads, a stiff solver, grid refinement, sharing of rows."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicSpline

from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import DesignError, load_design, solve_cycle
from kinematics.design.design_bearings import FILM_MODELS
from kinematics.film.journal_film import journal_films
from kinematics.film.journal_orbit import LoadedJournals, closed_orbits
from kinematics.film.mobility import film_model, journal_velocity, mobility_rate
from kinematics.film.running_bearings import running_bearings, symmetric_copies
from kinematics.film.short_bearing import FilmBearing
from kinematics.train.cycle import Cycle, RigidTrain, rigid_train
from tests.conftest import determinate

DEMOS = {stem: load_design(FOLDER / f"{stem}.toml") for stem in DEMO_DESIGNS}
DIESEL = FilmBearing(0.1016, 0.05715, 82.55e-6, 0.015)
SPEED, LOAD = 62.8319, 20e3


def turning(turns: int, load_turns: int, points: int = 720) -> LoadedJournals:
    """A constant load that turns `load_turns` times in so many turns of the journal."""
    angle = np.arange(points) * 2 * math.pi * load_turns / points
    load = LOAD * np.stack((np.sin(angle), np.cos(angle)))[None]
    rate = mobility_rate(DIESEL.radius, DIESEL.width, DIESEL.radial_clearance, DIESEL.viscosity)
    return LoadedJournals(
        load,
        np.ones((1, points)),
        np.array([rate / SPEED]),
        np.array([DIESEL.width_ratio]),
        2 * math.pi * turns,
    )


def orbits(journals, model, **options):
    return closed_orbits(journals, film_model(model, journals.width_ratio), **options)


def eccentricity(orbit):
    return np.hypot(orbit[:, 0], orbit[:, 1])


@pytest.mark.parametrize(
    ("turns", "load_turns", "expected"),
    [(1, 0, 0.823666), (1, 1, 0.823666), (4, 1, 0.873781), (4, 3, 0.873781), (1, -1, 0.704508)],
)
def test_rotating_loads_run_at_the_steady_eccentricity(turns, load_turns, expected):
    """J. F. Booker 1965, a load that turns is a steady one at the speed left over (from memory);
    figures recomputed. The trapezium rule on 720 points costs up to 1.2e-5.
    """
    found = eccentricity(orbits(turning(turns, load_turns), "short_bearing"))
    np.testing.assert_allclose(found, expected, rtol=0, atol=1.3e-5)


@pytest.mark.parametrize("model", FILM_MODELS)
def test_a_load_at_half_speed_squeezes_all_oil_out(model):
    """Tribology Handbook (ed. Neale), sheet A11: loads near half speed have no film."""
    with pytest.raises(DesignError, match="no oil film can be computed"):
        orbits(turning(2, 1), model)


@pytest.mark.parametrize("model", FILM_MODELS)
def test_symmetric_load_speeds_are_alike(model):
    """About half the journal's speed only the difference counts: 1/4 and 3/4, 0 and 1."""
    quarter, rest = (eccentricity(orbits(turning(4, load_turns), model)) for load_turns in (1, 3))
    np.testing.assert_allclose(quarter, rest, rtol=0, atol=2e-5)


@pytest.mark.parametrize(
    ("stem", "rpm", "row", "model"),
    [
        ("hill_climb_six", 8500, 0, "reynolds"),
        ("hill_climb_six", 3000, 2, "finite_length"),
        ("pilot_boat_six", 2300, 0, "reynolds"),
        ("touring_six", 5800, 3, "reynolds"),
        ("touring_six", 1200, 0, "short_bearing"),
    ],
)
def test_orbit_against_a_stiff_solver(stem, rpm, row, model):
    """scipy's LSODA from the middle over two cycles; 0.3 % of the least film.

    Places agree to 8e-3, where the journal crosses its clearance within a few degrees, and to
    1e-4 in the median.
    """
    design = DEMOS[stem]
    train, speed = rigid_train(design), rpm * math.pi / 30
    bearings = running_bearings(train, np.array([speed]))
    journals = bearings.journals(np.full(len(bearings.speed), design.oil.viscosity))
    found = orbits(journals, model)[row]
    bearing = FilmBearing(
        *(float(getattr(bearings, name)[row]) for name in ("radius", "width", "clearance")),
        design.oil.viscosity,
    )
    angle = np.append(train.crank_angle, design.layout.cycle_angle)
    driven = np.vstack((bearings.load[row], bearings.slip[row]))
    closed = np.concatenate((driven, driven[:, :1]), axis=1)
    at = CubicSpline(angle, closed, axis=1, bc_type="periodic")

    def moves(phi, place):
        x, y, slip = at(phi % design.layout.cycle_angle)
        drag = slip / 2 * speed
        return (
            journal_velocity(bearing, place[:, None], np.array([[x], [y]]), drag, model=model)[:, 0]
            / speed
        )

    cycle = design.layout.cycle_angle
    solved = solve_ivp(
        moves, (0, 2 * cycle), [0.0, 0.3], method="LSODA", rtol=1e-7, atol=1e-9,
        t_eval=cycle + train.crank_angle, max_step=math.radians(5),
    ).y  # fmt: skip
    np.testing.assert_allclose(found, solved, rtol=0, atol=8e-3)
    assert np.median(np.abs(found - solved)) < 1e-4
    least, expected = (1 - np.hypot(*orbit).max() for orbit in (found, solved))
    assert least == pytest.approx(expected, rel=3e-3)


def test_halving_the_step_quarters_the_error():
    """Second order, on a smooth load."""

    def orbit(points):
        angle = np.arange(points) * 2 * math.pi / points
        load = 30e3 * np.stack((0.3 * np.sin(angle) + 0.2, np.cos(angle)))[None]
        journals = turning(1, 0, points)
        return orbits(
            LoadedJournals(load, journals.slip, journals.mobility_rate, journals.width_ratio,
                           journals.cycle_angle),
            "finite_length", closed=1e-9,
        )  # fmt: skip

    exact = orbit(2880)[..., ::16]
    coarse, fine = (
        np.abs(orbit(points)[..., :: points // 180] - exact).max() for points in (360, 720)
    )
    assert 3.5 < coarse / fine < 4.6
    assert fine < 2e-4


def test_an_orbit_is_closed_and_obeys_the_equation():
    """The trapezium rule is met at every point, the step from last to first included."""
    journals = turning(4, 1)
    orbit = orbits(journals, "finite_length", closed=1e-10)
    speed = (
        journal_velocity(DIESEL, orbit[0], journals.load[0], SPEED / 2, model="finite_length")
        / SPEED
    )
    move = orbit[0] - np.roll(orbit[0], 1, axis=-1)
    mean = (speed + np.roll(speed, 1, axis=-1)) / 2 * journals.step
    np.testing.assert_allclose(move, mean, rtol=0, atol=1e-11)


def test_an_unknown_model_is_named():
    with pytest.raises(DesignError, match="must be one of reynolds, finite_length, short_bearing"):
        orbits(turning(1, 0), "guess")


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_bearings_that_share_a_film_would_have_it_alone(stem, monkeypatch):
    """Films with every row solved for itself are those of the shared rows."""
    design = DEMOS[stem]
    rated = design.layout.rated_speed * 30 / math.pi
    shared = journal_films(solve_cycle(design, rated))
    alone = RigidTrain(design)
    monkeypatch.setattr(
        "kinematics.film.running_bearings.symmetric_copies",
        lambda train, kind: tuple(
            (i, 0) for i in range(design.layout.cylinders if kind == "big_end"
                                  else design.layout.throws + 1)
        ),
    )  # fmt: skip
    own = journal_films(Cycle(alone, design.layout.rated_speed))
    for kind in ("big_ends", "mains"):
        np.testing.assert_allclose(
            getattr(shared, kind).film, getattr(own, kind).film, rtol=1e-4, atol=1e-10
        )


def test_a_six_needs_one_big_end_and_four_mains():
    """Mains in mirror places of a determinate shaft do the same a turn later."""
    train = rigid_train(determinate(DEMOS["hill_climb_six"]))
    assert len({owner for owner, _ in symmetric_copies(train, "big_end")}) == 1
    assert [owner for owner, _ in symmetric_copies(train, "main")] == [0, 1, 2, 3, 2, 1, 0]


def test_without_bearings_or_oil_it_says_what_is_missing():
    for group in ("big_end", "main_bearing", "oil"):
        design = replace(DEMOS["touring_six"], **{group: None})
        with pytest.raises(DesignError, match=group):
            journal_films(solve_cycle(design, 3000))
