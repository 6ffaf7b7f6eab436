"""The line of fit and its list, in words."""

import dataclasses
from typing import Any

from kinematics import Design, load_demo, with_value
from kinematics.fit.fit_checks import RULES
from kinematics.units import using_units
from viz.fit.fit_board import fit_line, fit_rows

HILL = load_demo("hill_climb_six")


def fit_message(design: Design) -> dict[str, Any]:
    return fit_line(design) | {"rows": fit_rows(design)}


def test_a_design_that_fits_says_so_quietly() -> None:
    message = fit_message(HILL)
    assert message["fits"]
    assert message["line"] == f"Fits: {len(RULES)} checks"
    assert len(message["rows"]) == len(RULES)
    for row in message["rows"]:
        assert row["what"]
        assert row["sentence"]
        assert row["source"]
        assert row["field"]
        assert row["label"]


def test_what_does_not_fit_comes_first_with_its_control() -> None:
    message = fit_message(with_value(HILL, "main_bearing.width_mm", 38.0))
    assert not message["fits"]
    assert message["line"] == "Does not fit: axial stack is 0.5 mm too long (and 1 more)"
    assert (message["field"], message["label"]) == ("layout.throw_spacing_mm", "Throw spacing")
    assert [row["key"] for row in message["rows"]][:2] == ["axial_stack", "main_shells"]
    row = message["rows"][0]
    assert (row["value"], row["bound"]) == ("97.5 mm", "at most 97 mm")


def test_what_is_close_or_not_checked_is_counted() -> None:
    crank = dataclasses.replace(HILL.crank, case_radius=None)
    design = with_value(
        dataclasses.replace(HILL, crank=crank), "cylinder.gasket_thickness_mm", 0.57
    )
    message = fit_message(design)
    assert message["line"] == f"Fits: {len(RULES) - 1} checks, 1 close, 1 not checked"
    rows = {row["key"]: row for row in message["rows"]}
    assert rows["case"]["field"] == "crank.case_radius_mm"
    assert rows["case"]["label"] == "Crankcase radius"
    assert rows["case"]["value"] == rows["case"]["bound"] == ""
    assert [row["key"] for row in message["rows"]][:2] == ["head", "case"]


def test_lengths_are_in_the_units_shown() -> None:
    with using_units("us"):
        row = fit_message(HILL)["rows"][0]
    assert row["value"].endswith(" in")
    assert " in " in row["sentence"]
    assert row["values"].endswith(" mm")  # what is put into formulas stays metric
