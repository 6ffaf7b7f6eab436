"""What the limits page's sheet and ladder say of a misfire and of the optimum damper."""

import json

import pytest

from apps.pages.limits_page import LimitsPage
from apps.state import AppState
from kinematics import load_demo, speed_limits
from kinematics.limits.misfire import misfire_rungs
from kinematics.shaft.damper_optimum import damper_optima
from kinematics.units import UNITS
from viz.limits.limit_board import ladder_message
from viz.limits.margin_table import CSV_HEAD, margin_rows, margin_table_csv


@pytest.fixture
def page():
    return LimitsPage(AppState(load_demo("hill_climb_six")))


def test_the_sheet_of_a_torsional_rung_shows_the_worst_misfire_and_the_dampers(page):
    page.pick("shaft_stress")
    sheet = json.loads(page.sheet.sheet)
    mark = misfire_rungs(speed_limits(page.state.design))["shaft_stress"]
    assert sheet["misfire"]["words"].startswith(f"Cylinder {mark.cylinder}: ")
    assert "T_k,motored" in sheet["misfire"]["formula"]
    assert "MPa" in sheet["misfire"]["substitution"]
    assert [row[0] for row in sheet["damper"]["rows"]] == ["by formula", "on the chain", "now"]
    page.pick("rod_fatigue")
    sheet = json.loads(page.sheet.sheet)
    assert sheet["misfire"] is None
    assert sheet["damper"] is None


def test_the_design_takes_either_optimum_as_one_step(page):
    page.pick("damper_heat")
    before = page.state.design
    best = damper_optima(before).chain.damper
    page.handle_message({"kind": "damper", "choice": "chain"})
    assert page.state.design.torsion.damper_damping == pytest.approx(best.damping)
    page.handle_message({"kind": "damper", "choice": "formula"})
    assert page.state.design.torsion.damper_damping is None
    page.handle_message({"kind": "damper", "choice": "other"})
    page.state.undo()
    page.state.undo()
    assert page.state.design == before


def test_ladder_table_and_csv_carry_the_mark():
    ladder = speed_limits(load_demo("hill_climb_six"))
    mark = misfire_rungs(ladder)["free_end_angle"]
    rungs = {rung["key"]: rung for rung in ladder_message(ladder, None, "")["rungs"]}
    limit = UNITS["rpm"].from_si(mark.rung.limit)
    assert rungs["free_end_angle"]["misfire"]["limit"] == pytest.approx(limit)
    assert rungs["rod_fatigue"]["misfire"] is None
    quick = ladder_message(ladder, None, "", with_misfires=False)
    assert all(rung["misfire"] is None for rung in quick["rungs"])
    rows = {row[1]: row for row in margin_rows(ladder)}
    assert rows["Torsional amplitude at free end"][9].startswith("cylinder 3: ")
    assert rows["Shank fatigue"][9] == "–"
    lines = margin_table_csv(ladder).splitlines()
    place = CSV_HEAD.index("Misfire: cylinder")
    cells = next(line for line in lines if "Vibratory stress" in line).split(",")
    assert cells[place] == str(misfire_rungs(ladder)["shaft_stress"].cylinder)
