"""Rules of thumb: against printed values, and designs that solve over all that may be asked."""

import dataclasses
import itertools
import math

import numpy as np
import pytest

from kinematics import DesignError, design_text, load_demo, parse_design, speed_limits
from kinematics.design.allowables import DEFAULTS
from kinematics.design.design_groups import ENTRIES, RECORD_OF_GROUP, REQUIRED_GROUPS
from kinematics.design.design_origin import LONGEST_ORIGIN_NOTE, RULE
from kinematics.design.engine_layout import LAYOUTS
from kinematics.design.group_by_rules import like, with_group_by_rules
from kinematics.design.new_design import (
    APPLICATIONS,
    LONGEST_ROD,
    MEAN_PISTON_SPEED,
    STROKES,
    NewDesign,
)
from kinematics.design.rules_of_thumb import (
    RULES,
    THREADS,
    design_by_rules,
)
from kinematics.film.least_films import least_films
from kinematics.fit.fit_check import DOES_NOT_FIT
from kinematics.fit.fit_checks import fit_checks
from kinematics.mechanics.firing_order import firing_angles
from kinematics.train.cycle import RigidTrain
from kinematics.units import UNITS

BAR, RPM = 1e5, math.pi / 30
ROAD = NewDesign("in-line six, 120°", "road", 0.082, 0.094, 0.160, 5800 * RPM, 68 * BAR)
ASKED = {"bore_mm", "stroke_mm", "rod_length_mm", "rated_speed_rpm", "peak_bar"}


def corners():
    """What may be asked for, at the ends of every range, in turn over the layouts."""
    layouts = itertools.cycle(LAYOUTS)
    for application, use in APPLICATIONS.items():
        for bore, share, rod, slow, peak in itertools.product(
            (0.05, 0.1, 0.25), STROKES, (0, 1), (0.1, 1), use.peak
        ):
            stroke = min(max(share * bore, 0.03), 0.4)
            low, high = stroke / 2 + 0.9 * bore, min(LONGEST_ROD * stroke, 1.4)
            speed = slow * MEAN_PISTON_SPEED * math.pi / stroke
            speed = min(max(speed, 200 * RPM), 15000 * RPM)
            yield NewDesign(
                next(layouts), application, bore, stroke, low + rod * (high - low), speed, peak
            )


def test_every_corner_of_what_may_be_asked_is_a_design_that_solves() -> None:
    count = 0
    for new in corners():
        design = design_by_rules(new)
        assert RigidTrain(design).pressure.courses.max() == pytest.approx(new.peak, rel=1e-2)
        assert all(getattr(design, group) is not None for group in RECORD_OF_GROUP)
        assert design.continuous is (design.layout.throws == 6)
        count += 1
    assert count == 144


def usual():
    """What is usually asked for: bore, stroke over bore, mean piston speed, peak [bar], rod."""
    layouts = itertools.cycle(LAYOUTS)
    for application, bores, strokes, piston_speeds, peaks in (
        ("competition", (0.078, 0.1), (0.8, 1.0), 22, (75, 95)),
        ("road", (0.072, 0.1), (0.9, 1.15), 17, (60, 85)),
        ("boat", (0.09, 0.18), (1.1, 1.25), 10, (120, 170)),
    ):
        for bore, share, peak in itertools.product(bores, strokes, peaks):
            stroke = share * bore
            rod = max(1.75 * stroke, stroke / 2 + 1.15 * bore)
            speed = piston_speeds * math.pi / stroke
            yield NewDesign(next(layouts), application, bore, stroke, rod, speed, peak * BAR)


def test_the_parts_of_a_usual_new_design_fit() -> None:
    found = [
        (new.layout, check.sentence)
        for new in usual()
        for check in fit_checks(design_by_rules(new))
        if check.outcome == DOES_NOT_FIT
    ]
    assert found == []


