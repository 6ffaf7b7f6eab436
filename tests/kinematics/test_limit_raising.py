"""What raises a limit: changes against closed forms, and against the changed design's ladder."""

import math
from dataclasses import replace

import pytest

from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import DesignError, load_design, with_value
from kinematics.design_field import group_field
from kinematics.limit_raising import (
    LARGEST,
    RAISING_INPUTS,
    allowable_change,
    raising_changes,
)
from kinematics.speed_limits import speed_limits

DEMOS = {stem: load_design(FOLDER / f"{stem}.toml") for stem in DEMO_DESIGNS}
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
    ladder = speed_limits(FOUR)
    rung = ladder.rung("main_journal_speed")
    found = {one.key: one for one in raising_changes(ladder, rung, 1.05 * rung.limit)}
    assert set(found) == {"main_bearing.diameter_mm"}
    expected = FOUR.main_bearing.diameter * (1 / 1.05 - 1)
    assert found["main_bearing.diameter_mm"].by == pytest.approx(expected, rel=2e-3)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
@pytest.mark.parametrize("key", ["piston_acceleration", "bolt_fatigue", "main_specific_load"])
def test_a_changed_design_has_its_limit_where_it_is_wanted(stem, key):
    ladder = speed_limits(DEMOS[stem])
    rung = ladder.rung(key)
    if not 0 < rung.limit < math.inf:
        return
    wanted = 1.03 * rung.limit
    for one in raising_changes(ladder, rung, wanted):
        limit = speed_limits(changed(DEMOS[stem], one)).rung(key).limit
        assert limit == pytest.approx(wanted, rel=2e-3)
        assert 0 < one.relative <= LARGEST


def test_the_smallest_change_comes_first():
    ladder = speed_limits(DEMOS["hill_climb_six"])
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
        ladder = speed_limits(DEMOS[stem])
        for key in ("mean_piston_speed", "piston_acceleration", "bolt_fatigue"):
            rung = ladder.rung(key)
            change = allowable_change(ladder, rung, 1.04 * rung.limit)
            unit = group_field(DEMOS[stem], change.key)[2].unit
            new = with_value(DEMOS[stem], change.key, unit.from_si(change.before + change.by))
            assert speed_limits(new).rung(key).limit == pytest.approx(1.04 * rung.limit, rel=1e-4)


def test_equilibrium_is_no_allowable_that_could_be_raised():
    ladder = speed_limits(FOUR)
    rung = ladder.rung("ring_lift")
    assert allowable_change(ladder, rung, 1.1 * rung.limit) is None


def test_a_rung_without_a_limit_cannot_be_raised():
    ladder = speed_limits(FOUR)
    rung = next(one for one in ladder.rungs if one.limit == math.inf)
    with pytest.raises(DesignError, match="no limit"):
        raising_changes(ladder, rung, 1000.0)
