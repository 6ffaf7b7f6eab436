"""A state in which not all cylinders fire is said wherever its numbers are read."""

import dataclasses

import pytest

from apps.page_registry import CRANK_TRAIN
from apps.pages.design_page import DesignPage
from apps.state import AppState
from apps.storyboard.scene_capture import scene_step
from apps.storyboard.step_scene import step_message, step_scene
from apps.tables.films_table import films_text
from apps.tables.limits_table import limits_text
from kinematics import design_text, load_demo, parse_design, solve_cycle
from kinematics.design.design_firing import Firing
from kinematics.limits.speed_limits import speed_limits
from viz.film.shown_films import ShownFilms
from viz.firing_words import firing_words
from viz.limits.margin_table import margin_table_csv
from viz.rev_limit.rev_limit_lines import rev_limit_message

WORDS = "Not all cylinders fire alike: cylinder 3 motored (misfire)"


@pytest.fixture(scope="module")
def misfiring():
    return dataclasses.replace(load_demo("hill_climb_six"), firing=Firing("motored", 3))


def test_the_words_name_cylinder_and_spread(misfiring):
    assert firing_words(load_demo("hill_climb_six")) == ""
    assert firing_words(misfiring) == WORDS
    spread = dataclasses.replace(misfiring, firing=Firing("no_pressure", 2, 0.05, 4))
    assert firing_words(spread) == (
        "Not all cylinders fire alike: cylinder 2 without pressure; IMEP spread 5 %, seed 4"
    )


def test_the_bar_of_a_page_says_it_and_leads_back(misfiring):
    class Page(DesignPage):
        entry = CRANK_TRAIN

    state = AppState(misfiring)
    page = Page(state)
    assert page.bar.firing == WORDS
    page.command({"kind": "all_fire"})
    assert state.design == load_demo("hill_climb_six")
    assert page.bar.firing == ""
    state.undo()
    assert page.bar.firing == WORDS


def test_a_link_and_a_step_carry_the_state(misfiring):
    state = AppState(load_demo("hill_climb_six"))
    state.restore(design_text(misfiring), 8000)
    assert state.design == misfiring
    step = scene_step(state, {})
    assert parse_design(step.now.design) == misfiring
    assert step_message(step_scene(step))["firing"] == WORDS


def test_the_reference_is_named_with_its_state(misfiring):
    state = AppState(misfiring)
    state.set_reference()
    state.fire_all()
    step = scene_step(state, {})
    message = step_message(step_scene(step))
    assert message["firing"] == ""
    assert "cylinder 3 motored" in message["reference"]


def test_tables_and_csv_say_it(misfiring):
    ladder = speed_limits(misfiring)
    assert f"{WORDS}.\n" in limits_text(ladder)
    assert margin_table_csv(ladder).splitlines()[-2].strip('"') == f"{WORDS}."
    assert f"{WORDS}.\n" in films_text(ShownFilms(solve_cycle(misfiring, 8000)))
    assert WORDS not in limits_text(speed_limits(load_demo("hill_climb_six")))


def test_the_rev_limit_says_it_in_its_own_words_for_the_full_screen_hides_the_bar(misfiring):
    assert rev_limit_message(speed_limits(misfiring), None)["sentence"].startswith(f"{WORDS}. ")
