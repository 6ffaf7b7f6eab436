"""Undo and redo: no step is lost, one pull at a slider is one step, whatever is done between."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.history import MOST_STEPS, SAME_PULL, History, Step
from apps.pages.design_page import first_design
from apps.state import AppState
from assets_demo import FOLDER, demo_paths
from kinematics import design_text, load_design
from kinematics.mechanics.pressure_trace import read_trace

KEYS = ("cylinder.stroke_mm", "piston.assembly_mass_g", "speed_rpm")


def seen(state: AppState):
    return state.design, state.cycle.speed, state.demo


DESIGN = first_design().design


def numbered(number: int) -> Step:
    return Step(DESIGN, float(number), "")


def same(step):
    return step


def test_undo_goes_back_and_redo_on_again():
    state = first_design()
    views = [seen(state)]
    for key, value in (("cylinder.stroke_mm", 80.0), ("rod.mass_g", 460.0), ("speed_rpm", 7000)):
        state.change(key, value)
        views.append(seen(state))
    assert len(set(views)) == 4
    for view in views[-2::-1]:
        assert state.may_undo
        state.undo()
        assert seen(state) == view
    assert not state.may_undo
    for view in views[1:]:
        assert state.may_redo
        state.redo()
        assert seen(state) == view
    assert not state.may_redo


def test_a_change_after_undoing_drops_what_was_undone():
    state = first_design()
    state.change("cylinder.stroke_mm", 80.0)
    state.undo()
    state.change("rod.mass_g", 470.0)
    assert not state.may_redo
    state.redo()
    assert state.design.rod.mass == pytest.approx(0.47)


def test_a_refused_change_is_no_step():
    state = first_design()
    state.change("cylinder.stroke_mm", 1e9)
    assert state.problem[0] == "cylinder.stroke_mm"
    assert not state.may_undo


def test_demos_files_and_traces_are_steps():
    state = first_design()
    first = seen(state)
    name = list(demo_paths())[1]
    state.open_demo(name, demo_paths()[name])
    second = seen(state)
    state.use_trace(read_trace((FOLDER / "motored_trace.csv").read_text()), "motored_trace.csv")
    assert seen(state) != second
    state.undo()
    assert seen(state) == second
    state.undo()
    assert seen(state) == first
    state.redo()
    assert seen(state) == second
    assert state.demo == name


@pytest.mark.parametrize("steps", [{}, [], "x", {"past": 7}, {"past": [7], "future": None}])
def test_what_a_tab_brings_is_all_there_is_to_undo(steps):
    state = first_design()
    state.change("cylinder.stroke_mm", 80.0)
    state.restore(design_text(state.design), 6000, steps=steps)
    assert not state.may_undo


def test_a_design_that_is_opened_is_one_step():
    state = first_design()
    before = seen(state)
    state.restore(design_text(load_design(demo_paths()["Touring six"])), 5000)
    assert state.design.name == "Touring six"
    state.undo()
    assert seen(state) == before


def test_one_pull_is_one_step_and_two_pulls_are_two():
    history = History()
    for number in range(10):
        history.leave(numbered(number), "stroke", 0.1 * number)
    history.leave(numbered(10), "stroke", 0.9 + 2 * SAME_PULL)
    history.leave(numbered(11), "bore", 0.95 + 2 * SAME_PULL)
    assert [step.speed for step in history.past] == [0.0, 10.0, 11.0]


def test_after_undoing_a_pull_starts_anew():
    history = History()
    history.leave(numbered(0), "stroke", 0.0)
    assert history.undo(numbered(1), same) == numbered(0)
    history.leave(numbered(0), "stroke", 0.1)
    assert [step.speed for step in history.past] == [0.0]


def test_very_many_steps_keep_the_last():
    history = History()
    for number in range(MOST_STEPS + 5):
        history.leave(numbered(number), "", 0.0)
    assert len(history.past) == MOST_STEPS
    assert list(history.past)[-1].speed == MOST_STEPS + 4


def test_a_step_that_cannot_be_opened_is_passed_over():
    history = History()
    for number in range(3):
        history.leave(numbered(number), "", 0.0)
    found = history.undo(numbered(3), lambda step: None if step.speed == 2.0 else step)
    assert found == numbered(1)
    assert history.redo(found, same) == numbered(3)
    assert [step.speed for step in history.past] == [0.0, 1.0]


@given(st.lists(st.sampled_from(("a", "b", "undo", "redo")), max_size=40))
def test_undoing_all_and_redoing_all_returns(script):
    """Against a plain list of what was seen, with every change a step of its own."""
    history, present, count = History(), numbered(0), 0
    track, at = [present], 0
    tab = {"past": [], "future": []}
    for word in script:
        if word == "undo":
            found = history.undo(present, same)
            assert (found is None) == (at == 0)
            at -= found is not None
        elif word == "redo":
            found = history.redo(present, same)
            assert (found is None) == (at == len(track) - 1)
            at += found is not None
        else:
            count += 1
            history.leave(present, "", math.inf)
            found = numbered(count)
            track = [*track[: at + 1], found]
            at += 1
        present = found or present
        assert present == track[at]
        if word != "b":  # what is told now and then is all that changed
            follow(tab, history)
            assert tab == {"past": track[:at], "future": track[:at:-1]}


def follow(tab, history):
    """Change a tab's steps by what a history tells."""
    for name, steps in tab.items():
        told = getattr(history, name).changes()
        del steps[len(steps) - told.removed :]
        steps += told.new
        assert len(steps) == told.count
