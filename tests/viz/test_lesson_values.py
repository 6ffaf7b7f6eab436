"""The quantities of lessons: finite for every demo design, and those of the core."""

import math

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import load_demo, load_design, solve_cycle, speed_limits
from kinematics.limits.rod_criteria import RodParts
from viz.lessons.lesson_values import LIVE
from viz.train.main_numbers import main_numbers

DESIGNS = [load_design(path) for path in demo_paths().values()]


def cycle_of(design):
    return solve_cycle(design, design.layout.rated_speed * 30 / math.pi)


@pytest.mark.parametrize("design", DESIGNS, ids=lambda design: design.name)
def test_every_quantity_has_a_value(design):
    cycle = cycle_of(design)
    for name, one in LIVE.items():
        if not name.endswith("_limit"):
            assert math.isfinite(one.of(cycle)), name


def test_main_numbers_are_those_of_the_board_with_their_units():
    cycle = cycle_of(DESIGNS[0])
    for number in main_numbers(cycle):
        if number.key in LIVE:
            assert LIVE[number.key].of(cycle) == number.value
            assert LIVE[number.key].unit == number.unit


def test_accelerations_at_the_dead_centres_follow_the_exact_law():
    """r ω² (1 + r/l) and r ω² (1 - r/l) without pin offset."""
    design = DESIGNS[0]
    cycle = cycle_of(design)
    r, l = design.cylinder.crank_radius, design.cylinder.rod_length
    unit = r * cycle.speed**2 / 1e3
    assert LIVE["tdc_acceleration"].of(cycle) == pytest.approx(unit * (1 + r / l), rel=1e-9)
    assert LIVE["bdc_acceleration"].of(cycle) == pytest.approx(unit * (1 - r / l), rel=1e-9)


def test_the_force_at_tdc_is_gas_and_inertia():
    cycle = cycle_of(DESIGNS[0])
    parts = [LIVE[name].of(cycle) for name in ("tdc_gas_push", "tdc_inertia_force")]
    assert LIVE["tdc_rod_force"].of(cycle) == pytest.approx(sum(parts))
    assert LIVE["tdc_rod_force"].of(cycle) == pytest.approx(cycle.forces.rod_force[0, 0] / 1e3)
    half = len(cycle.crank_angle) // 2
    exchange = cycle.forces.rod_force[0, half] / 1e3
    assert LIVE["exchange_rod_force"].of(cycle) == pytest.approx(exchange)


def test_the_mean_main_load_is_the_hardest_worked_mains():
    cycle = cycle_of(DESIGNS[0])
    load = cycle.bearings.main_load("block")
    means = [np.hypot(one[0], one[1]).mean() / 1e3 for one in load]
    assert LIVE["main_mean_load"].of(cycle) == pytest.approx(max(means))


def test_films_strength_and_limits_are_those_of_the_ladder():
    design = load_demo("hill_climb_six")
    cycle = solve_cycle(design, 8500)
    ladder = {rung.criterion.key: rung for rung in speed_limits(design)}
    for key in ("rod_fatigue", "big_end_film", "pin_fillet"):
        assert LIVE[f"{key}_limit"].of(cycle) == pytest.approx(ladder[key].limit_rpm, rel=1e-6)
    assert LIVE["pin_bending_limit"].of(cycle) == math.inf
    assert math.isnan(LIVE["big_end_load_per_width_limit"].of(cycle)), "it has no allowable"
    safety = ladder["rod_fatigue"]
    at_rated = safety.allowed.value / safety.rated_use
    assert LIVE["rod_fatigue"].of(cycle) == pytest.approx(at_rated)


def test_the_shanks_stresses_give_its_safety():
    """By the Goodman line, a compressive mean counting as zero."""
    design = load_demo("hill_climb_six")
    cycle = solve_cycle(design, 8500)
    amplitude, mean = (
        LIVE[f"rod_{name}"].of(cycle) for name in ("stress_amplitude", "mean_stress")
    )
    assert mean < 0
    endurance = RodParts(cycle.train).endurance / 1e6
    assert LIVE["rod_fatigue"].of(cycle) == pytest.approx(endurance / amplitude, rel=1e-6)
