"""The shaft's page: what the browser asks for is done, what makes no sense is let go."""

import dataclasses
import json
import math

import pytest

from apps.pages import trade_off
from apps.pages.design_page import first_design
from apps.pages.shaft_page import NOT_ASIDE, ShaftPage
from apps.state import AppState
from assets_demo import demo_paths
from kinematics import load_design
from kinematics.balancing.rotating_balance import rotating_balance
from kinematics.shaft.counterweight_choice import CounterweightChoice
from kinematics.shaft.counterweight_schemes import internal_moment, scheme_counterweights
from kinematics.shaft.shaft_geometry import shaft_geometry
from viz.number_words import unbroken, with_unit
from viz.shaft.shaft_tables import with_scheme


def task(state, **options):
    return CounterweightChoice(state.design, state.cycle.speed, **options)


@pytest.fixture
def page():
    return ShaftPage(first_design())


@pytest.fixture(scope="module")
def unchanged_page():
    """A page for messages that change nothing: it serves them all."""
    return ShaftPage(first_design())


SCHEME = {"scheme": "every_second", "rotating": 80, "reciprocating": 20}


def test_only_what_is_open_is_made(page):
    assert page.tables["costs"].table == page.tables["layouts"].table == ""
    page.handle_message({"kind": "tab", "key": "costs"})
    assert json.loads(page.tables["costs"].table)["tables"][0]["rows"]
    page.handle_message({"kind": "tab", "key": "layouts"})
    before = page.tables["costs"].table
    page.state.change("crank_throw.pin_bore_mm", 20)
    assert page.tables["costs"].table == before
    page.handle_message({"kind": "tab", "key": "costs"})
    assert page.tables["costs"].table != before


def test_a_scheme_is_tried_put_on_and_undone_in_one_step(page):
    before = page.state.design
    page.handle_message({"kind": "tab", "key": "weights"})
    page.handle_message({"kind": "scheme", **SCHEME})
    assert page.state.design is before
    page.handle_message({"kind": "apply_scheme", **SCHEME})
    wanted = scheme_counterweights(before, "every_second", 0.8, 0.2)
    assert page.state.design.counterweights == wanted
    assert page.state.demo != ""
    page.state.undo()
    assert page.state.design == before
    assert not page.state.may_undo


def test_a_scheme_that_leaves_the_shaft_unbalanced_is_warned_of(page):
    page.handle_message({"kind": "tab", "key": "weights"})
    assert page.form.warnings == []
    two_large = {"scheme": "two_large", "rotating": 100, "reciprocating": 0}
    page.handle_message({"kind": "scheme", **two_large, "aside": False})
    assert any(one.startswith("As chosen: Statically") for one in page.form.warnings)
    page.handle_message({"kind": "scheme", **two_large, "aside": True})
    assert not any("unbalanced" in one for one in page.form.warnings)
    page.handle_message({"kind": "apply_scheme", **two_large, "aside": True})
    left = rotating_balance(page.state.design)
    assert not left.static_is_left
    assert not left.moment_is_left


def test_webs_that_cannot_balance_a_shaft_are_said_and_shown_all_the_same(page):
    page.state.open_design(load_design(demo_paths()["V6 60 six throws"]))
    page.handle_message({"kind": "tab", "key": "weights"})
    asked = {"scheme": "none", "rotating": 100, "reciprocating": 0, "aside": True}
    page.handle_message({"kind": "scheme", **asked})
    assert page.form.warnings[-1].startswith(unbroken(NOT_ASIDE))
    assert json.loads(page.tables["weights"].table)["tables"][0]["rows"][1][0] == "Chosen"
    asked = {"scheme": "every_web", "rotating": 100, "reciprocating": 0, "aside": True}
    page.handle_message({"kind": "scheme", **asked})
    assert not any(one.startswith(NOT_ASIDE) for one in page.form.warnings)


def test_outer_webs_of_an_in_line_four_get_what_the_scheme_says_and_a_reason(page):
    """Balanced, they would shrink to nothing: they stand opposite their pins, and it is said."""
    page.state.open_design(load_design(demo_paths()["Inline four"]))
    page.handle_message({"kind": "tab", "key": "weights"})
    before = page.state.design
    outer = {"scheme": "none_in_middle", "rotating": 100, "reciprocating": 0, "aside": True}
    page.handle_message({"kind": "scheme", **outer})
    warnings = " ".join(page.form.warnings)
    assert "inherently balanced" in warnings
    assert "shrink to nothing" in warnings
    assert "As chosen: Statically unbalanced" in warnings
    assert "internal bending moment rises from" in warnings
    page.handle_message({"kind": "apply_scheme", **outer})
    design, speed = page.state.design, page.state.cycle.speed
    assert [one.web for one in design.counterweights] == [1, 2, 7, 8]
    old, new = (internal_moment(one).largest * speed**2 for one in (before, design))
    for moment in (old, new):
        assert unbroken(with_unit(moment, "Nm")) in page.form.outcome


