"""The form of own criteria: what it makes of what is typed, and what the page then does."""

import dataclasses

import pytest

from apps.controls.own_criteria_form import criteria_asked_for, listed_names, preview
from apps.pages.own_criteria import OwnCriteria
from apps.state import AppState
from apps.storyboard.step_scene import headline_choices, step_scene
from apps.storyboard.storyboard import Setting, Step
from kinematics import design_text, load_demo, parse_design
from kinematics.design.own_criterion import OwnCriterion

DESIGN = load_demo("inline_four")
FORM = {
    "index": -1, "name": " Peak torque ", "expression": "peak_torque", "allowable": "1 200,5",
    "unit": "Nm", "at_least": False, "source": "bench",
}  # fmt: skip
OWN = OwnCriterion("Peak torque", "peak_torque", 1200.5, "bench", "Nm")


def test_a_form_becomes_a_criterion():
    asked = criteria_asked_for(DESIGN, FORM)
    assert (asked.criteria, asked.own, asked.problems) == ((OWN,), OWN, {})
    assert "% of the allowable used" in preview(DESIGN, OWN)


@pytest.mark.parametrize(
    ("changed", "field", "why"),
    [
        ({"name": ""}, "name", "a letter or a digit"),
        ({"expression": "peak_torqe"}, "expression", "did you mean peak_torque"),
        ({"expression": "__import__('os')"}, "expression", "must hold only"),
        ({"expression": "peak_torque + 3"}, "expression", "a plain number together"),
        ({"expression": "x" * 300}, "expression", "at most 200"),
        ({"unit": "kN"}, "unit", "comes out in N·m"),
        ({"unit": "furlong"}, "unit", "must be a unit"),
        ({"allowable": ""}, "allowable", "got nothing"),
        ({"allowable": "1,234"}, "allowable", "must be written"),
        ({"allowable": "-1"}, "allowable", "got -1"),
        ({"allowable": [1]}, "allowable", "must be"),
        ({"source": " \n"}, "source", "is missing"),
        ({"source": None}, "source", "is missing"),
    ],
)
def test_what_is_wrong_stands_beside_its_field(changed, field, why):
    asked = criteria_asked_for(DESIGN, FORM | changed)
    assert asked.own is None
    assert why in asked.problems[field]


@pytest.mark.parametrize("form", [None, [], {}, {"index": "x", "name": {"a": 1}}])
def test_no_form_is_no_criterion(form):
    assert criteria_asked_for(DESIGN, form).problems


def test_one_that_is_there_is_changed_in_its_place():
    design = dataclasses.replace(DESIGN, criteria=(OWN, dataclasses.replace(OWN, name="other")))
    changed = criteria_asked_for(design, FORM | {"index": 0, "allowable": "900"})
    assert [own.allowable for own in changed.criteria] == [900, 1200.5]
    assert "must differ" in criteria_asked_for(design, FORM | {"index": 1}).problems["name"]


def test_what_a_design_lacks_is_said_before_it_is_saved():
    own = dataclasses.replace(OWN, expression="damper_heat", unit="kW_m2")
    assert "will not be assessed" in preview(dataclasses.replace(DESIGN, torsion=None), own)
    assert "no value" in preview(DESIGN, dataclasses.replace(OWN, expression="1/0", unit=""))


def test_saving_and_removing_are_steps_to_undo():
    state, saved = AppState(DESIGN), []
    page = OwnCriteria(state, saved.append)
    page.handle_message({"kind": "check", "form": FORM, "serial": 1})
    assert state.design.criteria == ()
    page.handle_message({"kind": "save", "form": FORM | {"source": ""}, "serial": 2})
    assert state.design.criteria == ()
    page.handle_message({"kind": "save", "form": FORM, "serial": 3})
    assert (state.design.criteria, saved) == ((OWN,), ["own_peak_torque"])
    assert parse_design(design_text(state.design)).criteria == (OWN,)
    assert page.form.rows[0]["words"] == "peak_torque, at most 1200.5 N·m".replace(
        "1200", "1\u2009200"
    )
    page.handle_message({"kind": "remove", "index": 7})
    page.handle_message({"kind": "remove", "index": 0})
    assert state.design.criteria == ()
    state.undo()
    assert state.design.criteria == (OWN,)
    state.undo()
    assert state.design.criteria == ()


def test_every_name_is_listed_with_what_it_is():
    names = {name: (what, unit) for name, what, unit in listed_names()}
    assert names["cylinder.bore_mm"] == ("Cylinder, bore", "mm")
    assert names["main_film"] == ("Main bearings, minimum oil film thickness", "µm")


def test_a_step_of_a_storyboard_may_show_one():
    state = AppState(dataclasses.replace(DESIGN, criteria=(dataclasses.replace(OWN, name="P 2"),)))
    step = Step(Setting(design_text(state.design), 6000), picture="limit", rung="own_p_2",
                headline="limit.own_p_2")  # fmt: skip
    scene = step_scene(step)
    assert scene.problem == ""
    (chart,) = scene.chart.values()
    assert chart.title.startswith("Own criterion: P 2")
    assert ("limit.own_p_2", "Own criterion: P 2, limit speed") in headline_choices(scene)
