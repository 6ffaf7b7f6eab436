"""Curves of lessons: rows over the angle, ranges, and the score of a drawing."""

import math

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import load_design, solve_cycle, with_value
from kinematics.limits.speed_limits import speed_limits
from kinematics.shaft.torsion_train import modes, torsional_chain
from kinematics.units import UNITS
from viz.lessons.lesson_curves import (
    ANGLE_ROWS,
    HANDLES,
    SPEED_ROWS,
    LessonLine,
    LessonPlot,
    angle_lines,
    nice_range,
    speed_lines,
)

X = np.linspace(0, 10, 41)
PLACES = np.linspace(0, 10, HANDLES)


def parabola(x):
    return 4 - (x - 3) ** 2


def test_axes_hide_the_curve_and_hold_the_places():
    plot = LessonPlot("x", "y", "", "", X, (LessonLine("a", parabola(X)),), -50, 10)
    assert "lines" not in plot.axes()
    assert plot.axes()["places"] == pytest.approx(PLACES)
    assert plot.message()["lines"][0]["y"][0] == -5.0


def test_a_drawing_is_compared_past_gaps_of_the_curve():
    true = np.where(X > 8, math.nan, 2.0 * X)
    plot = LessonPlot("x", "y", "", "", X, (LessonLine("a", true),), 0, 20)
    (remark,), size = plot.compared(list(PLACES), ["direction"])
    assert remark.alike
    assert "nan" not in size


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


def hill_climb_six():
    return solve_cycle(load_design(demo_paths()["Hill climb six"]), 8500)


@pytest.mark.parametrize("row", SPEED_ROWS)
def test_a_curve_over_the_speed_is_the_shafts(row):
    """At the rated speed, against the ladder's own criteria."""
    cycle = hill_climb_six()
    x, (line,), _ = speed_lines([("", cycle, row)], 3000, 9000)
    ladder = speed_limits(cycle.design)
    key = {"free_end_twist": "free_end_angle", "vibratory_stress": "shaft_stress"}[row]
    rung = ladder.rung(key)
    at = int(np.argmin(np.abs(x - 8500)))
    value = rung.criterion.value(rung.parts, np.array([UNITS["rpm"].to_si(x[at])]))[0]
    unit = UNITS["deg" if row == "free_end_twist" else "MPa"]
    assert line.y[at] == pytest.approx(unit.from_si(value), rel=1e-6)
    assert line.label == SPEED_ROWS[row].label


def test_peaks_stand_at_strong_critical_speeds_which_are_marked():
    """Without a damper an order that meets the mode alone peaks there, to the damping's shift."""
    design = with_value(load_design(demo_paths()["Hill climb six"]), "torsion.damper", "none")
    cycle = solve_cycle(design, 8500)
    x, (line,), criticals = speed_lines([("", cycle, "free_end_twist")], 2000, 10000)
    frequency = 60 * modes(torsional_chain(cycle.train)).angular_frequency[1] / (2 * np.pi)
    for one in criticals:
        assert one.x == pytest.approx(frequency / float(one.words), abs=0.51)
    assert {one.words for one in criticals[:2]} == {"3", "6"}
    assert {"4.5", "7.5"} < {one.words for one in criticals}
    peaks = x[1:-1][(line.y[1:-1] > line.y[:-2]) & (line.y[1:-1] > line.y[2:])]
    for one in criticals[:2]:
        assert np.min(np.abs(peaks / one.x - 1)) < 0.01


def test_critical_speeds_of_two_designs_are_marked_once_each():
    cycle = hill_climb_six()
    rows = [("a", cycle, "free_end_twist"), ("b", cycle, "free_end_twist")]
    _, lines, criticals = speed_lines(rows, 2000, 10000)
    assert [line.label for line in lines] == ["a", "b"]
    assert len({(one.x, one.words) for one in criticals}) == len(criticals)
