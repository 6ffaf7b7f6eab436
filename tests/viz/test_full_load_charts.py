"""Curves over speed: they end and pass where single cycles do, and say what gas they are of."""

import numpy as np
import pytest

from kinematics import solve_cycle, with_value
from kinematics.units import UNITS, using_units
from tests.demos import DEMOS
from viz.train.full_load_charts import full_load_charts
from viz.train.main_numbers import main_numbers

KEYS = {  # main numbers, with their figure and place among its lines
    "peak_pressure": ("speed_pressure", 0), "indicated_mean_pressure": ("speed_pressure", 1),
    "mean_torque": ("speed_torque", 0), "indicated_power": ("speed_power", 0),
}  # fmt: skip


@pytest.mark.parametrize("name", ["touring_six", "hill_climb_six", "measured_six"])
@pytest.mark.parametrize("system", ["si", "us"])
def test_curves_pass_through_the_main_numbers(name: str, system: str) -> None:
    design = DEMOS[name]
    with using_units(system):
        charts = full_load_charts(design, None)
        for key, (shown, place) in KEYS.items():
            chart = charts[shown]
            line = chart.lines[place]
            for at in (0, len(line.x) // 2, -1):
                numbers = {n.key: n for n in main_numbers(solve_cycle(design, line.x[at]))}
                assert line.y[at] == pytest.approx(numbers[key].value, rel=1e-9)
                assert chart.y_label == numbers[key].unit


def test_rows_of_the_curve_are_marked_and_ends_are_full_load_and_red_line() -> None:
    design = DEMOS["touring_six"]
    chart = full_load_charts(design, None)["speed_torque"]
    rpm = UNITS["rpm"].from_si
    assert chart.x_range == pytest.approx((rpm(design.full_load[0].speed), 6000))
    inside = [row.speed for row in design.full_load if rpm(row.speed) <= 6000]
    assert [mark.x for mark in chart.marks] == pytest.approx([rpm(speed) for speed in inside])


def test_the_reference_widens_the_axes() -> None:
    own, other = DEMOS["pilot_boat_six"], DEMOS["hill_climb_six"]
    chart = full_load_charts(own, other)["speed_power"]
    assert [line.role for line in chart.lines] == ["reference", "main"]
    assert chart.y_range[1] > max(np.max(line.y) for line in chart.lines)
    assert chart.x_range[1] == max(line.x[-1] for line in chart.lines)


def test_the_basis_is_said() -> None:
    six = DEMOS["touring_six"]
    half = with_value(six, "pressure.load_percent", 50.0)
    for design, words in (
        (six, "full load"), (half, "50 % load"),
        (DEMOS["measured_six"], "one trace at every speed"),
    ):  # fmt: skip
        chart = full_load_charts(design, None)["speed_power"]
        assert [label.text for label in chart.labels] == [words]
