"""What a criterion may say: no negative use, guides that never govern, the worst of the range."""

import dataclasses
import math
from typing import get_args

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assets_demo import DEMO_DESIGNS
from kinematics import Design, DesignError, with_value
from kinematics.design.allowables import LimitName, Limits
from kinematics.design.design_field import group_field
from kinematics.limits.criterion import OptionalGroup
from kinematics.limits.named_results import SUBJECTS
from kinematics.limits.rod_criteria import RodParts
from kinematics.limits.speed_limits import speed_limits
from kinematics.strength.bolted_joint import thread_stress_area
from kinematics.train.cycle import RigidTrain
from kinematics.train.full_load import full_load_from
from tests.conftest import changed
from tests.demos import DEMOS, demo_ladder
from tests.kinematics.limits.lone_rung import lone_rung

HILL_CLIMB, TOURING = DEMOS["hill_climb_six"], DEMOS["touring_six"]
CRITERIA = [criterion for _, criteria in SUBJECTS for criterion in criteria]
FILMS = ("big_end_film", "main_film")
BY_ORBITS = (*FILMS, "big_end_feed", "main_feed")
PIN_KEYS = ("piston_pin.outer_diameter_mm", "piston_pin.inner_diameter_mm")
SLIDERS = (
    *PIN_KEYS, "piston_pin.length_mm", "piston_pin.small_end_width_mm", "piston_pin.boss_gap_mm",
    "top_ring.axial_height_mm", "top_ring.radial_width_mm", "top_ring.land_pressure_percent",
    "rod_shank.depth_mm", "rod_shank.width_mm", "rod_shank.flange_thickness_mm",
    "rod_bolts.diameter_mm", "rod_bolts.preload_kN", "rod_bolts.tightening_factor",
    "rod_bolts.load_introduction", "cylinder.stroke_mm", "cylinder.rod_length_mm",
    "piston.assembly_mass_g", "rod.mass_g", "pressure.peak_bar", "crank_throw.web_width_mm",
    "crank_throw.web_thickness_mm", "crank_throw.pin_fillet_mm", "big_end.diameter_mm",
)  # fmt: skip


def test_the_names_that_mypy_checks_are_the_design_s():
    assert set(get_args(LimitName)) < {field.name for field in dataclasses.fields(Limits)}
    assert {one.limit for one in CRITERIA} - {None} == set(get_args(LimitName))
    groups = {field.name for field in dataclasses.fields(Design) if field.default is None}
    assert set(get_args(OptionalGroup)) == groups


def test_a_criterion_without_guide_value_is_assessed_where_the_design_gives_one():
    (found,) = [
        one for one in demo_ladder("touring_six").unjudged
        if one.criterion.key == "main_load_per_width"
    ]  # fmt: skip
    assert found.why.field == "limits.load_per_width_N_mm"
    assert "give one to assess it" in str(found.why)
    assert (
        lone_rung(changed(TOURING, "limits", load_per_width=2e6), "main_load_per_width").value_at
        > 0
    )


@st.composite
def on_the_sliders(draw: st.DrawFn) -> Design:
    """A demo with up to four sliders anywhere between their ends."""
    design = DEMOS[draw(st.sampled_from(sorted(DEMOS)))]
    for key in draw(st.lists(st.sampled_from(SLIDERS), min_size=1, max_size=4, unique=True)):
        declared = group_field(design, key)[2]
        low, high, _ = declared.slider
        try:
            design = with_value(design, key, draw(st.floats(low, high)))
        except DesignError:
            continue
    return design


@settings(max_examples=60)
@given(on_the_sliders())
def test_no_use_is_negative_or_not_a_number(design):
    try:
        train = RigidTrain(design)
        _ = train.pressure
    except DesignError:
        return
    speed = np.array([0.3, 1.0, 1.6]) * design.layout.rated_speed
    for subject, criteria in SUBJECTS:
        parts = subject(train)
        for criterion in criteria:
            if criterion.key in BY_ORBITS:
                continue  # a film costs a second; its own tests look at it
            try:
                use = criterion.use(criterion.value(parts, speed), criterion.allowable(parts).value)
            except DesignError:
                continue
            assert np.all(use >= 0), criterion.key
            assert not np.isnan(use).any(), criterion.key


@pytest.mark.parametrize(("bore", "minimum_use"), [(19.8, 1.0), (20.0, 1.0), (21.0, 1.0)])
def test_a_thin_pin_is_over(bore, minimum_use):
    """Pin 23 mm: the fitted ovality called a bore of 20 mm fine, 92 % below nothing."""
    design = changed(HILL_CLIMB, "piston_pin", outer_diameter=0.023, inner_diameter=bore * 1e-3)
    for key in ("pin_ovalisation", "pin_hoop"):
        assert lone_rung(design, key).use_at > minimum_use, key


