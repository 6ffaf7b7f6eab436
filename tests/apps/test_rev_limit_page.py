"""The rev limit's page: what the browser asks for is done, and what it should not ask is let go."""

import json
import math
from dataclasses import replace

import pytest

from apps.pages import rev_limit_page
from apps.pages.design_page import first_design
from apps.pages.rev_limit_page import RevLimitPage
from kinematics.design.design_field import group_field


@pytest.fixture
def page():
    return RevLimitPage(first_design())


def raising(page):
    return json.loads(page.view.raising)


def test_a_rested_speed_is_the_pages_and_sends_no_new_talk(page):
    before = page.view.board
    page.handle_message({"kind": "speed", "rpm": 7350})
    assert page.state.speed_rpm == pytest.approx(7350)
    assert page.view.speed == pytest.approx(7350)
    assert page.view.board is before


@pytest.mark.parametrize("rpm", [None, "8000", True, math.nan, math.inf, -5, 1e12, [1]])
def test_a_speed_that_is_none_is_let_go(page, rpm):
    before = page.state.speed_rpm
    page.handle_message({"kind": "speed", "rpm": rpm})
    page.handle_message({"kind": "proof", "key": "mean_piston_speed", "rpm": rpm})
    assert page.state.speed_rpm == before


@pytest.mark.parametrize(
    "message",
    [{}, {"kind": "raise"}, {"kind": "raise", "gain": "x"}, {"kind": "raise", "gain": -1},
     {"kind": "raise", "gain": 1e9}, {"kind": "solve", "index": 0}, {"kind": "apply", "index": 0},
     {"kind": "solve", "index": None}, {"kind": "apply", "index": -1},
     {"kind": "proof", "key": "<img>", "rpm": 5000}],
)  # fmt: skip
def test_what_makes_no_sense_changes_nothing_but_is_answered(page, message):
    design = page.state.design
    page.handle_message(message | {"serial": 7})
    assert page.state.design is design
    assert page.view.raising == ""
    assert page.view.answered == 7


def test_offers_are_solved_one_by_one_and_one_is_shown(page):
    page.handle_message({"kind": "raise", "gain": 200, "serial": 1})
    count = len(raising(page)["offers"])
    assert [one["result"] for one in raising(page)["offers"]] == [None] * count
    page.handle_message({"kind": "solve", "index": 1})  # not the next one
    assert raising(page)["offers"][1]["result"] is None
    for index in range(count):
        page.handle_message({"kind": "solve", "index": index})
        assert raising(page)["offers"][index]["result"].startswith("Recalculated")
    words = [one["words"] for one in raising(page)["offers"]]
    shorter = next(place for place, one in enumerate(words) if one.startswith("a stroke shorter"))
    stroke = page.state.design.cylinder.stroke
    page.handle_message({"kind": "apply", "index": shorter})
    assert page.state.design.cylinder.stroke < stroke
    assert page.view.raising == ""


def test_pairs_follow_where_no_change_alone_is_enough_and_one_is_shown(page, monkeypatch):
    """How the page goes on; what a pair is and whether it is enough, is tested beside it."""
    short = {"outcome": "short", "result": "Recalculated.", "fits": True}
    monkeypatch.setattr(rev_limit_page, "outcome", lambda *_: dict(short))
    monkeypatch.setattr(
        rev_limit_page,
        "pairs",
        lambda _ladder, _gain, found, outcomes: [replace(found[0], beside=found[1])],
    )
    page.handle_message({"kind": "raise", "gain": 200})
    one, two, *_ = page._offers
    for index in range(len(page._offers)):
        page.handle_message({"kind": "solve", "index": index})
    assert [offer["result"] is None for offer in raising(page)["offers"]] == [False] * 3 + [True]
    page.handle_message({"kind": "solve", "index": 3})
    assert raising(page)["before"].endswith("none of 4 changes is enough:")
    page.handle_message({"kind": "solve", "index": 4})
    assert raising(page)["rest"]["after"]
    before = page.state.design
    page.handle_message({"kind": "apply", "index": 3})
    for part in (one, two):
        record, attribute, declared = group_field(page.state.design, part.change.key)
        assert getattr(record, attribute) == pytest.approx(declared.unit.to_si(part.value))
    page.state.undo()
    assert page.state.design == before


def test_a_gain_beyond_reach_still_offers_better_parts(page):
    page.handle_message({"kind": "raise", "gain": 10_000})
    assert [one["words"].startswith("parts proved") for one in raising(page)["offers"]] == [True]


def test_another_design_takes_the_offers_away(page):
    page.handle_message({"kind": "raise", "gain": 200})
    page.state.change("cylinder.stroke_mm", 75)
    assert page.view.raising == ""
    page.handle_message({"kind": "solve", "index": 0})
    assert page.view.raising == ""


def test_numbers_break_at_no_space(page):
    assert "\u2009" not in page.view.board
