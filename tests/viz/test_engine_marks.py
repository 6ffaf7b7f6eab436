"""What a lesson draws on the engine."""

import numpy as np
import pytest

from kinematics import load_demo, solve_cycle
from kinematics.film.bearing_wear import heaviest_angle
from viz.lessons.engine_marks import engine_marks

CYCLE = solve_cycle(load_demo("hill_climb_six"), 8500)


def test_the_orders_add_up_to_the_acceleration():
    mark = engine_marks(CYCLE, ["orders"])["orders"]
    factors = np.array(mark["real"]) + 1j * np.array(mark["imaginary"])
    angle = CYCLE.train.own_angle[0]
    turns = np.exp(1j * np.outer(angle, np.arange(1, len(factors) + 1)))
    total = mark["scale"] * (turns @ factors).real
    exact = CYCLE.motion.acceleration[0] / 1e3
    assert np.abs(total - exact).max() < 1e-3 * np.abs(exact).max()


def test_the_pin_is_polished_where_it_is_loaded_most():
    mark = engine_marks(CYCLE, ["pin_load"])["pin_load"]
    share = np.array(mark["share"])
    assert share.max() == 1.0
    angle = heaviest_angle(CYCLE.bearings.big_end_load("crank")[0])
    assert share.argmax() * mark["step"] == pytest.approx(angle)
    assert mark["step"] * share.size == pytest.approx(2 * np.pi)


def test_no_mark_is_drawn_unless_it_is_asked_for():
    assert engine_marks(CYCLE, []) == {}
