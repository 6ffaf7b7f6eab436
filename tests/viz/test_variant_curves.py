"""The variants' chart: its curves are those of the cycles and ladders, each with its letter."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from kinematics import speed_limits, with_value
from tests.demos import DEMOS
from viz.chart_words import chart_words, line_names
from viz.review.review_numbers import rated_cycle
from viz.review.variant_curves import STROKES, curve_choices, variant_chart
from viz.review.variant_table import Column

DEMO = "pilot_boat_six"


@cache
def columns() -> list[Column]:
    a = DEMOS[DEMO]
    b = with_value(a, "layout.rated_speed_rpm", 2700)
    c = with_value(a, "piston.assembly_mass_g", 3035)
    named = zip("ABC", ("as it is", "faster", "lighter"), (a, b, c), strict=True)
    return [Column(letter, name, "", rated_cycle(design)) for letter, name, design in named]


def curve(chart, letter):
    return next(line for line in chart.lines if line.role == STROKES[letter])


def test_curves_over_the_cycle_are_each_at_its_own_rated_speed():
    chart = variant_chart(columns(), "big_end_load", difference=False)
    for column in columns():
        load = column.cycle.bearings.big_ends["rod"][0]
        drawn = curve(chart, column.letter)
        assert drawn.y[:-1] == pytest.approx(np.hypot(*load) / 1e3)
        assert drawn.y[-1] == pytest.approx(drawn.y[0])
        assert drawn.x[:-1] == pytest.approx(np.degrees(column.cycle.crank_angle))


def test_a_difference_is_from_the_first_curve_which_is_not_drawn():
    plain = variant_chart(columns(), "crank_torque", difference=False)
    apart = variant_chart(columns(), "crank_torque", difference=True)
    assert {line.role for line in apart.lines} == {"ring", STROKES["B"], STROKES["C"]}
    for letter in "BC":
        expected = curve(plain, letter).y - curve(plain, "A").y
        assert curve(apart, letter).y == pytest.approx(expected)
    assert "difference from A" in apart.title


def test_the_main_is_that_of_the_highest_load_in_the_reference():
    peaks = np.hypot(*np.moveaxis(columns()[0].cycle.bearings.mains["block"], 1, 0)).max(axis=-1)
    chart = variant_chart(columns(), "main_load", difference=False)
    assert f"Main load {peaks.argmax() + 1}," in chart.title
    assert curve(chart, "A").y.max() == pytest.approx(peaks.max() / 1e3)


def test_a_rung_over_speed_is_the_ladders():
    ladder = speed_limits(columns()[1].cycle.design)
    key = ladder.lowest.criterion.key
    chart = variant_chart(columns(), f"use:{key}", difference=False)
    drawn = curve(chart, "B")
    at_limit = np.interp(ladder.lowest.limit, np.asarray(drawn.x) * np.pi / 30, drawn.y)
    if ladder.lowest.limit < ladder.red_line:
        assert at_limit == pytest.approx(100, rel=0.02)
    rung = ladder[key]
    use = rung.criterion.use(
        rung.criterion.value(rung.parts, np.array([ladder.rated])), rung.allowed.value
    )
    shown = np.interp(ladder.rated, np.asarray(drawn.x) * np.pi / 30, drawn.y)
    assert shown == pytest.approx(100 * use[0], rel=0.02)


def test_power_ends_at_each_designs_red_line():
    chart = variant_chart(columns(), "power", difference=False)
    for column in columns():
        ladder = speed_limits(column.cycle.design)
        drawn = curve(chart, column.letter)
        seen = np.asarray(drawn.x)[np.isfinite(drawn.y)] * np.pi / 30
        assert seen.max() <= ladder.red_line * (1 + 1e-9)
        at_rated = np.interp(ladder.rated, np.asarray(drawn.x) * np.pi / 30, drawn.y)
        assert at_rated == pytest.approx(column.cycle.indicated_power / 1e3, rel=0.01)


@pytest.mark.parametrize("difference", [False, True])
def test_every_choice_is_drawn_with_its_letters_and_said(difference):
    for _, key, name in curve_choices(columns()):
        chart = variant_chart(columns(), key, difference=difference)
        letters = [label.text for label in chart.labels]
        assert letters == ["B", "C"] if difference else letters == ["A", "B", "C"]
        assert name.split(",")[0] in chart.title
        low, high = chart.y_range
        for label in chart.labels:
            assert chart.x_range[0] < label.x < chart.x_range[1]
            assert low <= label.y <= high
        assert {"B, faster", "C, lighter"} <= set(line_names(chart))
        assert "B, faster" in chart_words(chart)


def test_designs_of_other_cycles_and_groups_are_drawn_together():
    """A two-stroke's cycle recurs; what a design has not, it has no curve of."""
    four = Column("A", "four", "", rated_cycle(DEMOS["hill_climb_six"]))
    layout = replace(
        DEMOS["inline_four"].layout, strokes_per_cycle=2, throw_angles=(0.0, np.pi),
        throw_of_cylinder=(1, 2), bank_angle=(0.0, 0.0), firing_order=(1, 2),
    )  # fmt: skip
    two_stroke = replace(DEMOS["inline_four"], layout=layout, counterweights=())
    two = Column("B", "two", "", rated_cycle(two_stroke))
    drawn = curve(variant_chart([four, two], "side_thrust", difference=False), "B")
    assert drawn.x[-1] == pytest.approx(720)
    assert drawn.y[:360] == pytest.approx(drawn.y[360:720])
