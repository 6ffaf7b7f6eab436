"""Steps as a tab keeps them: lines that differ from those of the step nearer by."""

import json

import pytest

from apps.pages.crank_train_page import CrankTrainPage
from apps.pages.design_page import first_design
from apps.undo_storage import StoredStep, stored_steps
from assets_demo import demo_paths
from kinematics import design_text, load_design, with_value

FIRST = load_design(next(iter(demo_paths().values())))


def told(text, near, rpm=6000.0, demo=""):
    """A text told by its lines between the first and the last ones that are the same."""
    lines, others = text.split("\n"), near.split("\n")
    most = min(len(lines), len(others))
    head = next((i for i in range(most) if lines[i] != others[i]), most)
    ends = zip(lines[head:][::-1], others[head:][::-1], strict=False)
    tail = next((i for i, (a, b) in enumerate(ends) if a != b), most - head)
    put = lines[head : len(lines) - tail]
    return {"head": head, "tail": tail, "put": put, "rpm": rpm, "demo": demo}


def stroke(value):
    return design_text(with_value(FIRST, "cylinder.stroke_mm", value))


def chain(texts, shown):
    return [told(text, near) for text, near in zip(texts, [*texts[1:], shown], strict=True)]


@pytest.mark.parametrize(
    ("text", "near"),
    [("a\nb\nc", "a\nx\nc"), ("a\nb", "a\nb"), ("", "a"), ("a", ""), ("a\na\na", "a\na"),
     ("a\na", "a\na\na"), ("b\n", "a\nb\n\n"), ("π\n\U0001f600", "\U0001f600")],
)  # fmt: skip
def test_a_text_comes_back_from_its_change(text, near):
    assert StoredStep(told(text, near), near).text == text


def test_steps_lead_back_and_on_again():
    texts = [stroke(value) for value in (70.0, 71.0, 72.0)]
    kept = {"past": chain(texts, stroke(73.0)), "future": chain([stroke(75.0)], stroke(73.0))}
    assert len(json.dumps(kept)) < 600
    state = first_design()
    state.restore(stroke(73.0), 6000, steps=kept)
    for value in (72, 71, 70):
        state.undo()
        assert state.design.cylinder.stroke == pytest.approx(value / 1000)
    assert not state.may_undo
    for value in (71, 72, 73, 75):
        state.redo()
        assert state.design.cylinder.stroke == pytest.approx(value / 1000)
    assert not state.may_redo
    assert state.message == ("", False)


def test_a_step_that_does_not_parse_is_passed_over_and_said():
    texts = [stroke(70.0), "schema = 99", stroke(72.0), stroke(71.5)]
    kept = chain(texts, stroke(73.0))
    kept[2]["rpm"] = "fast"
    state = first_design()
    state.restore(stroke(73.0), 6000, steps={"past": kept})
    state.undo()
    assert state.design.cylinder.stroke == pytest.approx(0.0715)
    state.undo()
    assert state.design.cylinder.stroke == pytest.approx(0.070)
    assert state.message[0].startswith("A step stored in this tab was skipped. schema")
    state.redo()
    state.redo()
    assert state.design.cylinder.stroke == pytest.approx(0.073)


def test_where_nothing_can_be_read_all_stays_and_it_is_said():
    state = first_design()
    state.restore(stroke(73.0), 6000, steps={"past": chain(["x"], stroke(73.0))})
    before = state.cycle
    assert state.may_undo
    state.undo()
    assert state.cycle is before
    assert not state.may_undo
    assert state.message[1]


def test_the_steps_of_a_broken_design_are_not_lost():
    state = first_design()
    state.restore("schema = 99", 6000, steps={"past": chain([stroke(70.0)], "schema = 99")})
    assert state.message[1]
    state.undo()
    assert state.design.cylinder.stroke == pytest.approx(0.070)


@pytest.mark.parametrize(
    "wrong",
    [None, {}, [], {"head": -1}, {"head": True}, {"tail": 1.5}, {"put": "x"}, {"put": [1]},
     {"demo": None}, {"demo": "d" * 201}],
)  # fmt: skip
def test_what_is_no_step_is_let_go_with_what_hangs_on_it(wrong):
    good = chain([stroke(70.0), stroke(71.0), stroke(72.0)], stroke(73.0))
    bad = good[1] | wrong if wrong else wrong
    steps = stored_steps([good[0], bad, good[2]], stroke(73.0))
    assert [step.text for step in steps] == [stroke(72.0)]


def test_a_page_tells_the_tab_what_changed_and_nothing_twice():
    state = first_design()
    page = CrankTrainPage(state)
    sent = []
    page.bar.store_draft = sent.append
    before = state.draft()
    state.change("cylinder.stroke_mm", 80.0)
    page.command({"kind": "draft", "serial": 1})
    page.command({"kind": "draft", "serial": 2})
    state.undo()
    page.command({"kind": "draft", "serial": 3})
    step = {key: before[key] for key in ("text", "rpm", "demo")}
    assert [one["steps"]["past"] for one in sent] == [
        {"removed": 0, "count": 1, "new": [step]},
        {"removed": 0, "count": 1, "new": []},
        {"removed": 1, "count": 0, "new": []},
    ]
    assert sent[2]["steps"]["future"]["count"] == 1
