"""Entries of a data sheet: every field of every group, set together or not at all."""

import dataclasses
import math

import pytest

from kinematics import Design, DesignError, design_text, load_demo, parse_design
from kinematics.declaration import declarations
from kinematics.design.design_field import field_keys
from kinematics.design.design_groups import (
    ENTRIES,
    RECORD_OF_GROUP,
    REQUIRED_GROUPS,
    ROW_LISTS,
    TABLE_LISTS,
    with_entries,
)

SIX = load_demo("hill_climb_six")
KG_MM = 1e-3


def test_every_field_of_every_group_of_a_design_is_an_entry() -> None:
    """A group or field that is added to the design and not to the list fails here."""
    attributes = {field.name for field in dataclasses.fields(Design)}
    own = {name for name, _, _ in declarations(Design)} | {"origins"}
    groups = set(RECORD_OF_GROUP) | {attribute for attribute, _ in TABLE_LISTS.values()}
    assert groups == attributes - own
    keys = {f"{group}.{key}" for group, record in RECORD_OF_GROUP.items()
            for _, key, _ in declarations(record)}  # fmt: skip
    keys |= {f"{group}.{key}" for group, (_, record) in ROW_LISTS.items()
             for _, key, _ in declarations(record)}  # fmt: skip
    assert keys == set(ENTRIES)
    assert len(keys) > 170
    plain = {key for key in field_keys(SIX) if key.count(".") == 1}
    assert plain <= keys


def test_required_groups_are_those_that_a_design_cannot_lack() -> None:
    required = {field.name for field in dataclasses.fields(Design)
                if field.default is dataclasses.MISSING}  # fmt: skip
    assert required == REQUIRED_GROUPS


def test_values_that_need_one_another_are_set_together() -> None:
    values = {"rod_material.tensile_MPa": 700e6, "rod_material.yield_stress_MPa": 600e6}
    with pytest.raises(DesignError, match="at most the tensile strength"):
        with_entries(SIX, {"rod_material.tensile_MPa": values["rod_material.tensile_MPa"]})
    design = with_entries(SIX, values)
    assert design.rod_material.tensile == 700e6
    both = {"oil.viscosity_40_mm2_s": 100e-6, "oil.viscosity_100_mm2_s": 14e-6}
    assert with_entries(SIX, both).oil.viscosity_40 == 100e-6
    for key, value in both.items():
        with pytest.raises(DesignError, match="is missing"):
            with_entries(SIX, {key: value})


def test_nothing_given_is_the_default_and_what_has_none_must_be_given() -> None:
    assert (
        with_entries(SIX, {"main_bearing.groove_width_mm": None}).main_bearing.groove_width is None
    )
    assert with_entries(SIX, {"torsion.damper": None}).torsion.damper == "none"
    with pytest.raises(DesignError) as caught:
        with_entries(SIX, {"cylinder.bore_mm": None})
    assert str(caught.value) == "cylinder.bore_mm: must be given; it must be 20 to 600 mm"
    bare = dataclasses.replace(SIX, torsion=None)
    with pytest.raises(DesignError, match="torsion: is missing"):
        with_entries(bare, {"torsion.nose_length_mm": 0.04})


def test_the_webs_say_which_counterweights_there_are() -> None:
    design = with_entries(SIX, {"counterweight.web": (1, 12, 3, 3)})
    assert [(weight.web, weight.unbalance) for weight in design.counterweights] == [
        (1, pytest.approx(18 * KG_MM)), (12, pytest.approx(18 * KG_MM)),
        (3, pytest.approx(20 * KG_MM)), (3, 0.0),
    ]  # fmt: skip
    assert with_entries(SIX, {"counterweight.web": None}).counterweights == ()
    given = {"counterweight.web": (2, 5), "counterweight.unbalance_kg_mm": (0.01, 0.02)}
    assert [w.unbalance for w in with_entries(SIX, given).counterweights] == [0.01, 0.02]
    with pytest.raises(DesignError, match=r"one value per row, 12 \(got 2\)"):
        with_entries(SIX, {"counterweight.unbalance_kg_mm": (0.01, 0.02)})
    with pytest.raises(DesignError, match="must be 1 to 12"):
        with_entries(SIX, {"counterweight.web": (1, 13)})


def test_a_new_row_of_the_full_load_curve_lies_on_it() -> None:
    speeds = [row.speed for row in SIX.full_load]
    middle = (speeds[0] + speeds[1]) / 2
    design = with_entries(SIX, {"full_load.speed_rpm": (speeds[0], middle, *speeds[1:])})
    assert design.full_load[1].peak == pytest.approx((0.78 + 0.88) / 2)
    assert (design.full_load[0], *design.full_load[2:]) == SIX.full_load
    assert with_entries(SIX, {"full_load.speed_rpm": None}).full_load == ()
    bare = dataclasses.replace(SIX, full_load=())
    two = with_entries(bare, {"full_load.speed_rpm": (300.0, 900.0)}).full_load
    assert [row.peak for row in two] == [1.0, 1.0]
    with pytest.raises(DesignError, match="2 to 12 rows"):
        with_entries(SIX, {"full_load.speed_rpm": (300.0,)})


def test_what_a_design_leaves_at_its_default_is_told_after_a_round_trip() -> None:
    back = parse_design(design_text(SIX))
    assert [key for key, entry in ENTRIES.items() if entry.is_default(back)] == [
        key for key, entry in ENTRIES.items() if entry.is_default(SIX)
    ]
    assert ENTRIES["crank_throw.journal_bore_mm"].is_default(SIX)
    assert ENTRIES["limits.pin_shear_MPa"].is_default(SIX)
    assert ENTRIES["counterweight.angle_deg"].is_default(back)
    assert not ENTRIES["piston.assembly_mass_g"].is_default(SIX)
    turned = with_entries(SIX, {"counterweight.angle_deg": (math.pi,) * 11 + (3.0,)})
    assert not ENTRIES["counterweight.angle_deg"].is_default(turned)
