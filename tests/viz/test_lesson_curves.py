"""Curves of lessons: rows over the angle, ranges, and the score of a drawing."""

import math

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import load_design, solve_cycle
from viz.lesson_curves import (
    ANGLE_ROWS,
    HANDLES,
    LessonLine,
    LessonPlot,
    angle_lines,
    nice_range,
    score,
)

X = np.linspace(0, 10, 41)
PLACES = np.linspace(0, 10, HANDLES)


def parabola(x):
    return 4 - (x - 3) ** 2


def test_a_true_drawing_is_all_right():
    found = score(PLACES, np.interp(PLACES, X, parabola(X)), X, parabola(X))
    assert found.percent == 100
    assert found.words.startswith("Very near")


def test_the_distance_is_the_mean_over_the_curves_height():
    line = 2.0 * X  # a height of 20
    found = score(PLACES, 2.0 * PLACES + 5.0, X, line)
    assert found.distance == pytest.approx(0.25)
    assert found.percent == 75
    assert found.words.startswith("The shape is right")


def test_the_wrong_way_round_is_far_off():
    found = score(PLACES, 20 - 2.0 * PLACES, X, 2.0 * X)
    assert found.distance == pytest.approx(0.5, rel=0.1)
    assert found.words.startswith("Far off")


def test_a_level_curve_is_measured_against_its_size():
    found = score(PLACES, np.full(HANDLES, 110.0), X, np.full(X.size, 100.0))
    assert found.distance == pytest.approx(10 / 25)


def test_gaps_of_the_true_curve_are_bridged():
    true = np.where(X > 8, math.nan, 2.0 * X)
    assert math.isfinite(score(PLACES, PLACES, X, true).distance)


def test_axes_hide_the_curve_and_hold_the_places():
    plot = LessonPlot("x", "y", "", "", X, (LessonLine("a", parabola(X)),), -50, 10)
    assert "lines" not in plot.axes()
    assert plot.axes()["places"] == pytest.approx(PLACES)
    assert plot.message()["lines"][0]["y"][0] == -5.0


def test_a_gap_is_sent_as_null():
    plot = LessonPlot("x", "y", "", "", X, (LessonLine("a", np.where(X < 1, np.nan, X)),), 0, 10)
    assert plot.message()["lines"][0]["y"][0] is None


@pytest.mark.parametrize("low", [0.0, -3.0, 200.0])
@pytest.mark.parametrize("span", [1e-3, 7.0, 4e5])
def test_ranges_hold_all_and_zero_with_round_ends(low, span):
    line = LessonLine("a", np.linspace(low, low + span, 9))
    bottom, top = nice_range([line])
    assert bottom <= min(low, 0)
    assert top >= low + span
    assert top - bottom < 2.2 * (max(low + span, 0) - min(low, 0))


def test_rows_over_the_angle_are_the_cores_and_the_orders_add_up():
    design = load_design(demo_paths()["Hill climb six"])
    cycle = solve_cycle(design, 8000)
    names = ["piston_acceleration", "piston_acceleration_first", "piston_acceleration_second"]
    degrees, (exact, first, second) = angle_lines(cycle, names)
    assert degrees[0] == 0
    assert degrees[-1] == pytest.approx(720)
    np.testing.assert_allclose(exact.y[:-1], cycle.motion.acceleration[0, ::4] / 1e3)
    rest = np.abs(exact.y - first.y - second.y).max()
    assert rest < 0.01 * np.abs(exact.y).max()
    assert set(names) <= set(ANGLE_ROWS)
