"""The data sheet: every entry is a row, cells read as typed, a paste is one step."""

import csv
import dataclasses
import io

import pytest

from apps.controls.new_design_form import design_asked_for
from apps.controls.sheet_cells import cell_text, cell_value
from apps.controls.sheet_edit import MOST_EDITS, Edit, edited, read_edits
from apps.controls.sheet_rows import sheet_csv, sheet_parts, sheet_rows
from apps.pages.data_sheet_page import DataSheetPage
from apps.state import AppState
from kinematics import DesignError, load_demo
from kinematics.declaration import declarations
from kinematics.design.design import Design
from kinematics.design.design_file import TEXTS
from kinematics.design.design_groups import (
    ENTRIES,
    REQUIRED_GROUPS,
    is_removable,
    with_entries,
)
from kinematics.design.design_origin import ValueOrigin
from kinematics.units import using_units
from tests.demos import DEMOS

SIX = load_demo("hill_climb_six")
BORE, MASS = "cylinder.bore_mm", "piston.assembly_mass_g"
TENSILE, YIELD = "rod_material.tensile_MPa", "rod_material.yield_stress_MPa"


def row_of(design, key):
    return next(row for row in sheet_rows(design) if row["key"] == key)


def values(*cells):
    return [Edit(key, "value", text) for key, text in cells]


def reasons(refused):
    return {edit.key: error.message for edit, error in refused}


# --- rows ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", DEMOS)
def test_every_entry_of_every_group_is_a_row(name):
    design = DEMOS[name]
    shown = {row["key"] for row in sheet_rows(design)}
    missing = {part["group"] for part in sheet_parts(design) if not part["given"]}
    assert shown == {key for key, entry in ENTRIES.items() if entry.group not in missing} | set(
        TEXTS
    )
    assert {row["group"] for row in sheet_rows(design)} | missing == {
        part["group"] for part in sheet_parts(design)
    }
    assert all(row["label"] for row in sheet_rows(design))


def test_the_texts_of_a_design_are_those_of_its_file():
    assert set(TEXTS) == {name for name, _, _ in declarations(Design)}


@pytest.mark.parametrize("system", ["si", "us"])
@pytest.mark.parametrize("name", DEMOS)
def test_what_is_shown_of_an_entry_reads_back(name, system):
    design = DEMOS[name]
    with using_units(system):
        for entry in ENTRIES.values():
            text, value = cell_text(entry, design), entry.value(design)
            read = cell_value(entry, text)
            if (isinstance(value, tuple) and isinstance(value[0], float)) or isinstance(
                value, float
            ):
                assert read == pytest.approx(value, rel=1e-8), entry.key
            else:
                assert read == value, entry.key


def test_a_row_says_where_its_value_is_known_from():
    assert row_of(SIX, MASS)["origin"] == "measured"
    assert row_of(SIX, MASS)["note"] == "scale, 12 sets, heaviest"
    assert row_of(SIX, "crank_throw.journal_bore_mm")["origin"] == "default"
    assert row_of(SIX, "limits.pin_shear_MPa")["origin"] == "default"
    assert row_of(SIX, "limits.pin_shear_MPa")["instead"] == "250"
    assert row_of(SIX, "layout.firing_order")["origin"] == "not stated"
    assert row_of(SIX, "layout.firing_order")["value"] == "1-5-3-6-2-4"
    assert row_of(SIX, "counterweight.unbalance_kg_mm")["value"].startswith("18, 26, 20")
    assert row_of(SIX, "name")["range"].endswith("saved as hill-climb-six.toml")
    with using_units("us"):
        bore = row_of(SIX, BORE)
        assert (bore["value"], bore["unit"]) == ("3.46456693", "in")


def test_the_file_of_a_sheet_has_all_rows():
    rows = list(csv.reader(io.StringIO(sheet_csv(SIX))))
    assert rows[0] == ["part", "key", "value", "unit", "range", "origin", "note"]
    assert len(rows) == len(sheet_rows(SIX)) + 1
    live = dataclasses.replace(SIX, name="=HYPERLINK(1)")
    assert "'=HYPERLINK(1)" in sheet_csv(live)


# --- cells -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        (BORE, "88,5", 0.0885), (BORE, " 88.5 ", 0.0885), (BORE, "1 000", 1.0), (BORE, "", None),
        ("layout.firing_order", "1-5-3-6-2-4", (1, 5, 3, 6, 2, 4)),
        ("layout.firing_order", "1, 5, 3 6;2;4", (1, 5, 3, 6, 2, 4)),
        ("crank_material.process", "Drop forged", "drop_forged"),
        ("oil.film_viscosity", "HEAT BALANCE", "heat balance"),
        ("rod_bolts.count", "4", 4), ("rod_bolts.count", "4.0", 4), ("rod_bolts.count", "2.5", 2.5),
        ("oil.grade", " SAE 40\u202e ", "SAE 40"),
        ("counterweight.outer_radius_mm", "80, –, 81,5", (0.08, None, 0.0815)),
    ],
)  # fmt: skip
def test_a_cell_reads_as_typed(key, text, value):
    assert cell_value(ENTRIES[key], text) == (
        pytest.approx(value) if isinstance(value, float) else value
    )