def test_the_big_ends_of_a_usual_new_design_are_fed_and_float_at_rated_speed() -> None:
    """Allowables as `DEFAULTS`: Neale (ed.), The Tribology Handbook, A11; half of a full film."""
    least = {"minimum_film": DEFAULTS["big_end_film"][0], "filling": DEFAULTS["film_filling"][0]}
    for new in list(usual())[::5]:
        films = least_films(RigidTrain(design_by_rules(new)), "big_end")
        for name, allowed in least.items():
            assert films.least(name, np.array([new.rated_speed])) >= allowed, (new, name)


@pytest.mark.parametrize("layout", [name for name, one in LAYOUTS.items()
                                    if len(one.throw_angles) == 3])  # fmt: skip
def test_three_throws_have_a_damper(layout: str) -> None:
    """Without one the orders 4.5 and 6 of an in-line three meet its first mode below rated."""
    new = dataclasses.replace(ROAD, layout=layout)
    design = design_by_rules(new)
    assert design.torsion.damper == "viscous"
    assert speed_limits(design).rung("shaft_stress").limit > new.rated_speed


@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_layout_fires_evenly(layout: str) -> None:
    design = design_by_rules(dataclasses.replace(ROAD, layout=layout))
    angles = sorted(firing_angles(design.layout))
    between = 2 * math.pi * 2 / design.layout.cylinders
    assert angles == pytest.approx([k * between for k in range(len(angles))], abs=1e-9)


@pytest.mark.parametrize("application", APPLICATIONS)
def test_the_ladder_of_a_new_design_assesses_every_part(application: str) -> None:
    peak = {"competition": 84, "road": 68, "boat": 150}[application] * BAR
    speed = {"competition": 7000, "road": 5800, "boat": 2300}[application] * RPM
    new = dataclasses.replace(ROAD, application=application, peak=peak, rated_speed=speed)
    design = design_by_rules(new)
    ladder = speed_limits(design)
    assert {absent.why.field for absent in ladder.unjudged} == {"limits.load_per_width_N_mm"}
    assert len(ladder) >= 33
    for key in ("big_end_film", "main_film", "big_end_feed", "oil_supply"):
        assert ladder.verdict(ladder[key]) != "over", ladder[key]
    assert RigidTrain(design).warnings == ()


def test_every_value_that_was_not_asked_for_says_its_rule() -> None:
    design = parse_design(design_text(design_by_rules(ROAD)))
    asked = {key for key in ENTRIES if key.split(".")[1] in ASKED and not key.startswith("limits")}
    asked -= {"full_load.speed_rpm"}
    plain = {"layout.strokes_per_cycle", "pressure.source"}
    for key, entry in ENTRIES.items():
        if entry.is_default(design) or key in asked | plain:
            continue
        assert design.origins[key].word == RULE, key
        note = design.origins[key].note
        assert any(word in note for word in ("source", "memory", "Neale", "IACS")), key
        assert len(note) <= LONGEST_ORIGIN_NOTE
    assert not asked & design.origins.keys()


def test_rules_against_printed_values() -> None:
    """Kolchin and Demidov, Design of Automotive Engines (Mir, 1984), from memory: piston group of
    petrol engines 80 to 150 kg/m² of bore area (racing 50 to 80 with pin and small end), rods 100
    to 200 (racing less), 0.275 of the rod reciprocating. Piston index 0.4 to 0.7 g/cm³, from
    memory. ISO 261 fine pitches, from memory. Neale (ed.), The Tribology Handbook, A11: 7500 psi.
    """
    design = design_by_rules(ROAD)
    area = math.pi / 4 * ROAD.bore**2
    assert 50 < design.piston.assembly_mass / area < 150
    assert 90 < design.rod.mass / area < 200
    index = design.piston.assembly_mass / ROAD.bore**3
    assert 400 < index < 700
    assert design.rod.cg_from_big_end / design.cylinder.rod_length == pytest.approx(0.275, abs=1e-3)
    gas = ROAD.peak * area
    assert gas / design.big_end.projected_area < 7500 * 6894.757
    bolts = design.rod_bolts
    assert (round(bolts.diameter * 1e3), round(bolts.pitch * 1e3, 2)) in THREADS
    stress_area = math.pi / 4 * (8 - 0.9382 * 1) ** 2
    assert stress_area == pytest.approx(39.2, abs=0.1)  # ISO 898-1, M8×1: 39.2 mm² (from memory)


