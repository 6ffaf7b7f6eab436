"""Controls: each reads back what it was set to, and refuses what cannot be."""

import dataclasses
import math

import pytest

from apps.controls import film_controls, limit_controls
from apps.controls.controls import (
    CONTINUOUS_SHAFT,
    CURVE,
    CURVE_KEYS,
    FIRING_KEYS,
    FROM_GEOMETRY,
    GROUPS,
    SPEED,
    changed,
    control_groups,
    control_values,
    speed_slider,
)
from apps.controls.shaft_controls import GROUPS as SHAFT_GROUPS
from assets_demo import demo_paths
from kinematics import DesignError, load_demo, load_design, solve_cycle, with_value
from kinematics.design.design_bearings import FILM_MODELS
from kinematics.design.design_firing import Firing
from kinematics.design.shaft_throw import throw_unbalance
from kinematics.limits.speed_limits import speed_limits
from kinematics.train.cycle import RigidTrain
from tests.conftest import tried
from viz.film.film_model_words import OIL_UNDER_PRESSURE, film_model_words
from viz.firing_words import STATE_LABELS

ALL = GROUPS + limit_controls.GROUPS
GIVEN_OR_NONE = {
    "rod_bolts.load_factor": 0.1,
    "torsion.damper_diameter_mm": 180,
    "torsion.damper_width_mm": 40,
}
CURVE_BOXES = {key for key in CURVE_KEYS if int(key.split(".")[1]) <= 6}  # the touring six's rows
WITHOUT_SLIDER = {"oil.supply_pressure_bar", "firing.state", *CURVE_KEYS}
KEYS = sorted(
    {key for _, _, keys in ALL for key in keys} - {SPEED} - (set(CURVE_KEYS) - CURVE_BOXES)
)


@pytest.fixture(params=list(demo_paths()))
def design(request):
    return load_design(demo_paths()[request.param])


def test_a_control_set_to_its_own_value_leaves_the_design(design):
    values = control_values(design, 3000.0, ALL)
    for key in set(KEYS) & set(values):
        again = changed(design, key, values[key])
        assert control_values(again, 3000.0, ALL) == pytest.approx(values, rel=1e-9)


def test_a_choice_reads_back_its_place_and_refuses_a_place_beyond():
    design = load_design(demo_paths()["Touring six"])
    key = "oil.film_model"
    for place, name in enumerate(FILM_MODELS):
        chosen = changed(design, key, place)
        assert chosen.oil.film_model == name
        assert control_values(chosen, 3000.0, film_controls.GROUPS)[key] == place
        assert changed(chosen, key, FILM_MODELS.index(design.oil.film_model)) == design
    for wrong in (-1, 0.5, len(FILM_MODELS)):
        with pytest.raises(DesignError, match=r"oil\.film_model: must be 0 to 2, a place"):
            changed(design, key, wrong)
    for wrong in ("short_bearing", True, math.nan):
        with pytest.raises(DesignError, match="must be a number"):
            changed(design, key, wrong)
    controls = [
        one for group in control_groups(design, film_controls.GROUPS) for one in group["controls"]
    ]
    choices = {one["key"]: one["choices"] for one in controls if one["choices"]}
    names = [film_model_words(name).name for name in FILM_MODELS]
    assert choices == {
        key: names,
        "firing.state": list(STATE_LABELS),
        "oil.under_pressure": list(OIL_UNDER_PRESSURE),
    }


def test_the_state_of_combustion_shows_what_counts_in_it_and_takes_whole_numbers():
    design = load_design(demo_paths()["Hill climb six"])
    states = {key for key in FIRING_KEYS if key in control_values(design, 3000.0, ALL)}
    assert states == set(FIRING_KEYS)

    def shown(of):
        groups = control_groups(of, GROUPS)
        return [one["key"] for group in groups for one in group["controls"]]

    assert set(FIRING_KEYS) & set(shown(design)) == {"firing.state", "firing.imep_spread_percent"}
    motored = changed(changed(design, "firing.state", 1), "firing.cylinder", 3.0)
    assert motored.firing == Firing("motored", 3)
    spread = changed(motored, "firing.imep_spread_percent", 5)
    assert set(FIRING_KEYS) <= set(shown(spread))
    assert changed(changed(spread, "firing.state", 0), "firing.imep_spread_percent", 0).firing == (
        Firing(cylinder=3)
    )
    for wrong in (7, 0, 2.5):
        with pytest.raises(DesignError, match=r"firing\.cylinder: must be"):
            changed(motored, "firing.cylinder", wrong)