@pytest.mark.parametrize("text", ["0, 240, 120,5", "0; 240; 120,5", "0 240 120.5", "0;240;120.5"])
def test_a_list_of_numbers_reads_as_typed(text):
    read = cell_value(ENTRIES["layout.throw_angles_deg"], text)
    assert read == pytest.approx((0, 4.1887902, 2.1031217))


@pytest.mark.parametrize(
    ("key", "text", "words"),
    [
        (BORE, "1,234", "must be written 1.234 or 1234"),
        (BORE, "abc", "must be a number such as"),
        (BORE, "nan", "must be a number such as"),
        (BORE, "1e999", "must be a finite number"),
        (BORE, "88 mm", "must be a number such as"),
        (BORE, "=1+1", "must be a number such as"),
        (BORE, "9" * 3000, "at most 2000 characters"),
        ("layout.throw_angles_deg", "0,240,120", "must be a number such as"),
        ("layout.throw_angles_deg", "0, 240, x", "must be a number such as"),
        ("crank_material.process", "cast", "must be one of grain_flow, drop_forged"),
        ("crank_material.process", "<img src=x>", "must be one of grain_flow"),
    ],
)  # fmt: skip
def test_a_cell_that_cannot_be_read_says_how_to_write_it(key, text, words):
    with pytest.raises(DesignError) as caught:
        cell_value(ENTRIES[key], text)
    assert words in caught.value.message
    assert caught.value.field == key


# --- edits -----------------------------------------------------------------------------------


def test_values_that_need_one_another_are_taken_together():
    design, refused = edited(SIX, values((TENSILE, "700"), (YIELD, "600")))
    assert refused == []
    assert design.rod_material.yield_stress == 600e6


def test_what_is_refused_does_not_hold_up_the_rest():
    cells = values(
        (TENSILE, "700"), (BORE, "9999"), (YIELD, "600"), (MASS, "x"), ("rod.mass_g", "440")
    )
    design, refused = edited(SIX, cells)
    assert design.rod_material.tensile == 700e6
    assert design.rod_material.yield_stress == 600e6
    assert design.rod.mass == pytest.approx(0.44)
    assert design.cylinder == SIX.cylinder
    assert reasons(refused) == {
        BORE: "must be 20 to 600 mm (got 9999 mm)",
        MASS: 'must be a number such as 1234.5 (got "x")',
    }


def test_a_mass_stays_that_of_the_size_that_was_weighed():
    wider, _ = edited(SIX, values((BORE, "92")))
    assert wider.piston.mass_at_bore == SIX.cylinder.bore
    weighed, _ = edited(wider, values((MASS, "394")))
    assert weighed.piston.mass_at_bore is None
    both, _ = edited(SIX, values((BORE, "92"), (MASS, "394")))
    assert both.piston.mass_at_bore is None


def test_a_pressure_that_cannot_be_made_is_refused():
    design, refused = edited(SIX, values(("pressure.peak_bar", "5")))
    assert design is SIX
    assert "pressure.peak_bar" in reasons(refused)