def test_a_thick_pin_is_not_assessed_for_ovality_and_says_why():
    thick = changed(HILL_CLIMB, "piston_pin", inner_diameter=0.008)
    ladder = speed_limits(thick)
    why = {one.criterion.key: str(one.why) for one in ladder.unjudged}
    assert "must be at least 0.4" in why["pin_ovalisation"]
    assert "must be at least 0.4" in why["pin_hoop"]
    assert ladder.rung("pin_bending") is not None


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_the_use_shown_is_the_largest_up_to_the_rated_speed(stem):
    """Against a fine grid of speeds of full load; films, which cost more, on a coarse one."""
    design = DEMOS[stem]
    ladder = demo_ladder(stem)
    low = full_load_from(design)
    for one in ladder.rungs:
        if one.criterion.at_idle:
            continue
        speed = np.linspace(low, ladder.rated, 9 if one.criterion.key in BY_ORBITS else 400)
        use = one.criterion.use(one.criterion.value(one.parts, speed), one.allowed.value)
        assert one.use_at >= use.max() * (1 - (0.02 if one.criterion.key in BY_ORBITS else 2e-3))
        assert low * (1 - 1e-12) <= one.at <= ladder.rated
        anew = type(one.parts)(RigidTrain(design))  # which remembers no films
        here = one.criterion.value(anew, np.array([one.at]))
        close = (
            3e-4 if one.criterion.key in BY_ORBITS else 1e-9
        )  # films agree to what they converge to
        assert one.value_at == pytest.approx(float(here[0]), rel=close)


def test_gas_loaded_parts_are_shown_where_inertia_relieves_them_least():
    steady = dataclasses.replace(HILL_CLIMB, full_load=())
    for key in ("boss_pressure", "buckling_in_plane", "big_end_specific_load"):
        found = lone_rung(steady, key)
        assert found.at == pytest.approx(full_load_from(steady))
        assert found.use_at > 1.1 * found.rated_use


def test_guides_never_govern():
    guides = [one.key for one in CRITERIA if one.guide]
    assert {"mean_piston_speed", "piston_acceleration"} <= set(guides)
    slow = changed(TOURING, "limits", mean_piston_speed=8.0, piston_acceleration=4e3)
    before, after = demo_ladder("touring_six"), speed_limits(slow)
    assert after.rung("mean_piston_speed").limit < 0.5 * after.rated
    assert after.lowest.criterion.key == before.lowest.criterion.key
    assert after.verdict(after.rung("mean_piston_speed")) == "guide"
    assert after.rungs[0].criterion.key == before.rungs[0].criterion.key
    first_guide = next(i for i, one in enumerate(after.rungs) if one.criterion.guide)
    assert all(one.criterion.guide for one in after.rungs[first_guide:])


def test_a_guide_speaks_where_nothing_else_is_assessed():
    groups = ("piston_pin", "top_ring", "rod_shank", "rod_material", "rod_bolts", "crank_throw",
              "crank_material", "shaft", "torsion", "big_end", "main_bearing", "oil")  # fmt: skip
    bare = dataclasses.replace(
        TOURING, crank=dataclasses.replace(TOURING.crank, throw_unbalance=0.02),
        **dict.fromkeys(groups),
    )  # fmt: skip
    ladder = speed_limits(bare)
    assert {one.criterion.key for one in ladder.rungs} == {"mean_piston_speed"}
    assert ladder.lowest.criterion.key == "mean_piston_speed"


@pytest.mark.parametrize("share", [0.0, 0.2, 0.4, 0.6])
def test_pressure_on_the_land_takes_from_the_rings_hold(share):
    """Hold is Δp (1 - s) A: the use rises as 1/(1 - s), the limit falls as its root."""
    steady = dataclasses.replace(HILL_CLIMB, full_load=())
    free = lone_rung(changed(steady, "top_ring", land_pressure=0.0), "ring_lift")
    found = lone_rung(changed(steady, "top_ring", land_pressure=share), "ring_lift")
    assert found.use_at == pytest.approx(free.use_at / (1 - share), rel=1e-9)
    assert found.limit == pytest.approx(free.limit * math.sqrt(1 - share), rel=1e-6)