@pytest.mark.parametrize("key", KEYS)
def test_a_control_reads_back_what_it_was_set_to(key):
    design = load_design(demo_paths()["Touring six"])
    if key == "mains.stiffness":  # shown only when it counts
        design = changed(design, CONTINUOUS_SHAFT, 1)
    if key in GIVEN_OR_NONE:  # shown only where it is given
        design = with_value(design, key, GIVEN_OR_NONE[key])
    before = control_values(design, 3000.0, ALL)[key]
    firing = {"firing.state": 1, "firing.cylinder": 2, "firing.seed": 5}
    wanted = {CONTINUOUS_SHAFT: 1, "pressure.load_percent": 60, **firing}.get(
        key, before * 1.01 + 0.001
    )
    if key.startswith("full_load") and key.endswith("load_percent"):
        wanted = 60
    after = control_values(changed(design, key, wanted), 3000.0, ALL)[key]
    assert after == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("key", KEYS)
def test_a_value_that_cannot_be_is_refused_in_words(key):
    design = load_design(demo_paths()["Touring six"])
    for value in (math.nan, math.inf, -math.inf, -1e9, 1e308, None, "x", True):
        refusal = tried(lambda wrong=value: changed(design, key, wrong))
        assert isinstance(refusal, DesignError), value
        assert refusal.message


def test_rod_ratio_keeps_when_read_over_radius_or_stroke(design):
    values = control_values(changed(design, "rod.over_radius", 3.9), 3000.0, GROUPS)
    assert values["rod.over_radius"] == pytest.approx(3.9)
    assert values["rod.over_stroke"] == pytest.approx(1.95)


def test_counterweights_keep_their_proportions():
    design = load_design(demo_paths()["Hill climb six"])
    again = changed(design, "counterweight", 40.0)
    largest = max(weight.unbalance for weight in design.counterweights)
    for before, after in zip(design.counterweights, again.counterweights, strict=True):
        assert after.unbalance / 0.040 == pytest.approx(before.unbalance / largest)


def test_counterweights_taken_off_come_back_in_their_proportions():
    design = load_design(demo_paths()["Hill climb six"])
    bare = changed(design, "counterweight", 0.0)
    assert max(weight.unbalance for weight in bare.counterweights) < 1e-8
    largest = control_values(design, 3000.0, GROUPS)["counterweight"]
    again = changed(bare, "counterweight", largest)
    for before, after in zip(design.counterweights, again.counterweights, strict=True):
        assert after.unbalance == pytest.approx(before.unbalance, rel=1e-12)


def test_a_design_without_counterweights_gets_one_on_every_web():
    design = dataclasses.replace(load_design(demo_paths()["Hill climb six"]), counterweights=())
    again = changed(design, "counterweight", 10.0)
    assert [weight.web for weight in again.counterweights] == list(range(1, 13))
    assert {weight.unbalance for weight in again.counterweights} == {0.010}


def test_every_control_says_label_unit_and_why(design):
    for group in control_groups(design, ALL):
        for control in group["controls"]:
            assert control["label"]
            assert control["why"]
            if control["key"] in WITHOUT_SLIDER:
                continue
            low, high, step = control["slider"]
            assert low < high
            assert step > 0


@pytest.mark.parametrize("groups", [GROUPS, limit_controls.GROUPS], ids=["train", "limits"])
def test_no_two_controls_of_a_page_have_the_same_label(design, groups):
    labels = [one["label"] for group in control_groups(design, groups) for one in group["controls"]]
    assert sorted(labels) == sorted(set(labels))


def test_groups_of_which_a_design_has_nothing_are_left_out(base):
    titles = [group["title"] for group in control_groups(base, limit_controls.GROUPS)]
    assert "What if" in titles
    assert "Allowables" in titles
    assert not {"Piston pin and ring", "Rod and bolts"} & set(titles)


@pytest.mark.parametrize(
    ("name", "unit", "criterion"),
    [("journal_speed", "_m_s", "crankpin_speed"), ("acceptability", "", "pin_fillet"),
     ("big_end_specific_load", "_MPa", "big_end_specific_load")],
)  # fmt: skip
def test_an_allowable_that_a_design_leaves_out_is_shown_as_it_is_in_force(name, unit, criterion):
    design = load_design(demo_paths()["Touring six"])
    assert getattr(design.limits, name) is None
    in_force = speed_limits(design).rung(criterion).allowed.value / (1e6 if unit == "_MPa" else 1)
    shown = control_values(design, 3000.0, limit_controls.GROUPS)
    assert shown[f"limits.{name}{unit}"] == pytest.approx(in_force)


