"""Film models: each keeps the protocol, one made here runs, a design's choice changes the film."""

import dataclasses
import math

import numpy as np
import pytest

from kinematics import DesignError, journal_films, load_demo, parse_design, solve_cycle
from kinematics.design.design_bearings import FILM_MODELS
from kinematics.design.design_file import design_text
from kinematics.film.film_heat import settled_films
from kinematics.film.film_model import FilmModel, JournalPlaces, even_friction_gap
from kinematics.film.film_survey import minimum_films
from kinematics.film.journal_orbit import LoadedJournals, closed_orbits
from kinematics.film.mobility import film_model, short_bearing_mobility
from kinematics.film.running_bearings import running_bearings
from kinematics.film.short_bearing import (
    FilmBearing,
    attitude_angle,
    peak_pressure,
    peak_pressure_angle,
    side_flow,
    steady_load,
)
from kinematics.train.cycle import rigid_train
from tests.conftest import changed

HILL = load_demo("hill_climb_six")
RATIO = np.array([0.4, 0.7])


def places() -> JournalPlaces:
    """Places all over the clearance, on two bearings."""
    size, angle = np.meshgrid(np.array([0.1, 0.6, 0.95]), np.linspace(-3.0, 3.0, 9))
    xi, eta = (np.tile((size * f(angle)).ravel(), (2, 1)) for f in (np.cos, np.sin))
    load = np.linspace(0.5, 40.0, xi.shape[1]) * np.ones((2, 1))
    return JournalPlaces(xi, eta, np.ones_like(xi), np.zeros_like(xi), load)


class SprungDashpot:
    """A toy film: velocity in proportion to the load, and back to the middle as a spring."""

    softness, spring = 1e-4, 0.2

    def of_rows(self, rows):
        return self

    def velocity(self, at):
        return self.softness * at.load - self.spring * at.xi, -self.spring * at.eta

    def velocity_and_slopes(self, at):
        none = 0.0 * at.load
        return self.velocity(at), (none - self.spring, None, none, none - self.spring)

    def peak_pressure(self, at):
        return 1.5 + 0.0 * at.load

    def peak_angle(self, at):
        return 0.25 + 0.0 * at.load

    def side_flow(self, at):
        return 2.0 + 0.0 * at.load

    def friction_gap(self, at, velocity):
        return even_friction_gap(at)


def test_a_film_made_here_runs_in_the_solver():
    """A steady load W along y, by hand: s W = k ξ + η / 2 and k η = ξ / 2."""
    points, load = 360, 900.0
    steady = np.stack((np.zeros(points), np.full(points, load)))[None]
    rate, toy = 2.0, SprungDashpot()
    journals = LoadedJournals(
        steady, np.ones((1, points)), np.array([rate]), np.array([0.5]), 4 * math.pi
    )
    orbit = closed_orbits(journals, toy)
    xi = toy.softness * load * rate / (toy.spring + 0.25 / toy.spring)
    assert isinstance(toy, FilmModel)
    np.testing.assert_allclose(orbit[0, 1], xi, rtol=1e-9)
    np.testing.assert_allclose(orbit[0, 0], xi / 2 / toy.spring, rtol=1e-9)


def test_a_film_made_here_settles_with_its_heat():
    """Loss is load times its own velocity, flow its own shape of it, drag by its own gap."""
    bearings = running_bearings(rigid_train(HILL), np.array([800.0]), ("big_end",))
    toy, feed = SprungDashpot(), np.full(len(bearings.speed), 4e5)
    found = settled_films(bearings, HILL.oil, feed, toy)
    journals = bearings.journals(found.viscosity)
    load = np.hypot(journals.load[:, 0], journals.load[:, 1])
    xi = (journals.load * found.orbit).sum(axis=1) / load
    along = toy.softness * load * journals.mobility_rate[:, None] - toy.spring * xi
    metres = (bearings.clearance * bearings.speed)[:, None]
    np.testing.assert_allclose(found.state.squeeze_loss, load * metres * along, rtol=1e-9)
    speed = np.hypot(*toy.velocity(found.state.at)) * metres
    area = (bearings.radius * bearings.width)[:, None]
    np.testing.assert_allclose(found.state.side_flow, 2.0 * area * speed, rtol=1e-12)
    gap = np.sqrt(1 - (found.orbit**2).sum(axis=1))
    concentric = found.state.drag_loss * gap
    slip = (journals.slip * bearings.speed[:, None]) ** 2
    ratio = concentric / slip  # of a film even all round: the same at every angle
    np.testing.assert_allclose(ratio, ratio[:, :1] * np.ones_like(ratio), rtol=1e-12)


