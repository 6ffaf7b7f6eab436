"""The tolerance study's form: what is asked for is made; what cannot be changes nothing."""

import json
import math

import pytest

from apps.pages.design_page import first_design
from apps.pages.scatter import MOST_SAMPLES, QUICK, first_fields, settings_of
from apps.pages.shaft_page import ShaftPage
from assets_demo import demo_paths
from kinematics import DesignError
from kinematics.units import using_units


def scatter_page():
    page = ShaftPage(first_design())
    page.handle_message({"kind": "tab", "key": "scatter"})
    return page


@pytest.fixture
def page():
    return scatter_page()


@pytest.fixture(scope="module")
def unchanged_page():
    """A page for forms that are rejected: it serves them all."""
    return scatter_page()


def asked(**changes):
    return {"kind": "scatter", "serial": 3, **first_fields(), **changes}


def shown(page):
    charts = [page.charts.scatter_front, page.charts.scatter_sizes, page.charts.scatter_shares]
    return json.dumps([page.scatter.form.study, page.scatter.table.table, charts], default=str)


def test_it_is_made_while_it_is_open_and_only_then():
    page = ShaftPage(first_design())
    assert page.scatter.form.study == {}
    page.handle_message({"kind": "tab", "key": "scatter"})
    assert "need drilling" in page.scatter.form.study["verdict"]
    assert len(json.loads(page.scatter.table.table)["tables"]) == 3
    page.handle_message({"kind": "tab", "key": "loads"})
    before = shown(page)
    page.state.change("crank_throw.pin_bore_mm", 20)
    assert shown(page) == before
    page.handle_message({"kind": "tab", "key": "scatter"})
    assert shown(page) != before


def test_the_form_makes_another_study(page):
    before = shown(page)
    page.scatter.make(asked(counterweight_moment=120))
    assert page.scatter.form.answered == 3
    assert page.scatter.form.problem == ""
    assert shown(page) != before
    assert page.scatter.settings.spreads.counterweight_moment.size == pytest.approx(120e-6)
    design = page.state.design
    page.state.change("crank_throw.pin_bore_mm", 20)
    assert page.scatter.settings.spreads.counterweight_moment.size == pytest.approx(120e-6)
    page.state.undo()
    assert page.state.design == design
    assert not page.state.may_undo


def test_the_same_form_gives_the_same_study(page):
    page.scatter.make(asked(seed=7))
    first = shown(page)
    page.scatter.make(asked(seed=8))
    assert shown(page) != first
    page.scatter.make(asked(seed=7))
    assert shown(page) == first


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"piston_mass": -1}, ("Piston, pin, rings: must be 0 to 1000 g (got -1 g)",)),
        ({"rod_big_end": math.nan}, ("Rod, big end: must be 0 to 1000 g (got nan)",)),
        ({"rod_small_end": math.inf}, ("Rod, small end: must be 0 to 1000 g (got inf)",)),
        ({"throw_moment": "x"}, ('Throw: must be a number such as 1234.5 (got "x")',)),
        ({"throw_moment": "<b>" * 50}, ('Throw: must be a number such as 1234.5 (got "<b><b>',)),
        ({"throw_angle": 6}, ("Throw angle: must be 0 to 5° (got 6°)",)),
        ({"counterweight_moment": None}, ("must be 0 to 100000 g·mm (got nothing)",)),
        ({"counterweight_moment": True}, ("(got True)",)),
        ({"counterweight_moment": [1]}, ("(got [1])",)),
        ({"counterweight_moment": 10**400}, ("(got a huge number)",)),
        (
            {"piston_mass_way": "flat"},
            ("Piston, pin, rings: must be one of normal, uniform (got 'flat')",),
        ),
        (
            {"throw_angle_way": 3},
            (
                "Throw angle: must be one of",
                "(got 3)",
            ),
        ),
        ({"grade": "G1"}, ("Grade: must be one of", "G6.3", "(got 'G1')")),
        (
            {"grade": ["G16"]},
            (
                "Grade: must be one of",
                "(got ['G16'])",
            ),
        ),
        ({"bob": "x"}, ("Bob weights: must be one of needed, on, off (got 'x')",)),
        ({"share": 101}, ("Balance factor: must be 0 to 100 % (got 101 %)",)),
        ({"samples": 99}, ("Sample size: must be 100 to 100000 (got 99)",)),
        ({"samples": 1e9}, ("Sample size: must be 100 to 100000 (got 1e+09)",)),
        (
            {"samples": 1000.5},
            ("Sample size: must be a whole number, 100 to 100000 (got 1000.5)",),
        ),
        ({"seed": -1}, ("Seed: must be 0 to 2147483647 (got -1)",)),
    ],
)
def test_what_cannot_be_is_said_and_the_last_stays(unchanged_page, changes, words):
    page = unchanged_page
    page.scatter.make(asked())
    before, settings = shown(page), page.scatter.settings
    page.scatter.make(asked(**changes))
    for one in words:
        assert one in page.scatter.form.problem
    assert len(page.scatter.form.problem) < 160
    assert shown(page) == before
    assert page.scatter.settings == settings
    assert page.scatter.form.answered == 3
    page.scatter.make(asked())
    assert page.scatter.form.problem == ""


