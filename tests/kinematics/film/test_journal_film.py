"""Films of a design: energy, flows, heat, agreement of survey and page, whatever the design."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import (
    DesignError,
    film_survey,
    journal_films,
    load_design,
    solve_cycle,
    with_value,
)
from kinematics.design.oil_viscosity import oil_viscosity
from kinematics.film.film_heat import HEAT_PER_VOLUME, film_state, settled_films
from kinematics.film.film_survey import minimum_films
from kinematics.film.journal_film import films_by_other_models, train_films
from kinematics.film.journal_orbit import closed_orbits
from kinematics.film.mobility import film_model
from kinematics.film.oil_feed import full_film_flow
from kinematics.film.oil_supply import FILM_ARC, load_densities
from kinematics.film.running_bearings import RunningBearings, running_bearings
from kinematics.limits.speed_limits import speed_limits
from kinematics.train.cycle import Cycle, RigidTrain, rigid_train
from tests.conftest import changed
from tests.kinematics.random_designs import designs

DEMOS = {stem: load_design(FOLDER / f"{stem}.toml") for stem in DEMO_DESIGNS}
HILL, TOURING = DEMOS["hill_climb_six"], DEMOS["touring_six"]
RATED = 30 / math.pi


def steady(width: float, load: float, *, grooved: bool = False) -> RunningBearings:
    """One bearing under a steady load, journal turning."""
    one = np.ones(1)
    return RunningBearings(
        load=np.tile([[[0.0], [-load]]], (1, 1, 90)),
        slip=np.ones((1, 90)),
        speed=300.0 * one,
        radius=0.03 * one,
        width=width * one,
        clearance=30e-6 * one,
        lands=one * (2 if grooved else 1),
        groove_arc=one * (2 * math.pi if grooved else 0.0),
        groove_angle=0 * one,
        groove_width=0.003 * one,
        hole=0.004 * one,
        hole_angle=np.zeros((1, 90)),
        is_main=one > 0,
        cycle_angle=2 * math.pi,
    )


def state_of(bearings: RunningBearings, viscosity: float = 0.01):
    thick = np.array([viscosity])
    journals = bearings.journals(thick)
    film = film_model("reynolds", journals.width_ratio)
    orbit = closed_orbits(journals, film, closed=1e-10)
    return orbit, film_state(bearings, thick, orbit, np.array([3e5]), film)


def test_the_squeeze_loss_of_a_steady_load_is_its_torque():
    """W e sin φ ω / 2, the couple of load and its reaction, from statics."""
    load = 4000.0
    orbit, state = state_of(steady(0.02, load))
    across = abs(float(orbit[0, 0, 0])) * 30e-6
    np.testing.assert_allclose(state.squeeze_loss, load * across * 300 / 2, rtol=1e-6)


@pytest.mark.parametrize(("eccentricity_at_most", "load"), [(0.9, 900.0)])
def test_friction_of_raimondi_and_boyd_from_the_loss(eccentricity_at_most, load):
    """(R/c) f = P / (W ω c), against drag 2 π² S s / √(1 - ε²) + (ε/2) sin φ.

    With s = 1, a gap full all round, A. A. Raimondi and J. Boyd, 1958, whose table this meets (see
    the reference tests); s of Gümbel's half film in closed form, (2 + ε)/(2 + 2 ε), of a steady
    load.
    """
    orbit, state = state_of(steady(0.06, load))
    size = float(np.hypot(*orbit[0, :, 0]))
    assert size < eccentricity_at_most
    sommerfeld = 1000.0**2 * 0.01 * (300 / (2 * math.pi)) / (load / (0.06 * 0.06))
    variable = float(state.loss[0, 0]) / (load * 300 * 30e-6)
    aside = abs(float(orbit[0, 0, 0]))
    full = 2 * math.pi**2 * sommerfeld / math.sqrt(1 - size**2)
    assert variable == pytest.approx(full * (2 + size) / (2 + 2 * size) + aside / 2, rel=1e-6)


def test_a_slim_bearing_loses_oil_as_ocvirk_says():
    """Q = ω R L c ε at L/D = 0.1; F. W. Ocvirk, NACA TN 2808, 1952 (from memory); 2 %."""
    orbit, state = state_of(steady(0.006, 60.0))
    size = float(np.hypot(*orbit[0, :, 0]))
    assert 0.2 < size < 0.9
    assert float(state.side_flow[0, 0]) == pytest.approx(
        300 * 0.03 * 0.006 * 30e-6 * size, rel=0.02
    )


def test_a_groove_all_round_feeds_as_the_slot_flow_says():
    """Q = π R c³ p (1 + 1.5 ε²) / (3 μ L'), two lands L'; the integral of h³ (common practice)."""
    orbit, state = state_of(steady(0.008, 3000.0, grooved=True))
    size = float(np.hypot(*orbit[0, :, 0]))
    expected = math.pi * 0.03 * (30e-6) ** 3 * 3e5 * (1 + 1.5 * size**2) / (3 * 0.01 * 0.008)
    assert float(state.feed_flow[0, 0]) == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_heat_viscosity_and_temperature_agree(stem):
    """μ = μ(T), and what the oil carries off twice over half its rise is the loss."""
    design = DEMOS[stem]
    films = journal_films(solve_cycle(design, design.layout.rated_speed * RATED))
    law = oil_viscosity(design.oil)
    assert films.heat_balanced
    for own in (films.big_ends, films.mains):
        np.testing.assert_allclose(own.viscosity, law(own.temperature), rtol=3e-3)
        flow = own.passed_flow
        assert np.all(flow < full_film_flow(own.oil_needed, own.oil_fed))
        rise = own.temperature - design.oil.inlet_temperature
        np.testing.assert_allclose(own.loss, 2 * HEAT_PER_VOLUME * flow * rise, rtol=1e-9)


def test_a_viscosity_that_is_given_is_used():
    design = changed(HILL, "oil", film_viscosity="given", viscosity=0.012)
    films = journal_films(solve_cycle(design, 6000))
    assert not films.heat_balanced
    np.testing.assert_array_equal(films.big_ends.viscosity, 0.012)
    unknown = changed(HILL, "oil", grade="from the shelf", viscosity=0.012)
    assert not journal_films(solve_cycle(unknown, 6000)).heat_balanced


def test_thicker_oil_and_more_width_thicken_the_film_and_heat_warms_it():
    def least(design):
        return journal_films(solve_cycle(design, 8500)).big_ends.minimum_film[0]

    assert least(changed(HILL, "oil", grade="SAE 40")) < least(HILL)
    assert least(changed(HILL, "big_end", width=0.022)) > least(HILL)
    assert least(changed(HILL, "oil", inlet_temperature=273.15 + 120)) < least(HILL)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_every_path_gives_one_film_at_the_rated_speed(stem):
    """Page, ladder and survey to the last bit; beside it the sweep, within its heat balance."""
    design = DEMOS[stem]
    rated = design.layout.rated_speed
    films = journal_films(Cycle(rigid_train(design), rated))
    ladder = speed_limits(design)
    survey = None if design.pressure.source == "trace" else film_survey(design)
    for kind, own in (("big_end", films.big_ends), ("main", films.mains)):
        least = own.minimum_film.min()
        grid = np.array([0.9, 1.0, 1.1]) * rated
        swept = minimum_films(rigid_train(design), grid, kind)
        np.testing.assert_array_equal(swept[1], own.minimum_film)
        rung = ladder.rung(f"{kind}_film")
        if rung.at == rated:
            assert rung.value_at == least
        if survey is not None and design.pressure.load == 1.0:
            assert survey.film[kind][-1, survey.speed == rated] == [least]


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_the_sweep_is_on_the_pages_grid(stem):
    """At any other speed both agree within the heat balance's tolerance."""
    design = DEMOS[stem]
    speed = np.array([0.4, 0.999]) * design.layout.rated_speed
    for row, one in enumerate(speed):
        films = journal_films(Cycle(rigid_train(design), float(one)))
        for kind in ("big_end", "main"):
            swept = minimum_films(rigid_train(design), speed, kind)[row]
            np.testing.assert_allclose(swept, films.of(kind).minimum_film, rtol=2e-4)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_the_page_grid_is_within_a_part_in_two_thousand_of_a_four_times_finer_one(stem):
    """Of mains within a thousandth: a journal passes a groove's end in a few degrees.

    Mains are as stiff on both: their default follows the largest load, of a trace a noisy peak.
    """
    design = changed(DEMOS[stem], "crank", main_stiffness=1e9)
    speed = design.layout.rated_speed
    shown, fine = (train_films(RigidTrain(design, points=points), speed) for points in (720, 2880))
    for kind in ("big_end", "main"):
        np.testing.assert_allclose(
            shown.of(kind).minimum_film,
            fine.of(kind).minimum_film,
            rtol=5e-4 if kind == "big_end" else 1e-3,
        )


def test_speeds_may_be_asked_in_any_number():
    speeds = np.linspace(300.0, 900.0, 23)
    together = minimum_films(rigid_train(HILL), speeds, "main")
    one = minimum_films(rigid_train(HILL), speeds[17:18], "main")
    np.testing.assert_allclose(together[17], one[0], rtol=1e-4)


def test_the_published_fits_are_near_the_map_and_the_short_bearing_hopeful():
    """At L/D 0.4 the finite fit is some 5 % thick, the short bearing 30 to 60 %."""
    cycle = solve_cycle(HILL, 8500)
    films = journal_films(cycle).big_ends
    other = films_by_other_models(cycle, films, "big_end")
    assert 1.0 < other["finite_length"][0] / films.minimum_film[0] < 1.15
    assert 1.3 < other["short_bearing"][0] / films.minimum_film[0] < 1.6


def test_the_survey_holds_the_sweeps_of_each_load():
    survey = film_survey(HILL)
    assert survey.load[-1] == 1.0
    swept = minimum_films(rigid_train(changed(HILL, "pressure", load=1.0)), survey.speed, "main")
    np.testing.assert_allclose(survey.film["main"][-1], swept.min(axis=-1), rtol=1e-6)
    assert np.all(survey.film["big_end"] > 0)


def test_a_trace_has_no_survey():
    with pytest.raises(DesignError, match="one load"):
        film_survey(DEMOS["measured_six"])


def test_load_densities_hold_the_load_and_lie_where_it_points():
    """Their integral is the mean size; against the smear taken vector by vector, 0.1 %."""
    load = journal_films(solve_cycle(HILL, 8500)).mains.load
    density = load_densities(load)
    size = np.hypot(load[:, 0], load[:, 1])
    step = 2 * math.pi / 360
    np.testing.assert_allclose(density.sum(axis=-1) * step, size.mean(axis=-1), rtol=1e-9)
    angle = np.arange(360) * step
    direction = np.arctan2(load[2, 0], load[2, 1])
    away = np.abs((angle[:, None] - direction + math.pi) % (2 * math.pi) - math.pi)
    weight = np.where(away < FILM_ARC, 1 + np.cos(math.pi * away / FILM_ARC), 0) / (2 * FILM_ARC)
    exact = weight @ size[2] / load.shape[-1]
    np.testing.assert_allclose(density[2], exact, rtol=0, atol=1e-3 * exact.max())


@given(design=designs(), share=st.floats(0.3, 1.4))
@settings(max_examples=25, suppress_health_check=list(HealthCheck))
def test_any_design_has_films_or_says_why_not(design, share):
    """Within the sliders: finite positive films and losses, or a message; no warning."""
    rpm = min(max(share * design.layout.rated_speed * RATED, 300), 15000)
    try:
        films = journal_films(solve_cycle(design, rpm))
    except DesignError:
        return
    for own in (films.big_ends, films.mains):
        for values in (own.film, own.peak_pressure, own.side_flow, own.feed_flow, own.drag_loss):
            assert np.all(np.isfinite(values))
            assert np.all(values >= 0)
        assert np.all(own.film < own.bearing.radial_clearance)
        assert np.all(own.temperature >= design.oil.inlet_temperature)


def test_settled_films_can_be_made_on_any_stride():
    bearings = running_bearings(rigid_train(HILL), np.array([800.0]), ("big_end",))
    feed = np.full(len(bearings.speed), 5e5)
    film = film_model("reynolds", bearings.width_ratio)
    found = [settled_films(bearings, HILL.oil, feed, film, stride=by) for by in (1, 2, 5)]
    least = [float((1 - np.hypot(*one.orbit[0])).min()) for one in found]
    assert least[1] == pytest.approx(least[0], rel=3e-3)
    assert least[2] == pytest.approx(least[0], rel=2e-2)


def test_groove_and_oil_are_refused_where_they_cannot_be():
    with pytest.raises(DesignError, match="groove_width_mm"):
        dataclasses.replace(HILL.main_bearing, groove_width=0.022)
    with pytest.raises(DesignError, match="viscosity_100_mm2_s"):
        dataclasses.replace(HILL.oil, viscosity_40=1e-4)
    with pytest.raises(DesignError, match="viscosity_40_mm2_s"):
        dataclasses.replace(HILL.oil, viscosity_40=1e-5, viscosity_100=2e-5)


def test_a_refined_survey_passes_through_its_own_points():
    survey = film_survey(HILL)
    fine = survey.refined(4)
    for kind, film in survey.film.items():
        np.testing.assert_allclose(fine.film[kind][::4, ::4], film, rtol=1e-9)
        assert fine.film[kind].min() > 0.9 * film.min()


@pytest.mark.parametrize(
    ("stem", "key", "value", "rpm"),
    [
        ("inline_four", "main_bearing.radial_clearance_um", 80, 6000),
        ("inline_four", "main_bearing.groove_arc_deg", 360, 6000),
        ("inline_four", "pressure.peak_bar", 220, 8400),
        ("pilot_boat_six", "big_end.width_mm", 12, 3220),
        ("v6_60_six_throws", "big_end.radial_clearance_um", 80, 6500),
        ("touring_six", "big_end.radial_clearance_um", 80, 5800),
    ],
)  # fmt: skip
def test_hard_cases_close_and_agree_with_a_finer_grid(stem, key, value, rpm):
    """Journals thrown across their clearance: the page's grid is within 1 % of a finer one."""
    design = with_value(DEMOS[stem], key, value)
    shown, fine = (
        train_films(RigidTrain(design, points=points), rpm / RATED) for points in (720, 1440)
    )
    for kind in ("big_end", "main"):
        np.testing.assert_allclose(
            shown.of(kind).minimum_film, fine.of(kind).minimum_film, rtol=0.01
        )


@pytest.mark.parametrize(
    ("stem", "inlet", "rpm"),
    [("hill_climb_six", 20, 500), ("touring_six", 10, 500), ("touring_six", -20, 5800),
     ("pilot_boat_six", -10, 2300), ("hill_climb_six", 150, 8500)],
)  # fmt: skip
def test_cold_and_hot_oil_come_to_a_balance(stem, inlet, rpm):
    design = with_value(DEMOS[stem], "oil.inlet_temperature_degC", inlet)
    films = journal_films(solve_cycle(design, rpm))
    law = oil_viscosity(design.oil)
    for own in (films.big_ends, films.mains):
        np.testing.assert_allclose(own.viscosity, law(own.temperature), rtol=0.01)


def test_a_pin_that_the_turning_oil_cannot_reach_is_not_fed():
    design = with_value(HILL, "main_bearing.diameter_mm", 140)
    films = journal_films(solve_cycle(changed(design, "oil", supply_pressure=1e5), 11900))
    assert np.all(films.big_ends.feed_flow == 0)
    assert np.all(films.mains.feed_flow > 0)


def test_a_groove_all_round_takes_its_width_from_the_bearing():
    design = changed(HILL, "main_bearing", groove_arc=2 * math.pi, groove_width=0.004)
    assert design.main_bearing.projected_area == pytest.approx(0.056 * 0.018)
    parted = journal_films(solve_cycle(design, 8500)).mains
    whole = journal_films(solve_cycle(HILL, 8500)).mains
    assert np.all(parted.minimum_film < whole.minimum_film)
    np.testing.assert_allclose(parted.specific_load, whole.specific_load * 22 / 18, rtol=1e-9)


def test_of_two_films_alike_the_first_is_the_thinnest() -> None:
    """Rounding does not say which of two equal films is shown."""
    films = journal_films(solve_cycle(HILL, 6000)).mains
    thinnest = films.minimum_index
    for factor in (1 - 1e-13, 1 + 1e-13):
        eccentricity = films.eccentricity.copy()
        rows = np.arange(len(thinnest))
        eccentricity[:, :, 3] = factor * eccentricity[rows, :, thinnest]
        again = dataclasses.replace(films, eccentricity=eccentricity)
        assert (again.minimum_index == 3).all()
