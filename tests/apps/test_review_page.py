"""The review page: variants, the question and the card follow the state; bad input changes none."""

import json

import pytest

from apps.pages.design_page import first_design
from apps.pages.review_page import EXAMPLE_QUESTION, ReviewPage
from apps.state import AppState
from apps.variants import MOST_VARIANTS, read_variants
from kinematics import DesignError, load_demo
from kinematics.train.cycle import solve_cycle


@pytest.fixture
def page():
    return ReviewPage(first_design())


@pytest.fixture
def example(page, monkeypatch):
    monkeypatch.setattr(page._attributing, "start", lambda *_: None)
    for task in (page._tabling, page._drawing):
        monkeypatch.setattr(task, "start", lambda steps, show, _: show(next(iter(steps))))
    page.handle_message({"kind": "example"})
    return page


def test_without_a_reference_there_is_no_card(page):
    assert page.card.card == ""


def test_the_example_is_a_question_with_an_answer(example):
    card = json.loads(example.card.card)
    assert example.state.question == example.card.question == EXAMPLE_QUESTION
    assert [own["by"] for own in card["differences"]] == ["+400 rpm", "+2 mm", "−15 g"]
    assert card["answer"].startswith("Holds 8")
    example.state.undo()
    assert example.state.design == load_demo("hill_climb_six")


def test_a_change_makes_a_new_card_and_drops_what_came_with_the_last(example):
    before = json.loads(example.card.card)
    example._show_more(("attributions", {"rungs": {}, "numbers": {}}))
    assert json.loads(example.card.attributions)["of"] == before["serial"]
    example.state.change("rod.mass_g", 440.0)
    after = json.loads(example.card.card)
    assert after["serial"] > before["serial"]
    assert len(after["differences"]) == len(before["differences"]) + 1


def test_variants_are_kept_named_opened_and_removed(example):
    state = example.state
    proposal = state.cycle
    example.handle_message({"kind": "keep", "name": ""})
    assert state.variants[0].name == "rated speed +400 rpm, rod length +2 mm, piston assembly −15 g"
    example.handle_message({"kind": "rename", "index": 0, "name": " faster\n"})
    assert state.variants[0].name == "faster"
    state.change("rod.mass_g", 440.0)
    example.handle_message({"kind": "open", "index": 0})
    assert state.cycle.design == proposal.design
    state.undo()
    assert state.design.rod.mass == pytest.approx(0.44)
    table = json.loads(example.card.variants)
    assert [column["letter"] for column in table["columns"]] == ["A", "B", "C"]
    example.handle_message({"kind": "refer_to", "index": 0})
    assert state.reference.design == proposal.design
    example.handle_message({"kind": "remove", "index": 0})
    assert state.variants == []


def test_more_variants_than_there_is_room_for_are_refused(example):
    for place in range(MOST_VARIANTS + 1):
        example.handle_message({"kind": "keep", "name": f"number {place}"})
    assert len(example.state.variants) == MOST_VARIANTS
    assert example.state.message[1]
    assert "at most 4" in example.state.message[0]


@pytest.mark.parametrize(
    "message",
    [
        {"kind": "open", "index": 7}, {"kind": "open", "index": -1},
        {"kind": "rename", "index": 0, "name": ""},
        {"kind": "rename", "index": 0, "name": "\u202e"},
        {"kind": "remove", "index": True}, {"kind": "nothing", "index": 0},
    ],
)  # fmt: skip
def test_what_cannot_be_done_changes_nothing(example, message):
    example.handle_message({"kind": "keep", "name": "first"})
    kept, cycle = example.state.variants, example.state.cycle
    if message.get("index") is not True:
        example.handle_message(message)
    assert [own.name for own in example.state.variants] == [own.name for own in kept]
    assert example.state.cycle is cycle


def test_a_question_is_one_line_of_text(page):
    page.handle_message({"kind": "question", "text": "  <b>Why?\n</b>\u202e" + 300 * "x"})
    assert page.state.question.startswith("<b>Why? </b>xxx")
    assert len(page.state.question) <= 200


def test_a_tab_keeps_question_and_variants(example):
    example.handle_message({"kind": "keep", "name": "faster"})
    draft = json.loads(json.dumps(example.state.draft()))
    other = AppState(load_demo("pilot_boat_six"))
    other.restore_review(draft)
    assert other.question == EXAMPLE_QUESTION
    assert [(own.name, own.cycle.design) for own in other.variants] == [
        ("faster", example.state.design)
    ]


@pytest.mark.parametrize(
    "stored",
    [None, 7, "text", {}, [None], [7], [{}], [{"text": 3}], [{"text": "schema = 1", "rpm": 1}],
     [{"text": "\0", "rpm": "x"}], [[[]]]],
)  # fmt: skip
def test_stored_variants_that_cannot_be_read_are_left_out_with_a_reason(stored):
    state = first_design()
    before = state.cycle
    state.restore_review({"question": stored, "variants": stored})
    assert state.variants == []
    assert state.cycle is before
    assert isinstance(state.question, str)
    assert state.message[1] == (isinstance(stored, list))


def test_a_bad_variant_does_not_hide_a_good_one():
    design = load_demo("hill_climb_six")
    good = {"text": "good", "rpm": 8000, "name": "good", "parent": 7}

    def solve(text, speed_rpm):
        if text != "good":
            raise DesignError("name", "must be good (got bad)")
        return solve_cycle(design, speed_rpm)

    found, wrong = read_variants([{**good, "text": "bad"}, good], solve)
    assert [(own.name, own.parent) for own in found] == [("good", "")]
    assert "must be good" in wrong


def test_the_file_is_offered_with_a_reference_alone(page, monkeypatch):
    offered = []
    monkeypatch.setattr(page.bar, "offer_file", lambda *file: offered.append(file))
    page.handle_message({"kind": "table"})
    assert offered == []
    page.state.set_reference()
    page.handle_message({"kind": "table"})
    assert offered[0][0].endswith("-review.csv")
    assert offered[0][1].startswith("Question")


def test_a_rung_leads_to_the_limits_page(page, monkeypatch):
    gone = []
    monkeypatch.setattr(page.bar, "go", lambda *place: gone.append(place))
    page.handle_message({"kind": "rung", "key": "rod_fatigue"})
    assert gone == [("Limits", {"selected": "rod_fatigue"})]


def test_curves_follow_the_variants_once_they_were_asked_for(example):
    assert example.card.curves == ""
    example.handle_message({"kind": "curve", "key": "side_thrust", "difference": True})
    drawn = json.loads(example.card.curves)
    assert [letter for letter, _ in drawn["names"]] == ["A", "B"]
    assert "difference from A" in drawn["title"]
    before = example.charts.variant_curves
    example.state.change("piston.assembly_mass_g", 300.0)
    assert example.charts.variant_curves != before
    assert json.loads(example.card.curves)["key"] == "side_thrust"


def test_an_unknown_quantity_shows_the_first(example):
    example.handle_message({"kind": "curve", "key": "nothing", "difference": False})
    drawn = json.loads(example.card.curves)
    assert drawn["key"] == drawn["choices"][0][1]