def test_origin_and_note_follow_what_is_typed_and_a_new_value_drops_the_old():
    cells = [
        Edit(MASS, "origin", "Drawing"),
        Edit("rod.mass_g", "note", "one rod"),
        Edit(BORE, "origin", "assumed: as the old one"),
        Edit("cylinder.stroke_mm", "origin", ""),
    ]
    design, refused = edited(SIX, cells)
    assert refused == []
    assert design.origins[MASS] == ValueOrigin("drawing", "scale, 12 sets, heaviest")
    assert design.origins["rod.mass_g"] == ValueOrigin("measured", "one rod")
    assert design.origins[BORE] == ValueOrigin("assumed", "as the old one")
    assert "cylinder.stroke_mm" not in design.origins
    changed, _ = edited(SIX, values((MASS, "350")))
    assert MASS not in changed.origins
    same = [*values((MASS, "350")), Edit(MASS, "origin", "measured")]
    assert edited(SIX, same)[0].origins[MASS] == ValueOrigin("measured")


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        (Edit(MASS, "origin", "guess"), "origin must be one of drawing, measured"),
        (Edit("limits.pin_shear_MPa", "origin", "drawing"), "must have a value before"),
        (Edit("limits.pin_shear_MPa", "note", "x"), "a note needs an origin"),
        (Edit(MASS, "note", "x" * 161), "at most 160 characters"),
        (Edit("name", "origin", "drawing"), "has no origin"),
        (Edit("date", "value", "tomorrow"), "must be a day such as"),
        (Edit("revision", "value", "r" * 41), "must be text of at most 40"),
        (Edit("cylinder.bore_mm", "value", ""), "must be given; it must be 20 to 600 mm"),
        (Edit("counterweight.web", "value", "1 99"), "must be 1 to 48 (got 99)"),
        (Edit("layout.firing_order", "value", "1-2"), "must"),
        (Edit("layout.throw_angles_deg", "value", "0 120"), "must"),
        (Edit("pressure.source", "value", "trace"), "needs a pressure trace"),
        (Edit("rod_bolts.count", "value", "2.5"), "must be a whole number"),
        (Edit("rod_bolts.count", "value", "3"), "must be an even number"),
    ],
)  # fmt: skip
def test_a_cell_that_is_refused_says_why_and_nothing_moves(edit, words):
    design, refused = edited(SIX, [edit])
    assert (design, design.papers) == (SIX, SIX.papers)
    assert [refusal for refusal, _ in refused] == [edit]
    assert words in refused[0][1].message


def test_texts_of_the_design_are_cleaned():
    cells = values(
        ("name", " A\u202e six "), ("author", ""), ("date", "2027-01-02"), ("revision", "<b>")
    )
    design, refused = edited(SIX, cells)
    assert refused == []
    assert (design.name, design.author, design.date, design.revision) == (
        "A six", "", "2027-01-02", "<b>"
    )  # fmt: skip
    assert edited(SIX, values(("name", " ")))[0].name == "Unnamed design"


@pytest.mark.parametrize(
    "asked",
    [
        None, 3, {}, "x", [3], [{}], [{"key": BORE, "column": "value", "text": 3}],
        [{"key": "no.such", "column": "value", "text": "3"}],
        [{"key": BORE, "column": "unit", "text": "3"}],
        [{"key": BORE, "column": "value", "text": "3"}] * (MOST_EDITS + 1),
        [{"key": "origins", "column": "value", "text": "3"}],
    ],
)  # fmt: skip
def test_a_message_that_is_no_list_of_cells_is_refused(asked):
    with pytest.raises(DesignError) as caught:
        read_edits(asked)
    assert len(str(caught.value)) < 300


# --- state and page --------------------------------------------------------------------------


def test_a_paste_is_one_step():
    state = AppState(SIX)
    refused = state.edit(values((TENSILE, "700"), (YIELD, "600"), (BORE, "9999"), (MASS, "350")))
    assert [(edit.key, why) for edit, why in refused] == [
        (BORE, "must be 20 to 600 mm (got 9999 mm)")
    ]
    assert state.design.rod_material.yield_stress == 600e6
    state.undo()
    assert (state.design, state.design.papers) == (SIX, SIX.papers)
    assert not state.may_undo
    state.redo()
    assert state.design.piston.assembly_mass == pytest.approx(0.35)


def test_an_edit_that_changes_nothing_is_no_step():
    state = AppState(SIX)
    assert state.edit(values((BORE, "88"))) == []
    assert state.edit(values((BORE, "9999")))
    assert not state.may_undo


def test_only_rows_that_changed_are_sent():
    page = DataSheetPage(AppState(SIX))
    first = page.sheet.rows
    page.state.edit([*values((BORE, "89")), Edit(MASS, "note", "again")])
    assert page.sheet.rows is first
    assert set(page.sheet.patch) == {BORE, MASS, "piston.mass_at_bore_mm"}
    page.state.undo()
    assert page.sheet.patch == {}
    page.state.open_design(dataclasses.replace(SIX, torsion=None))
    assert page.sheet.rows is not first
    assert [part["group"] for part in page.sheet.parts if not part["given"]] == ["torsion"]


def test_a_reader_s_bad_message_leaves_the_design():
    page = DataSheetPage(AppState(SIX))
    page.handle_message({"kind": "edit", "cells": [3], "serial": 1})
    assert page.state.design is SIX
    assert page.state.message == (
        "Nothing was changed. A change must be cells with key, column and text (got 3).", True
    )  # fmt: skip


def test_a_renamed_design_is_saved_under_its_name(monkeypatch):
    page = DataSheetPage(AppState(SIX))
    offered = []
    monkeypatch.setattr(
        page.bar, "offer_file", lambda name, content: offered.append((name, content))
    )
    page.state.edit(values(("name", "Hill-climb six, long rod")))
    page.command({"kind": "save"})
    page.handle_message({"kind": "table"})
    assert [name for name, _ in offered] == [
        "hill-climb-six-long-rod.toml", "hill-climb-six-long-rod-data-sheet.csv"
    ]  # fmt: skip
    assert 'name = "Hill-climb six, long rod"' in offered[0][1]