@pytest.mark.parametrize("name", FILM_MODELS)
def test_every_model_keeps_the_protocol(name):
    film, at = film_model(name, RATIO), places()
    assert isinstance(film, FilmModel)
    velocity, slopes = film.velocity_and_slopes(at)
    np.testing.assert_allclose(velocity, film.velocity(at), rtol=1e-14)
    gap = film.friction_gap(at, velocity)
    answers = (film.peak_pressure(at), film.peak_angle(at), film.side_flow(at), gap)
    for values in (*velocity, *(slope for slope in slopes if slope is not None), *answers):
        assert values.shape == at.xi.shape
        assert np.isfinite(values).all()
    some, row = (
        film.of_rows(np.array([1])),
        JournalPlaces(*(getattr(at, field.name)[1:] for field in dataclasses.fields(at))),
    )
    np.testing.assert_allclose(some.velocity(row), np.array(velocity)[:, 1:], rtol=1e-14)
    np.testing.assert_allclose(some.side_flow(row), film.side_flow(at)[1:], rtol=1e-14)
    assert (velocity[0] > 0).all()  # a film gives way to its load
    assert (film.peak_pressure(at) > 1).all()  # the peak is above the mean
    assert (film.side_flow(at) > 0).all()


def test_slopes_of_the_fit_are_its_differences():
    film, at, step = film_model("finite_length", RATIO), places(), 1e-6

    def moved(field, by):
        return film.velocity(
            JournalPlaces(
                **{
                    one.name: getattr(at, one.name) + (by if one.name == field else 0.0)
                    for one in dataclasses.fields(at)
                }
            )
        )

    _, (along_xi, along_eta, ahead_xi, ahead_eta) = film.velocity_and_slopes(at)
    for field, own in (("xi", (along_xi, ahead_xi)), ("eta", (along_eta, ahead_eta))):
        differences = [
            (up - down) / (2 * step)
            for up, down in zip(moved(field, step), moved(field, -step), strict=True)
        ]
        for slope, difference in zip(own, differences, strict=True):
            expected = 0.0 if slope is None else slope
            np.testing.assert_allclose(difference, expected, rtol=1e-5, atol=1e-6)


@pytest.mark.parametrize("eccentricity", [0.2, 0.6, 0.9])
def test_the_short_film_at_a_steady_load_is_ocvirks(eccentricity):
    """Peak pressure, its place and the flow of the steady short bearing in closed form.

    3 % and 0.03 rad: the mobility is Booker's fit, within 7 % of the exact one.
    """
    bearing, speed = FilmBearing(0.03, 0.02, 30e-6, 0.01), 500.0
    ratio = np.array([bearing.width_ratio])
    attitude = float(attitude_angle(np.array(eccentricity)))
    xi, eta = (np.array([[eccentricity * f(attitude)]]) for f in (math.cos, math.sin))
    film, one = film_model("short_bearing", ratio), np.ones((1, 1))
    at = JournalPlaces(xi, eta, one, 0 * one, one)
    size = np.array(eccentricity)
    load = float(steady_load(bearing, size, speed))
    specific = load / (2 * bearing.radius * bearing.width)
    peak = float(peak_pressure(bearing, size, speed))
    np.testing.assert_allclose(film.peak_pressure(at) * specific, peak, rtol=0.03)
    ahead = math.pi - float(peak_pressure_angle(size))  # from the thinnest film, against rotation
    place = math.remainder(attitude - ahead - float(film.peak_angle(at)[0, 0]), 2 * math.pi)
    assert place == pytest.approx(0, abs=0.03)
    squeeze = bearing.radial_clearance * eccentricity * speed / 2  # that of the steady turning
    flow = bearing.radius * bearing.width * squeeze * film.side_flow(at)
    np.testing.assert_allclose(flow, side_flow(bearing, size, speed), rtol=1e-12)


def test_the_short_film_is_the_short_bearings_mobility():
    at = places()
    short = short_bearing_mobility(at.xi, at.eta, RATIO[:, None])
    for found, expected in zip(film_model("short_bearing", RATIO).velocity(at), short, strict=True):
        np.testing.assert_allclose(found, at.load * expected, rtol=1e-12)


def test_a_designs_choice_changes_the_film_and_nothing_else():
    """Through the file: loads to the last bit, films by the model that is named."""
    base = solve_cycle(HILL, 8500)
    films = {}
    for name in FILM_MODELS:
        design = parse_design(design_text(changed(HILL, "oil", film_model=name)))
        assert design.oil.film_model == name
        cycle = solve_cycle(design, 8500)
        np.testing.assert_array_equal(cycle.bearings.mains["block"], base.bearings.mains["block"])
        np.testing.assert_array_equal(cycle.forces.rod_force, base.forces.rod_force)
        films[name] = journal_films(cycle)
        np.testing.assert_array_equal(films[name].mains.load, journal_films(base).mains.load)
        swept = minimum_films(cycle.train, np.array([base.speed * 1.001]), "main")
        np.testing.assert_allclose(swept[0], films[name].mains.minimum_film, rtol=0.01)
    np.testing.assert_array_equal(
        films["reynolds"].mains.eccentricity, journal_films(base).mains.eccentricity
    )
    thick = {name: float(one.big_ends.minimum_film.min()) for name, one in films.items()}
    assert thick["reynolds"] < thick["finite_length"] < thick["short_bearing"]


def test_a_wrong_model_is_refused_with_the_names():
    text = design_text(HILL).replace("[oil]", '[oil]\nfilm_model = "thick"', 1)
    if text.count("film_model") > 1:
        text = design_text(HILL).replace('film_model = "reynolds"', 'film_model = "thick"')
    with pytest.raises(DesignError, match="reynolds, finite_length, short_bearing") as refused:
        parse_design(text)
    assert refused.value.field == "oil.film_model"