def test_speed_slider_spans_the_rated_speed(design):
    low, high, _ = speed_slider(design)
    assert low < design.layout.rated_speed * 30 / math.pi < high


def test_the_tick_box_of_the_shaft_in_one_piece_sets_the_rule():
    design = load_design(demo_paths()["Touring six"])
    assert control_values(design, 3000.0, ALL)[CONTINUOUS_SHAFT] == 1
    unticked = changed(design, CONTINUOUS_SHAFT, 0)
    assert unticked.crank.main_loads == "cut_at_mains"
    assert control_values(unticked, 3000.0, ALL)[CONTINUOUS_SHAFT] == 0
    assert changed(unticked, CONTINUOUS_SHAFT, 1).crank.main_loads == "continuous"


@pytest.mark.parametrize("value", [0.5, 0.01, -1, 2])
def test_a_tick_box_is_ticked_or_not(value):
    design = load_design(demo_paths()["Touring six"])
    with pytest.raises(DesignError, match=r"mains\.continuous"):
        changed(design, CONTINUOUS_SHAFT, value)


def test_a_mains_stiffness_is_offered_only_where_it_counts():
    """Left out of the design it reads as the beam takes it: largest load over clearance."""
    design = load_design(demo_paths()["Touring six"])
    cut = changed(design, CONTINUOUS_SHAFT, 0)
    assert "mains.stiffness" not in control_values(cut, 3000.0, ALL)
    ticked = changed(cut, CONTINUOUS_SHAFT, 1)
    stiffness = RigidTrain(ticked).continuous_shaft.stiffness
    shown = control_values(ticked, 3000.0, ALL)["mains.stiffness"]
    assert shown == pytest.approx(stiffness[0] / 1e9, rel=1e-12)
    given = changed(ticked, "mains.stiffness", 1.25)
    assert given.crank.main_stiffness == pytest.approx(1.25e9, rel=1e-12)


def test_a_shaft_without_the_sizes_of_its_mains_has_no_tick_box():
    design = load_design(demo_paths()["Touring six"])
    assert CONTINUOUS_SHAFT not in control_values(
        dataclasses.replace(design, main_bearing=None), 3000.0, ALL
    )


def test_the_full_load_curve_has_its_rows_as_boxes_and_in_a_picture(design):
    (group,) = [one for one in control_groups(design, GROUPS) if one["title"] == CURVE] or [None]
    if design.pressure.source == "trace":
        assert group is None
        return
    assert len(group["controls"]) == 4 * len(design.full_load)
    rows = group["curve"]["rows"]
    assert len(rows) == len(design.full_load)
    for (rpm, peak, mean), row in zip(rows, design.full_load, strict=True):
        cycle = solve_cycle(design, rpm)
        assert cycle.speed == pytest.approx(row.speed)
        assert 1e5 * peak == pytest.approx(cycle.forces.cylinder_pressure.max())
        assert 1e5 * mean == pytest.approx(cycle.indicated_mean_pressure)


def test_gas_that_is_not_usual_is_said_in_its_group(design):
    thin = changed(design, "pressure.intake_bar", 0.6 * design.pressure.intake / 1e5)
    for shown, doubted in ((design, False), (thin, design.pressure.source == "model")):
        (gas,) = [
            one for one in control_groups(shown, GROUPS) if one["title"] == "Cylinder pressure"
        ]
        assert ("indicated efficiency" in gas["warning"]) == doubted


def test_the_unbalance_follows_the_webs_once_it_is_ticked():
    design = load_demo("hill_climb_six")
    assert control_values(design, 8500, SHAFT_GROUPS)[FROM_GEOMETRY] == 0
    deeper = changed(design, "shaft.web_chamfer_depth_mm", 26)
    assert throw_unbalance(deeper) == throw_unbalance(design)
    ticked = changed(deeper, FROM_GEOMETRY, 1)
    assert throw_unbalance(ticked) < 0.98 * throw_unbalance(design)
    again = changed(ticked, FROM_GEOMETRY, 0)
    assert again.crank.throw_unbalance == throw_unbalance(ticked)
    with pytest.raises(DesignError, match="1, ticked, or 0"):
        changed(design, FROM_GEOMETRY, 0.5)
    without = dataclasses.replace(design, crank_throw=None)
    assert FROM_GEOMETRY not in control_values(without, 8500, SHAFT_GROUPS)
