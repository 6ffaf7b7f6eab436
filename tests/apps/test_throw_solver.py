"""The throw solved for itself on the shaft's page."""

import json

import pytest

from apps.pages.design_page import first_design
from apps.pages.shaft_page import ShaftPage
from kinematics import DesignError
from kinematics.design.solid_throw import elastic_modulus, solid_throw
from kinematics.throw.throw_solution import ThrowSolution
from kinematics.throw.throw_surface import ThrowStiffness


@pytest.fixture
def page():
    return ShaftPage(first_design())


def shown(page):
    return json.loads(page.throw.table.table)["tables"][0]["rows"]


def test_a_solution_is_shown_until_the_throw_changes(page):
    design = page.state.design
    assert [row[3] for row in shown(page)] == ["–"] * 3
    of = solid_throw(design).shape, elastic_modulus(design, "a test")
    page.throw.take(of, ThrowSolution(ThrowStiffness(2e5, 3e5, 4e5), 0.02))
    assert [row[3] for row in shown(page)] == ["200", "300", "400"]
    assert "2.0 %" in json.loads(page.throw.table.table)["notes"][1].replace("\u00a0", " ")
    page.state.change("crank_throw.web_width_mm", 90)
    assert [row[3] for row in shown(page)] == ["200", "300", "400"]  # the ends are given
    page.state.change("crank_throw.web_thickness_mm", 21)
    assert [row[3] for row in shown(page)] == ["–"] * 3
    page.state.undo()
    assert [row[3] for row in shown(page)] == ["200", "300", "400"]


def test_the_button_starts_one_calculation(page, monkeypatch):
    started = []
    monkeypatch.setattr(page.throw._work, "start", lambda *given: started.append(given))
    page.handle_message({"kind": "solve_throw"})
    assert len(started) == 1
    assert page.throw.form.busy
    page.throw._refuse(DesignError("", "no steel"))
    assert not page.throw.form.busy
    assert "no steel" in page.throw.form.problem


def test_a_throw_outside_the_sizes_sampled_says_which(page):
    page.state.change("crank_throw.web_thickness_mm", 7)
    notes = json.loads(page.throw.table.table)["notes"][0].replace("\u00a0", " ")
    assert "Web thickness over crank radius must be 0.25 to 0.8" in notes
    assert [row[2] for row in shown(page)] == ["–"] * 3
