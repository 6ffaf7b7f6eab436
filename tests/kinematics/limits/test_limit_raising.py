"""What raises a limit: changes against closed forms, and against the changed design's ladder."""

import math
from dataclasses import replace

import pytest

from assets_demo import DEMO_DESIGNS
from kinematics import DesignError, with_value
from kinematics.design.design_field import group_field
from kinematics.limits.limit_raising import (
    LARGEST,
    RAISING_INPUTS,
    allowable_change,
    raising_changes,
    reaches,
)
from kinematics.limits.speed_limits import HIGHEST_OVER_RATED, speed_limits
from tests.demos import DEMOS, demo_ladder
from tests.kinematics.limits.lone_rung import lone_rung

DRY = {stem: replace(design, oil=None) for stem, design in DEMOS.items()}  # no costly films
FOUR = DEMOS["inline_four"]


def changed(design, change):
    unit = group_field(design, change.key)[2].unit
    return with_value(design, change.key, unit.from_si(change.before + change.by))


def test_stroke_for_a_mean_piston_speed_is_in_inverse_proportion():
    """c = 2·S·n: for a limit at f times the speed the stroke must be S/f, no pin offset."""
    four = with_value(FOUR, "cylinder.pin_offset_mm", 0)
    ladder = speed_limits(four)
    rung = ladder.rung("mean_piston_speed")
    for factor in (0.95, 1.02, 1.1, 1.3):
        (stroke,) = raising_changes(ladder, rung, factor * rung.limit)
        assert stroke.key == "cylinder.stroke_mm"
        expected = four.cylinder.stroke * (1 / factor - 1)
        assert stroke.by == pytest.approx(expected, rel=2e-3)
        assert stroke.by_slope == pytest.approx(four.cylinder.stroke * (1 - factor), rel=1e-3)


def test_journals_for_a_surface_speed_are_in_inverse_proportion():
    ladder = demo_ladder("inline_four")
    rung = ladder.rung("main_journal_speed")
    found = {one.key: one for one in raising_changes(ladder, rung, 1.05 * rung.limit)}
    assert set(found) == {"main_bearing.diameter_mm"}
    expected = FOUR.main_bearing.diameter * (1 / 1.05 - 1)
    assert found["main_bearing.diameter_mm"].by == pytest.approx(expected, rel=2e-3)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
@pytest.mark.parametrize("key", ["piston_acceleration", "bolt_fatigue", "main_specific_load"])
def test_a_changed_design_has_its_limit_where_it_is_wanted(stem, key):
    ladder = speed_limits(DRY[stem])
    rung = ladder.rung(key)
    if not 0 < rung.limit < math.inf:
        return
    wanted = 1.03 * rung.limit
    if wanted > HIGHEST_OVER_RATED * DRY[stem].layout.rated_speed:
        return  # beyond the ladder
    for one in raising_changes(ladder, rung, wanted):
        limit = lone_rung(changed(DRY[stem], one), key).limit
        assert limit == pytest.approx(wanted, rel=2e-3)
        assert 0 < one.relative <= LARGEST


def test_a_change_that_brings_a_resonance_below_the_wanted_speed_is_none():
    """A wider bore lowers the share used at the wanted speed, and raises that at a lower peak."""
    ladder = speed_limits(with_value(DEMOS["hill_climb_six"], "piston.assembly_mass_g", 650.0))
    rung = ladder.rung("free_end_angle")
    wanted = 1.015 * rung.limit
    found = raising_changes(ladder, rung, wanted)
    assert len(found) > 4
    assert "cylinder.bore_mm" not in {one.key for one in found}
    for one in found:
        new = lone_rung(changed(ladder.design, one), "free_end_angle")
        assert new.limit == pytest.approx(wanted, rel=2e-3)


def test_the_smallest_change_comes_first():
    ladder = demo_ladder("hill_climb_six")
    rung = ladder.rung("bolt_fatigue")
    sizes = [one.relative for one in raising_changes(ladder, rung, 1.02 * rung.limit)]
    assert len(sizes) > 3
    assert sizes == sorted(sizes)


def test_what_the_design_has_not_is_left_out():
    bare = replace(FOUR, top_ring=None, rod_bolts=None)
    ladder = speed_limits(bare)
    rung = ladder.rung("mean_piston_speed")
    keys = [one.key for one in raising_changes(ladder, rung, 1.02 * rung.limit)]
    assert keys == ["cylinder.stroke_mm"]
    assert "rod_bolts.diameter_mm" in RAISING_INPUTS


def test_an_allowable_raised_moves_the_limit_there():
    for stem in DEMO_DESIGNS:
        ladder = speed_limits(DRY[stem])
        for key in ("mean_piston_speed", "piston_acceleration", "split_slip"):
            rung = ladder.rung(key)
            change = allowable_change(ladder, rung, 1.04 * rung.limit)
            unit = group_field(DRY[stem], change.key)[2].unit
            new = with_value(DRY[stem], change.key, unit.from_si(change.before + change.by))
            assert lone_rung(new, key).limit == pytest.approx(1.04 * rung.limit, rel=1e-4)


