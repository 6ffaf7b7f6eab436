"""Sliders about a design's own values: fine steps, and no walking while one is pulled."""

import pytest

from apps.controls import film_controls, limit_controls, shaft_controls
from apps.controls.controls import GROUPS, control_groups, control_values
from apps.controls.slider_range import STEPS, SliderRanges, slider_about
from kinematics import load_demo, with_value
from kinematics.units import using_units
from tests.demos import DEMOS

ALL = (*GROUPS, *film_controls.GROUPS, *limit_controls.GROUPS, *shaft_controls.GROUPS)
TOURING = load_demo("touring_six")
MASS = "piston.assembly_mass_g"


def slider_of(design, key, ranges):
    groups = control_groups(design, GROUPS, ranges)
    return next(one["slider"] for group in groups for one in group["controls"] if one["key"] == key)


@pytest.mark.parametrize(
    ("declared", "centre", "about"),
    [
        ((200, 4000, 5), 345, (258, 432, 0.5)),
        ((200, 4000, 5), 220, (200, 275, 0.2)),
        ((200, 4000, 5), 100, (75, 125, 0.2)),
        ((60, 160, 0.5), 88, (66, 110, 0.2)),
        ((1.2, 1.4, 0.005), 1.33, (1.2, 1.4, 0.001)),
        ((0, 150, 0.5), 32, (0, 150, 0.5)),
        ((-3, 3, 0.1), 0.8, (-3, 3, 0.1)),
        ((500, 60000, 50), 0.0, (500, 60000, 50)),
        ((1, 10, 5), 4, (3, 5, 0.01)),
    ],
)
def test_a_slider_goes_a_quarter_of_the_value_either_way(declared, centre, about):
    low, high, step = slider_about(declared, centre)
    assert low == pytest.approx(about[0], abs=about[2])
    assert high == pytest.approx(about[1], abs=about[2])
    assert step == about[2]


@pytest.mark.parametrize("system", ["si", "us"])
@pytest.mark.parametrize("name", DEMOS)
def test_every_slider_holds_its_value_in_fine_steps(name, system):
    design = DEMOS[name]
    with using_units(system):
        values = control_values(design, 3000.0, ALL)
        declared = {one["key"]: one["slider"] for group in control_groups(design, ALL)
                    for one in group["controls"]}  # fmt: skip
        for group in control_groups(design, ALL, SliderRanges()):
            for control in group["controls"]:
                if control["slider"] is None or control["slider"] == declared[control["key"]]:
                    continue
                low, high, step = control["slider"]
                assert low - step <= values[control["key"]] <= high + step, control["key"]
                assert (high - low) / step >= 0.4 * STEPS, control["key"]
                assert (high - low) / values[control["key"]] <= 0.52


def test_ends_stay_while_a_slider_is_pulled_and_move_when_a_value_beyond_is_typed():
    design, ranges = TOURING, SliderRanges()
    first = slider_of(design, MASS, ranges)
    assert first == pytest.approx((315, 525, 1))
    for grams in (330.0, 520.0, 420.0):
        assert slider_of(with_value(design, MASS, grams), MASS, ranges) == first
    low, high, _ = slider_of(with_value(design, MASS, 900.0), MASS, ranges)
    assert (low, high) == pytest.approx((675, 1125), abs=2)
    assert slider_of(design, MASS, ranges) == first


def test_without_ranges_ends_are_as_declared():
    assert slider_of(TOURING, MASS, None) == (200, 4000, 5)
