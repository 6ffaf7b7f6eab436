"""The rule by which mains share their loads, as the design names it, wherever it counts."""

import dataclasses
import math

import numpy as np
import pytest

from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import Design, DesignError, journal_films, load_design, save_design, solve_cycle
from kinematics.limits.crank_criteria import CrankParts
from kinematics.shaft.counterweight_choice import CounterweightChoice
from kinematics.strength.crank_strength import alternating_over_speed
from kinematics.train.cycle import RigidTrain
from tests.conftest import changed, layout_of, with_layout

DEMOS = {stem: load_design(FOLDER / f"{stem}.toml") for stem in DEMO_DESIGNS}
TOURING = DEMOS["touring_six"]


def as_continuous(design: Design, **crank: float) -> Design:
    return changed(design, "crank", main_loads="continuous", **crank)


def test_a_six_is_continuous_and_others_are_determinate_unless_they_say_otherwise():
    for stem, design in DEMOS.items():
        train = RigidTrain(design)
        assert design.crank.main_loads is None
        if stem == "inline_four":
            assert train.main_block is train.determinate_main_block
        else:
            assert train.main_block is train.continuous_shaft.main_block
    six = RigidTrain(changed(TOURING, "crank", main_loads="cut_at_mains"))
    assert six.main_block is six.determinate_main_block
    four = RigidTrain(as_continuous(DEMOS["inline_four"]))
    assert four.main_block is four.continuous_shaft.main_block


@pytest.mark.parametrize("group", ["crank_throw", "crank_material", "big_end", "main_bearing"])
def test_a_six_without_sizes_of_its_shaft_is_determinate(group):
    bare = dataclasses.replace(TOURING, shaft=None, torsion=None, **{group: None})
    train = RigidTrain(bare)
    assert train.main_block is train.determinate_main_block


def test_a_six_whose_webs_leave_no_journal_is_determinate():
    wide = changed(TOURING, "crank_throw", web_thickness=TOURING.layout.throw_spacing / 2)
    assert not wide.continuous


@pytest.mark.parametrize("stem", DEMOS)
def test_every_load_of_a_main_is_that_of_the_continuous_shaft(stem):
    cycle = solve_cycle(as_continuous(DEMOS[stem]), 2000)
    shaft = cycle.train.continuous_shaft
    np.testing.assert_array_equal(
        cycle.bearings.main_load("block"), shaft.main_block.at(cycle.speed)
    )
    np.testing.assert_allclose(
        cycle.bearings.main_load("crank"), shaft.main_crank.at(cycle.speed), atol=1e-6
    )
    films = journal_films(cycle)
    np.testing.assert_array_equal(films.mains.load, shaft.main_block.at(cycle.speed))


def test_the_designs_stiffness_holds_the_mains():
    shaft = RigidTrain(as_continuous(TOURING, main_stiffness=2e9)).continuous_shaft
    np.testing.assert_allclose(shaft.stiffness, 2e9, rtol=1e-12)


def test_a_single_throws_fillets_are_those_of_the_method():
    """Two mains share by statics alone, so both rules give one Q."""
    layout = layout_of([0], spacing=TOURING.layout.throw_spacing)
    single = dataclasses.replace(with_layout(TOURING, layout), crank=TOURING.crank, torsion=None)
    speed = np.array([100.0, 600.0])
    found, expected = (
        CrankParts(RigidTrain(one)).acceptability(speed) for one in (as_continuous(single), single)
    )
    for place in ("pin_fillet", "journal_fillet", "oil_bore"):
        np.testing.assert_allclose(getattr(found, place), getattr(expected, place), rtol=1e-9)


@pytest.mark.parametrize("stem", DEMOS)
def test_fillets_take_the_worse_web_of_the_continuous_shaft(stem):
    design = as_continuous(DEMOS[stem])
    train, speed = RigidTrain(design), np.array([200.0, design.layout.rated_speed])
    parts = CrankParts(train)
    bending = alternating_over_speed(train.continuous_shaft.web_bending, speed)[:, 0]
    throw = design.crank_throw
    modulus = parts.section.web_width * throw.web_thickness**2 / 6
    expected = bending.reshape(design.layout.throws, 2, 2).max(axis=1) / modulus
    np.testing.assert_allclose(parts.alternating(speed).web_bending, expected, rtol=1e-12)


def test_the_file_keeps_rule_and_stiffness(tmp_path):
    design = as_continuous(TOURING, main_stiffness=1.5e9)
    save_design(design, tmp_path / "six.toml")
    text = (tmp_path / "six.toml").read_text()
    assert 'main_loads = "continuous"' in text
    assert "main_stiffness_kN_um = 1.5" in text
    assert load_design(tmp_path / "six.toml").crank == design.crank


@pytest.mark.parametrize(
    ("crank", "words"),
    [
        ({"main_loads": "both"}, "crank.main_loads.*cut_at_mains, continuous.*both"),
        ({"main_stiffness": 0.0}, "crank.main_stiffness_kN_um.*0.001 to 1000 kN/µm.*0 kN/µm"),
        ({"main_stiffness": math.nan}, "crank.main_stiffness_kN_um"),
    ],
)
def test_what_is_no_rule_or_stiffness_is_refused(crank, words):
    with pytest.raises(DesignError, match=words):
        changed(TOURING, "crank", **crank)


@pytest.mark.parametrize("group", ["crank_throw", "crank_material", "big_end", "main_bearing"])
def test_one_piece_needs_the_shafts_dimensions(group):
    bare = dataclasses.replace(TOURING, shaft=None, torsion=None, **{group: None})
    with pytest.raises(DesignError, match=f"{group}.*is missing.*continuous"):
        as_continuous(bare)


def test_least_inertia_is_chosen_by_the_cut_shaft_under_either_rule():
    """Its loads are shares of throw and web, so the rule of the design must not mix in."""
    speed = TOURING.layout.rated_speed
    both = [CounterweightChoice(one, speed) for one in (TOURING, as_continuous(TOURING))]
    placed = both[0].present
    assert both[0].load(placed) == both[1].load(placed)