def test_equilibrium_is_no_allowable_that_could_be_raised():
    ladder = demo_ladder("inline_four")
    rung = ladder.rung("ring_lift")
    assert allowable_change(ladder, rung, 1.1 * rung.limit) is None


def test_a_rung_without_a_limit_cannot_be_raised():
    ladder = demo_ladder("inline_four")
    rung = next(one for one in ladder.rungs if one.limit == math.inf)
    with pytest.raises(DesignError, match="no limit"):
        raising_changes(ladder, rung, 1000.0)


SIX = DEMOS["hill_climb_six"]


def reach_of(ladder, rung, key, factor=1.5):
    return next(one for one in reaches(ladder, rung, factor * rung.limit) if one.key == key)


def test_a_reach_is_where_the_changed_designs_ladder_has_the_limit():
    for stem in ("hill_climb_six", "touring_six"):
        ladder = speed_limits(DRY[stem])
        rung = ladder.lowest
        told = [one for one in reaches(ladder, rung, 1.5 * rung.limit) if one.limit > rung.limit]
        assert len(told) > 2
        for one in told:
            unit = group_field(ladder.design, one.key)[2].unit
            new = with_value(ladder.design, one.key, unit.from_si(one.to))
            assert lone_rung(new, rung.criterion.key).limit == pytest.approx(one.limit, rel=1e-3)


def test_the_furthest_reach_comes_first_and_an_input_is_told_of_once():
    ladder = demo_ladder("hill_climb_six")
    found = reaches(ladder, ladder.lowest, 1.2 * ladder.lowest.limit)
    assert [one.limit for one in found] == sorted((one.limit for one in found), reverse=True)
    assert sorted(one.key for one in found) == sorted(RAISING_INPUTS)
    offered = raising_changes(ladder, ladder.lowest, 1.02 * ladder.lowest.limit)
    left = reaches(ladder, ladder.lowest, 1.02 * ladder.lowest.limit, offered)
    assert {one.key for one in left} == set(RAISING_INPUTS) - {one.key for one in offered}


def test_a_reach_without_a_bound_is_the_largest_change_looked_at():
    """c = 2·S·n again: a third off the stroke, and the limit is 1/(1 − LARGEST) of itself."""
    ladder = speed_limits(with_value(SIX, "cylinder.pin_offset_mm", 0))
    rung = ladder.rung("mean_piston_speed")
    one = reach_of(ladder, rung, "cylinder.stroke_mm", 2.0)
    assert one.to == pytest.approx((1 - LARGEST) * one.before)
    assert (one.more, one.stopped) == (False, None)
    assert one.limit == pytest.approx(rung.limit / (1 - LARGEST), rel=2e-3)


def test_a_reach_ends_where_the_design_refuses_more():
    ladder = demo_ladder("hill_climb_six")
    one = reach_of(ladder, ladder.rung("bolt_fatigue"), "rod.mass_g")
    unit = group_field(SIX, one.key)[2].unit
    assert one.stopped.field == "rod.mass_g"
    assert with_value(SIX, one.key, unit.from_si(one.to) + 1e-3)
    with pytest.raises(DesignError, match="more than shank, small end and cap"):
        with_value(SIX, one.key, unit.from_si(one.to) - 1e-2)


def test_what_the_design_refuses_at_once_keeps_its_reason_and_its_limit():
    thinnest = with_value(SIX, "top_ring.axial_height_mm", 0.99060)
    ladder = speed_limits(thinnest)
    rung = ladder.rung("piston_acceleration")
    one = reach_of(ladder, rung, "top_ring.axial_height_mm")
    assert one.to == pytest.approx(one.before, rel=1e-5)
    assert one.limit == pytest.approx(rung.limit, rel=1e-5)
    assert one.effect
    assert not one.more
    assert "the flutter table" in one.stopped.message


def test_an_input_that_does_not_move_the_limit_has_no_effect():
    ladder = demo_ladder("hill_climb_six")
    rung = ladder.rung("mean_piston_speed")
    one = reach_of(ladder, rung, "rod.mass_g")
    assert not one.effect
    assert one.limit == rung.limit


def test_inputs_that_do_not_count_are_left_out():
    measured = demo_ladder("measured_six")
    keys = {one.key for one in reaches(measured, measured.lowest, 1.1 * measured.lowest.limit)}
    assert "pressure.peak_bar" not in keys
    bare = speed_limits(replace(FOUR, top_ring=None, rod_bolts=None))
    keys = {one.key for one in reaches(bare, bare.lowest, 1.1 * bare.lowest.limit)}
    assert not {key for key in keys if key.startswith(("top_ring", "rod_bolts"))}
    assert "cylinder.stroke_mm" in keys