def test_a_rejected_form_keeps_its_reason_while_the_design_changes(page):
    page.scatter.make(asked(piston_mass=-1))
    reason = page.scatter.form.problem
    page.state.change("crank_throw.pin_bore_mm", 20)
    assert page.scatter.form.problem == reason != ""  # the box still holds it


@pytest.mark.parametrize("message", [{}, {"serial": "x"}, {"kind": "scatter", "serial": 10**30}])
def test_what_makes_no_sense_changes_nothing(unchanged_page, message):
    page = unchanged_page
    before, answered = shown(page), page.scatter.form.answered
    page.scatter.make(message)
    assert shown(page) == before
    assert page.scatter.form.answered == answered


def test_what_is_typed_in_us_units_is_taken_in_them():
    with using_units("us"):
        found = settings_of({**first_fields(), "piston_mass": 0.1, "throw_moment": 0.1})
        with pytest.raises(DesignError, match=r"must be 0 to 35\.27\d+ oz \(got 100 oz\)"):
            settings_of({**first_fields(), "piston_mass": 100})
    assert found.spreads.piston_mass.size == pytest.approx(2.8349523e-3, rel=1e-6)
    assert found.spreads.throw_moment.size == pytest.approx(72.0077e-6, rel=1e-5)


def test_first_values_are_the_same_in_both_units():
    si = settings_of(first_fields())
    with using_units("us"):
        us = settings_of(first_fields())
    for name in ("piston_mass", "throw_moment", "throw_angle"):
        one, other = (getattr(each.spreads, name).size for each in (si, us))
        assert one == pytest.approx(other, rel=0.02)  # two digits


def test_bob_weights_follow_the_engine_unless_chosen(page):
    def words(**changes):
        page.scatter.make(asked(**changes))
        return page.scatter.form.study["bob"]

    assert "without" in words()
    assert "40 %" in words(bob="on", share=40)
    page.state.open_demo("V6 60 six throws", demo_paths()["V6 60 six throws"])
    assert "50 %" in words()
    assert "without" in words(bob="off")
    assert "not scatter" in page.scatter.form.study["hint"]


def test_many_shafts_are_drawn_beside_other_work(page, monkeypatch):
    started = []
    monkeypatch.setattr(page.scatter._work, "start", lambda *work: started.append(work))
    before = shown(page)
    page.scatter.make(asked(samples=QUICK + 1))
    assert page.scatter.form.busy
    assert shown(page) == before
    ((steps, show, _),) = started
    show(next(iter(steps)))
    assert not page.scatter.form.busy
    assert shown(page) != before
    assert QUICK < MOST_SAMPLES


def test_a_design_without_dimensions_says_so_and_keeps_the_last(page):
    before = shown(page)
    page.state.change("crank_throw.web_thickness_mm", 60)
    assert shown(page) == before


def test_the_tables_are_offered_as_a_file(page, monkeypatch):
    offered = []
    monkeypatch.setattr(page.bar, "offer_file", lambda *told: offered.append(told))
    page.scatter._save({"kind": "csv", "of": "scatter"})
    page.scatter._save({"kind": "x"})
    ((name, text),) = offered
    assert name.endswith("-scatter.csv")
    assert "Allowed" in text


@pytest.fixture(scope="module")
def pins():
    page = ShaftPage(first_design())
    page.state.open_demo("V6 60 six throws", demo_paths()["V6 60 six throws"])
    page.handle_message({"kind": "tab", "key": "balancing"})
    return page.balancing.pins


def test_an_in_line_engine_has_no_bob_weights(page):
    view = page.balancing.pins.view
    assert not view.needed
    assert view.lists == []
    assert "No bob weights" in view.words


def test_a_v_engines_bob_weights_are_listed_and_their_share_moves_them(pins):
    assert pins.view.needed
    pins.take({"share": 50, "oil": 0})
    (before,) = pins.view.lists
    pins.take({"share": 45, "oil": 4})
    (after,) = pins.view.lists
    assert after["rows"][3][1].startswith("4.0")
    assert after["rows"][-1] != before["rows"][-1]
    assert pins.view.problem == ""


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"share": 101}, "Balance factor: must be 0 to 100 % (got 101 %)"),
        ({"share": None}, "must be 0 to 100 % (got nothing)"),
        ({"oil": -1}, "Oil per pin: must be 0 to 1000 g (got -1 g)"),
        ({"oil": math.nan}, "Oil per pin: must be 0 to 1000 g (got nan)"),
        ({"oil": "1,234"}, 'Oil per pin: must be written 1.234 or 1234 (got "1,234")'),
    ],
)
def test_a_bob_weight_that_cannot_be_keeps_the_last(pins, changes, words):
    pins.take({"share": 50, "oil": 0})
    before = pins.view.lists
    pins.take({"share": 50, "oil": 0} | changes)
    assert words in pins.view.problem
    assert pins.view.lists == before