def test_a_higher_peak_pressure_makes_stronger_parts() -> None:
    low, high = (design_by_rules(dataclasses.replace(ROAD, peak=peak * BAR)) for peak in (80, 130))
    for read in (
        lambda d: d.piston_pin.outer_diameter, lambda d: d.big_end.width, lambda d: d.rod.mass,
        lambda d: d.main_bearing.diameter, lambda d: d.layout.throw_spacing,
        lambda d: d.piston.assembly_mass, lambda d: d.rod_shank.section,
    ):  # fmt: skip
        assert read(high) > read(low)


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("layout", "radial", "layout: must be one of in-line six"),
        ("layout", 3, "layout: must be one of"),
        ("application", "", "application: must be one of competition, road, boat"),
        ("bore", 0.01, "bore_mm: must be 50 to 250 mm (got 10 mm)"),
        ("bore", math.nan, "bore_mm: must be"),
        ("bore", math.inf, "bore_mm: must be"),
        ("bore", "82", "bore_mm: must be a number"),
        ("bore", True, "bore_mm: must be a number"),
        ("bore", None, "bore_mm: must be a number"),
        ("bore", -0.08, "bore_mm: must be"),
        ("stroke", 0.045, "stroke_mm: must be 49.2 to 131.2 mm, 0.6 to 1.6 bores (got 45 mm)"),
        ("stroke", 0.2, "stroke_mm: must be 49.2 to 131.2 mm"),
        ("rod_length", 0.1, "rod_length_mm: must be 120.8 to 329 mm"),
        ("rod_length", 0.4, "rod_length_mm: must be 120.8 to 329 mm"),
        ("rated_speed", 300 * RPM, "rated_speed_rpm: must be 893.6 to 8936 rpm"),
        ("rated_speed", 9500 * RPM, "a mean piston speed of 2.8 to 28 m/s"),
        ("rated_speed", 0.0, "rated_speed_rpm: must be 200 to 15000 rpm"),
        ("peak", 30 * BAR, "peak_bar: must be 45 to 200 bar"),
        ("peak", 180 * BAR, "peak_bar: must be 45 to 140 bar, of an engine for road"),
        ("peak", 1e308, "peak_bar: must be 45 to 200 bar"),
    ],
)  # fmt: skip
def test_what_may_not_be_asked_names_its_field(field: str, value: object, words: str) -> None:
    with pytest.raises(DesignError) as caught:
        dataclasses.replace(ROAD, **{field: value})
    assert words in str(caught.value)


def test_a_group_that_is_missing_is_added_by_the_same_rules() -> None:
    six = load_demo("touring_six")
    for group in sorted(set(RECORD_OF_GROUP) - REQUIRED_GROUPS - {"firing", "limits"}):
        bare = dataclasses.replace(six, **{group: None})
        if group in ("crank_throw", "big_end"):
            bare = dataclasses.replace(bare, counterweights=())
        design = with_group_by_rules(bare, group)
        assert getattr(design, group) is not None
        added = {key for key, origin in design.origins.items() if key not in six.origins}
        assert added == {key for key in RULES if ENTRIES[key].group == group
                         and ENTRIES[key].value(design) is not None}  # fmt: skip
        with pytest.raises(DesignError, match="is no group that this design lacks"):
            with_group_by_rules(design, group)
    with pytest.raises(DesignError, match="is no group"):
        with_group_by_rules(six, "name")


def test_a_design_by_rules_is_like_what_was_asked() -> None:
    again = like(design_by_rules(ROAD))
    assert again == ROAD
    assert like(load_demo("pilot_boat_six")).application == "boat"
    assert like(load_demo("v6_60_six_throws")).layout == "V6 60°, six throws"
    assert like(load_demo("measured_six")).peak > 40 * BAR
    assert UNITS["bar"].from_si(again.peak) == pytest.approx(68)
