"""Attribution: the single steps' own ladders give the same, and everything adds up."""

import dataclasses
import math
from functools import cache

import pytest

from kinematics import Design, parse_design, with_value
from kinematics.design.design_file import design_text
from kinematics.errors import DesignError
from kinematics.limits.attribution import (
    MOST_ALONE,
    LadderAttribution,
    differences,
    made_alone,
    single_steps,
)
from kinematics.limits.speed_limits import Ladder, speed_limits
from tests.demos import DEMOS, demo_ladder

PROPOSAL = {
    "layout.rated_speed_rpm": 8900,
    "cylinder.rod_length_mm": 150,
    "piston.assembly_mass_g": 330,
}
ATTRIBUTED = (
    "rod_fatigue", "big_end_film", "main_film", "ring_lift", "shaft_stress", "buckling_across",
    "irregularity", "free_end_angle", "bolt_yield", "mean_piston_speed", "main_feed",
)  # fmt: skip


def changed(design: Design, **values: float) -> Design:
    for key, value in values.items():
        design = with_value(design, key.replace("__", "."), value)
    return design


def proposal() -> Design:
    design = DEMOS["hill_climb_six"]
    for key, value in PROPOSAL.items():
        design = with_value(design, key, value)
    return design


@cache
def attribution() -> LadderAttribution:
    return LadderAttribution(demo_ladder("hill_climb_six"), speed_limits(proposal()))


@cache
def step_ladder(key: str) -> Ladder:
    return speed_limits(attribution().steps[key])


def test_differences_are_those_of_the_file_in_its_order():
    keys = [found.key for found in differences(DEMOS["hill_climb_six"], proposal())]
    assert keys == list(PROPOSAL)


def test_names_and_notes_are_no_difference():
    design = DEMOS["hill_climb_six"]
    assert differences(design, dataclasses.replace(design, name="other", note="other")) == ()


def test_a_group_that_one_lacks_is_one_difference():
    design = DEMOS["hill_climb_six"]
    without = dataclasses.replace(design, torsion=None)
    (found,) = differences(design, without)
    assert (found.key, found.fields) == ("torsion", ())
    assert made_alone(design, without, found) == without
    assert made_alone(without, design, found) == design


def test_lists_of_records_are_one_difference():
    design = DEMOS["hill_climb_six"]
    (found,) = differences(design, with_value(design, "full_load.2.peak_percent", 90))
    assert found.key == "full_load"


def test_many_differences_are_told_by_group():
    design = DEMOS["hill_climb_six"]
    other = changed(
        design, cylinder__bore_mm=87, cylinder__stroke_mm=77, cylinder__rod_length_mm=149,
        piston__assembly_mass_g=340, rod__mass_g=425, pressure__peak_bar=82,
        pressure__peak_angle_deg=14,
    )  # fmt: skip
    found = differences(design, other)
    assert [own.key for own in found] == ["cylinder", "piston.assembly_mass_g", "rod.mass_g",
                                          "pressure"]  # fmt: skip
    assert MOST_ALONE == 6
    whole = made_alone(design, other, found[0])
    assert whole.cylinder == other.cylinder
    assert whole.piston == design.piston


def test_all_steps_together_are_b():
    design = DEMOS["hill_climb_six"]
    for difference in differences(design, proposal()):
        design = made_alone(design, proposal(), difference)
    assert design == proposal()


def test_a_step_that_a_refuses_alone_is_left_out_and_falls_to_the_rest():
    a = DEMOS["hill_climb_six"]
    longest = changed(a, cylinder__rod_length_mm=152, rod__cg_from_big_end_mm=150)
    assert "rod.cg_from_big_end_mm" in {found.key for found in differences(a, longest)}
    with pytest.raises(DesignError):
        made_alone(a, longest, differences(a, longest)[1])
    assert list(single_steps(a, longest)) == ["cylinder.rod_length_mm"]


@pytest.mark.parametrize("key", ATTRIBUTED)
def test_a_single_step_is_what_its_own_ladder_says(key):
    """The use at given speeds is the largest but for a peak between them: of second order."""
    found = attribution().use(key)
    assert found.before == demo_ladder("hill_climb_six")[key].use_at
    assert found.after == attribution().b[key].use_at
    assert list(found.by) == list(PROPOSAL)
    for name, moved in found.by.items():
        own = step_ladder(name)[key].use_at
        assert found.before + moved == pytest.approx(own, rel=2e-4), name


@pytest.mark.parametrize("key", ["rod_fatigue", "main_film", "ring_lift"])
def test_a_limit_moves_as_the_step_s_own_ladder_says(key):
    found = attribution().limit(key)
    for name, moved in found.by.items():
        assert found.before + moved == pytest.approx(step_ladder(name)[key].limit, rel=5e-5), name


@pytest.mark.parametrize("key", ["small_end_pressure", "split_slip", "bolt_fatigue"])
def test_a_limit_that_is_met_first_stays_while_others_are_sought(key):
    found = attribution().limit(key)
    assert list(found.by) == list(PROPOSAL)
    assert found.by["layout.rated_speed_rpm"] == pytest.approx(0, abs=1e-5 * found.before)


@pytest.mark.parametrize("key", ATTRIBUTED)
def test_single_steps_and_rest_add_up(key):
    found = attribution().use(key)
    total = found.before + sum(found.by.values()) + found.rest
    assert total == pytest.approx(found.after, rel=1e-12)


def test_one_difference_leaves_no_rest():
    a = demo_ladder("hill_climb_six")
    b = speed_limits(changed(a.design, piston__assembly_mass_g=330))
    both = LadderAttribution(a, b)
    for key in ATTRIBUTED:
        found = both.use(key)
        assert abs(found.rest) <= 2e-4 * found.after, key
    limit = both.limit("rod_fatigue")
    assert abs(limit.rest) < 1e-4 * limit.after


def test_equal_designs_differ_in_nothing():
    a = demo_ladder("hill_climb_six")
    b = speed_limits(parse_design(design_text(a.design)))
    both = LadderAttribution(a, b)
    assert both.steps == {}
    assert both.use("rod_fatigue").rest == 0


def test_a_rung_that_one_lacks_has_no_attribution():
    a = demo_ladder("hill_climb_six")
    without = speed_limits(dataclasses.replace(a.design, rod_shank=None))
    both = LadderAttribution(a, without)
    assert both.use("rod_fatigue") is None
    assert both.limit("rod_fatigue") is None


def test_a_limit_that_never_comes_has_none_to_move():
    a = demo_ladder("hill_climb_six")
    key = next(rung.criterion.key for rung in a if math.isinf(rung.limit))
    assert LadderAttribution(a, a).limit(key) is None