def test_a_row_of_counterweights_may_be_added():
    bare = dataclasses.replace(SIX, counterweights=())
    cells = values(("counterweight.web", "1 12"), ("counterweight.unbalance_kg_mm", "20; 20,5"))
    design, refused = edited(bare, cells)
    assert refused == []
    assert design == with_entries(
        bare, {"counterweight.web": (1, 12), "counterweight.unbalance_kg_mm": (0.02, 0.0205)}
    )


# --- a new design ------------------------------------------------------------------------------

ASKED = {"layout": "in-line six, 120°", "application": "road", "bore_mm": 84, "stroke_mm": "90",
         "rod_length_mm": "150", "rated_speed_rpm": 6000.0, "peak_bar": "75,5"}  # fmt: skip


def test_a_form_makes_a_new_design_that_opens_on_the_sheet(monkeypatch):
    page = DataSheetPage(AppState(SIX))
    told = []
    monkeypatch.setattr(page.sheet, "created", told.append)
    page.handle_message({"kind": "create", "form": ASKED})
    design = page.state.design
    assert told == [{}]
    assert design.cylinder.bore == pytest.approx(0.084)
    assert design.pressure.peak == pytest.approx(75.5e5)
    assert page.state.speed_rpm == pytest.approx(6000)
    assert row_of(design, "piston_pin.outer_diameter_mm")["origin"] == "rule of thumb"
    assert row_of(design, BORE)["origin"] == "not stated"
    page.state.undo()
    assert page.state.design == SIX


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"bore_mm": "abc"}, "must be a number such as"),
        ({"bore_mm": None}, "must be 50 to 250 mm (got nothing)"),
        ({"bore_mm": 1e308}, "must be 50 to 250 mm"),
        ({"bore_mm": "1,234"}, "must be written"),
        ({"layout": "<script>"}, "must be one of"),
        ({"application": 3}, "must be one of"),
        ({"stroke_mm": 300}, "0.6 to 1.6 bores"),
        ({"rod_length_mm": 70}, "half the stroke and 0.9 bores"),
        ({"rated_speed_rpm": 12000}, "mean piston speed"),
        ({"peak_bar": 199}, "of an engine for road"),
    ],
)
def test_a_form_that_is_wrong_is_told_field_by_field(monkeypatch, wrong, words):
    page = DataSheetPage(AppState(SIX))
    told = []
    monkeypatch.setattr(page.sheet, "created", told.append)
    page.handle_message({"kind": "create", "form": ASKED | wrong})
    assert list(told[0]) == list(wrong)
    assert words in told[0][next(iter(wrong))]
    assert page.state.design is SIX


@pytest.mark.parametrize("form", [None, 3, "x", [], {}])
def test_no_form_is_told_for_every_field(form):
    design, problems = design_asked_for(form)
    assert design is None
    assert set(problems) == set(ASKED)


def test_a_part_that_is_missing_is_added_as_one_step():
    page = DataSheetPage(AppState(dataclasses.replace(SIX, top_ring=None)))
    page.handle_message({"kind": "add", "group": "top_ring"})
    assert row_of(page.state.design, "top_ring.axial_height_mm")["origin"] == "rule of thumb"
    page.state.undo()
    assert page.state.design.top_ring is None
    page.handle_message({"kind": "add", "group": "__class__"})
    assert "is no group that this design lacks" in page.state.message[0]


def test_a_part_that_a_design_may_do_without_is_removed_and_comes_back():
    page = DataSheetPage(AppState(load_demo("hill_climb_six")))
    whole = page.state.design
    parts = {part["group"]: part for part in page.sheet.parts}
    assert {group for group, part in parts.items() if not part["removable"]} >= REQUIRED_GROUPS
    for group in ("torsion", "counterweight", "oil"):
        assert parts[group]["removable"]
        page.handle_message({"kind": "remove", "group": group})
        assert page.state.message == ("", False)
        assert not is_removable(page.state.design, group)
        assert not any(key.startswith(f"{group}.") for key in page.state.design.origins)
        page.state.undo()
        assert page.state.design == whole
        assert page.state.design.origins == whole.origins


@pytest.mark.parametrize("group", ["layout", "limits", "design", "nothing", "__class__", "name"])
def test_a_part_that_must_stay_is_not_removed(group):
    page = DataSheetPage(AppState(load_demo("hill_climb_six")))
    before = page.state.design
    page.handle_message({"kind": "remove", "group": group})
    assert page.state.design is before
    assert page.state.message[0].startswith("The part was not removed.")