def test_every_scheme_says_the_internal_moment_it_leaves(page):
    page.handle_message({"kind": "tab", "key": "weights"})
    for scheme in ("every_web", "two_large", "none_in_middle", "none"):
        before, speed = page.state.design, page.state.cycle.speed
        asked = {"scheme": scheme, "rotating": 100, "reciprocating": 0, "aside": True}
        page.handle_message({"kind": "scheme", **asked})
        old = internal_moment(before).largest
        chosen = with_scheme(before, scheme, 1.0, 0.0, aside=True)
        rises = internal_moment(chosen).largest > 1.01 * old
        assert rises == any("moment rises" in one for one in page.form.warnings)
        page.handle_message({"kind": "apply_scheme", **asked})
        new = internal_moment(page.state.design).largest * speed**2
        assert unbroken(f"{with_unit(new, 'Nm')} now") in page.form.outcome


def test_points_tell_their_internal_moment_beside_the_presents(page):
    state, offs = page.state, page.trade_offs
    page.handle_message({"kind": "tab", "key": "front"})
    problem = task(state)
    front = (problem.minimum_load(), problem.minimum_inertia(math.inf))
    offs.found(front, problem)
    page.handle_message({"kind": "pick_choice", "index": 1})
    now = internal_moment(state.design).largest * state.cycle.speed**2
    for choice, words in zip(front, offs.view.points, strict=True):
        assert unbroken(f"{with_unit(choice.inside, 'Nm')} internal moment") in words
    selected = (
        f"internal bending moment {with_unit(front[1].inside, 'Nm')}, now {with_unit(now, 'Nm')}"
    )
    assert unbroken(selected) in offs.view.words


@pytest.mark.parametrize("bound", [0, -5, "x", math.nan, 1e300, True, [3]])
def test_a_moment_bound_that_cannot_be_is_rejected_in_words(unchanged_page, bound):
    page = unchanged_page
    page.trade_offs.view.answered = 0
    page.handle_message({"kind": "tab", "key": "front"})
    page.handle_message({"kind": "front", "measure": "peak", "serial": 3, "moment_bound": bound})
    assert page.trade_offs.view.answered == 3
    assert "No trade-off" in page.trade_offs.view.words
    assert page.trade_offs.view.points == []


@pytest.mark.parametrize(
    "message",
    [{}, {"kind": "tab", "key": "x"}, {"kind": "tab", "key": None}, {"kind": "csv", "of": [1]},
     {"kind": "scheme", "scheme": "x", "rotating": 1, "reciprocating": 1},
     {"kind": "scheme", "scheme": ["every_web"], "rotating": 1, "reciprocating": 1},
     {"kind": "scheme", "scheme": "every_web", "rotating": "x", "reciprocating": 1},
     {"kind": "scheme", "scheme": "every_web", "rotating": math.nan, "reciprocating": 1},
     {"kind": "scheme", "scheme": "every_web", "rotating": 1e9, "reciprocating": 1},
     {"kind": "scheme", "scheme": "every_web", "rotating": 1, "reciprocating": 1, "aside": [1]},
     {"kind": "front", "measure": "worst"}, {"kind": "front", "measure": ["peak"], "serial": 2},
     {"kind": "pick_choice", "index": 0}, {"kind": "apply_choice", "index": 0},
     {"kind": "apply_choice", "index": None}, {"kind": "apply_choice", "index": True}],
)  # fmt: skip
def test_what_makes_no_sense_changes_nothing(unchanged_page, message):
    page = unchanged_page
    page.handle_message({"kind": "tab", "key": "loads"})
    design = page.state.design
    page.handle_message(message)
    assert page.state.design is design
    assert page.tab == "loads"


def test_a_scheme_that_is_none_puts_nothing_on(page):
    design = page.state.design
    page.handle_message({"kind": "apply_scheme", "scheme": "x", "rotating": 1, "reciprocating": 1})
    assert page.state.design is design