def test_yield_takes_the_maximum_preload_and_separation_the_minimum():
    alone = changed(TOURING, "rod_bolts", tightening_factor=1.0)
    loose = changed(TOURING, "rod_bolts", tightening_factor=1.6)
    for key in ("joint_opening", "split_slip", "bolt_fatigue"):
        assert lone_rung(alone, key).value_at == lone_rung(loose, key).value_at
    bolts, parts = loose.rod_bolts, lone_rung(loose, "bolt_yield").parts
    pull = parts.bolt_load(np.array([loose.layout.rated_speed])).max()
    area = thread_stress_area(bolts.diameter, bolts.pitch)
    expected = bolts.yield_stress * area / (1.6 * bolts.preload + parts.load_factor * pull)
    assert lone_rung(loose, "bolt_yield").value_at == pytest.approx(expected, rel=1e-9)
    assert lone_rung(loose, "bolt_yield").value_at < lone_rung(alone, "bolt_yield").value_at


def test_a_load_factor_given_comes_before_the_dimensions():
    given = RodParts(RigidTrain(changed(TOURING, "rod_bolts", load_factor=0.3)))
    assert given.joint.load_factor == 0.3
    free = changed(TOURING, "rod_bolts", load_factor=None)
    by_size = RodParts(RigidTrain(free)).load_factor
    slim = changed(free, "rod_bolts", shank_diameter=0.8 * free.rod_bolts.diameter)
    assert 0.02 < RodParts(RigidTrain(slim)).load_factor < by_size < 0.3


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"head_diameter": 0.0082}, "rod_bolts.head_diameter_mm"),
        ({"body_diameter": 0.011}, "rod_bolts.body_diameter_mm"),
        ({"shank_diameter": 0.009}, "rod_bolts.shank_diameter_mm"),
        ({"tightening_factor": 0.9}, "rod_bolts.tightening_factor"),
        ({"load_introduction": 0.0}, "rod_bolts.load_introduction"),
        ({"grip": 0.0}, "rod_bolts.grip_mm"),
    ],
)
def test_bolts_that_cannot_be_are_refused(values, field):
    free = changed(TOURING, "rod_bolts", load_factor=None, diameter=0.008)
    with pytest.raises(DesignError) as refusal:
        changed(free, "rod_bolts", **values)
    assert refusal.value.field == field


@pytest.mark.parametrize("stem", ["hill_climb_six", "touring_six"])
def test_rod_fatigue_is_judged_over_the_duty(stem):
    """Against the extremes of every fibre over all speeds from full load up to each."""
    design = DEMOS[stem]
    found = lone_rung(design, "rod_fatigue")
    parts: RodParts = found.parts
    first = full_load_from(design)
    for speed in (first, 0.7 * found.at, found.at, 1.1 * found.at):
        fibres = parts.fibres(np.linspace(min(first, speed), speed, 60))
        high, low = fibres.max(axis=(1, 3)), fibres.min(axis=(1, 3))
        mean, half = np.maximum((high + low) / 2, 0), (high - low) / 2
        least = 1 / (half / parts.endurance + mean / design.rod_material.tensile).max()
        assert parts.minimum_fatigue_safety(np.array([speed]))[0] == pytest.approx(least, rel=2e-3)
    alone = parts.cycle_safety(np.array([found.at])).min()
    assert found.value_at < 0.95 * alone


@pytest.mark.parametrize("line", ["goodman", "gerber", "asme_elliptic"])
def test_each_fatigue_line_is_met_at_its_own_factor(line):
    """n σa and n σm put into the line's own equation give 1, at every fibre and section."""
    design = changed(TOURING, "rod_material", fatigue_line=line)
    parts = RodParts(RigidTrain(design))
    speed = np.array([design.layout.rated_speed])
    duty, n = parts.duty_ranges(speed), parts.fatigue_safety(speed)
    half = n * duty.alternating / parts.endurance
    mean = n * np.maximum(duty.mean, 0)
    steel = design.rod_material
    used = {
        "goodman": half + mean / steel.tensile,
        "gerber": half + (mean / steel.tensile) ** 2,
        "asme_elliptic": half**2 + (mean / steel.yield_stress) ** 2,
    }[line]
    assert used == pytest.approx(1, rel=1e-12)


def test_goodman_is_the_default_and_more_cautious_than_gerber():
    assert TOURING.rod_material.fatigue_line == "goodman"
    parts = RodParts(RigidTrain(TOURING))
    fast = parts.duty_ranges(np.array([2 * TOURING.layout.rated_speed]))
    assert fast.mean.max() > 20e6
    lines = [parts.line_safety(fast, line).min() for line in ("goodman", "gerber")]
    assert lines[0] < 0.99 * lines[1]
    with pytest.raises(DesignError) as refusal:
        changed(TOURING, "rod_material", fatigue_line="soderberg")
    assert refusal.value.field == "rod_material.fatigue_line"
