"""The line of fit of a page: where its controls stand, and that no fault of it stops a change."""

import json

import pytest

from apps.controls.controls import GROUPS, changed
from apps.pages import fit_line
from apps.pages.crank_train_page import CrankTrainPage
from apps.pages.data_sheet_page import DataSheetPage
from apps.pages.design_page import first_design
from apps.pages.fit_line import line_text, rows_text
from apps.pages.lessons_page import LessonsPage
from apps.tables.limits_table import fit_lines
from kinematics import load_demo, with_value
from kinematics.design.design_groups import ENTRIES
from kinematics.fit.fit_checks import RULES

HILL = load_demo("hill_climb_six")
OWN = [key for _, _, keys in GROUPS for key in keys]


def test_a_control_is_on_this_page_or_on_the_page_that_has_it() -> None:
    rows = {row["key"]: row for row in json.loads(rows_text(HILL, OWN))}
    assert rows["axial_stack"]["page"] == ""
    assert rows["bolt_range"]["page"] == "Limits"
    assert rows["web_cuts"]["page"] == "Shaft"
    assert rows["case"]["page"] == "Data sheet"  # a field without a control


def test_on_the_data_sheet_every_field_is_on_this_page() -> None:
    page = DataSheetPage(first_design())
    page.command({"kind": "fit_list"})
    places = {row["field"]: row["page"] for row in json.loads(page.bar.fit_list)}
    assert {places[field] for field in places.keys() & ENTRIES.keys()} == {""}


def test_the_line_follows_every_change() -> None:
    page = CrankTrainPage(first_design())
    assert json.loads(page.bar.fit)["fits"]
    page.state.change("cylinder.rod_length_mm", 100.0)
    found = json.loads(page.bar.fit)
    assert found["line"].startswith("Does not fit: skirt meets")
    assert found["page"] == ""
    page.state.undo()
    assert json.loads(page.bar.fit)["fits"]


def test_a_mass_that_does_not_follow_its_bore_is_said_until_it_is_given() -> None:
    wider = changed(HILL, "cylinder.bore_mm", 91.0)
    assert "piston mass did not follow the bore" in line_text(wider, OWN)
    heavier = changed(wider, "piston.assembly_mass_g", 380.0)
    assert json.loads(line_text(heavier, OWN))["fits"]
    assert changed(wider, "cylinder.bore_mm", 88.0) == HILL


def test_the_list_comes_when_it_is_asked_for() -> None:
    page = CrankTrainPage(first_design())
    assert page.bar.fit_list == ""
    page.command({"kind": "fit_list"})
    assert len(json.loads(page.bar.fit_list)) == len(RULES)


def test_a_fault_of_a_check_stops_no_change(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(fit_line, "fit_line", broken)
    page = CrankTrainPage(first_design())
    page.state.change("cylinder.stroke_mm", 79.0)
    assert page.bar.fit == ""
    assert page.state.design == with_value(HILL, "cylinder.stroke_mm", 79.0)


def test_pages_of_lessons_have_no_line() -> None:
    assert LessonsPage(first_design()).bar.fit == ""


def test_the_command_line_names_what_does_not_fit() -> None:
    assert fit_lines(HILL) == ["Fits: 21 checks"]
    line, *noted = fit_lines(with_value(HILL, "limits.red_line_rpm", 8400.0))
    assert line == "Does not fit: rated speed 8500 rpm above red line 8400 rpm"
    assert noted == ["  does not fit: The rated speed is 8500 rpm, the red line 8400 rpm."]