def test_a_selected_point_is_put_on_and_the_front_stays(page):
    state, offs = page.state, page.trade_offs
    page.handle_message({"kind": "tab", "key": "front"})
    problem = CounterweightChoice(state.design, state.cycle.speed, "peak")
    front = (problem.minimum_load(), problem.minimum_inertia(math.inf))
    offs.found(front, problem)
    page.handle_message({"kind": "pick_choice", "index": 1})
    assert offs.view.selected == 1
    page.handle_message({"kind": "apply_choice", "index": 0})
    assert state.design.counterweights == front[0].counterweights()
    assert len(offs.view.points) == 2
    state.change("cylinder.stroke_mm", 80)
    assert offs.view.points == []
    assert "changed" in offs.view.words
    state.undo()
    state.undo()
    assert not state.may_undo


def test_a_front_of_weights_turned_aside_stands_beside_that_opposite_the_pins(page):
    state, offs = page.state, page.trade_offs
    page.handle_message({"kind": "tab", "key": "front"})
    assert json.loads(page.tables["front"].table)["tables"] == []
    front, straight = trade_off._fronts(task(state, aside=True))
    assert front[0].inertia < 0.95 * straight[0].inertia
    problem = CounterweightChoice(state.design, state.cycle.speed, "peak", aside=True)
    offs.found(front, problem, straight)
    page.handle_message({"kind": "pick_choice", "index": 0})
    effect, webs = json.loads(page.tables["front"].table)["tables"]
    assert [row[0] for row in effect["rows"]] == ["Now", "Chosen"]
    assert any(row[3] not in ("0", "–") for row in webs["rows"])
    page.handle_message({"kind": "apply_choice", "index": 0})
    assert state.design.counterweights == front[0].counterweights()
    assert len(offs.view.points) == 9  # the front stays though the present weights stand askew
    assert "no trade-off" not in offs.view.words
    again = trade_off._fronts(task(state, aside=False))[0]
    assert again[0].inertia == pytest.approx(straight[0].inertia, rel=5e-3)


def test_a_limit_adds_the_point_of_least_inertia_for_it(page):
    state, offs = page.state, page.trade_offs
    page.handle_message({"kind": "tab", "key": "front"})
    problem = CounterweightChoice(state.design, state.cycle.speed, "peak")
    front = (problem.minimum_load(), problem.minimum_inertia(math.inf))
    offs.found(front, problem)
    page.handle_message({"kind": "limit", "share": 0.25})
    low, high = front[0].load, front[1].load
    limit = low + (high - low) / 4
    own = offs.choice(offs.view.selected)
    assert len(offs.view.points) == 3
    assert own.load == pytest.approx(limit, rel=2e-3)
    assert own.inertia == pytest.approx(problem.minimum_inertia(limit).inertia, rel=1e-6)
    assert offs.view.loads == pytest.approx([low / 1e3, high / 1e3, own.load / 1e3])
    page.handle_message({"kind": "limit", "share": 0.5})
    assert len(offs.view.points) == 3  # the last limit's point goes
    page.handle_message({"kind": "limit", "share": 0})
    assert offs.view.selected == 0
    page.handle_message({"kind": "limit", "share": 1})
    assert offs.view.selected == len(offs.view.points) - 1
    for share in (-0.1, 1.1, math.nan, None, "0.5", True, [0.5]):
        before = offs.view.selected
        page.handle_message({"kind": "limit", "share": share})
        assert offs.view.selected == before


def test_a_shaft_without_dimensions_says_what_is_missing(page):
    bare = dataclasses.replace(page.state.design, crank_throw=None, shaft=None)
    page = ShaftPage(AppState(bare))
    assert "[crank_throw]" in page.board.words
    assert page.state.message == ("", False)
    for tab in ("loads", "weights", "front", "costs", "layouts"):
        page.handle_message({"kind": "tab", "key": tab})
    assert "No table" in json.loads(page.tables["costs"].table)["notes"][0]
    assert len(json.loads(page.tables["layouts"].table)["tables"]) == 2
    assert "No trade-off" in page.trade_offs.view.words
    assert json.loads(page.view.scene)["bodies"]


def test_a_shaft_that_cannot_be_keeps_the_last(page):
    scene, tiles = page.view.scene, page.board.tiles
    page.state.change("crank_throw.web_thickness_mm", 60)
    assert page.view.scene == scene
    assert page.board.tiles == tiles
    assert page.state.problem[1] or page.state.message[1]


def test_a_change_weighs_what_the_core_says(page):
    page.state.change("crank_throw.pin_bore_mm", 20)
    kilograms = float(json.loads(page.board.tiles)["tiles"][0]["value"])
    assert kilograms == pytest.approx(shaft_geometry(page.state.design).mass, rel=5e-4)
