"""A page's scene as a step: its design, what is selected, and nothing of what is nonsense."""

import pytest

from apps.pages.bearings_page import BearingsPage
from apps.pages.compare_page import ComparePage
from apps.pages.crank_train_page import CrankTrainPage
from apps.pages.design_page import first_design
from apps.pages.limits_page import LimitsPage
from apps.pages.rev_limit_page import RevLimitPage
from apps.pages.review_page import ReviewPage
from apps.pages.shaft_page import ShaftPage
from apps.storyboard.scene_capture import place_of, placed, with_scene
from apps.storyboard.step_scene import step_scene
from apps.storyboard.storyboard import MOST_STEPS, Setting, Step, Storyboard
from apps.storyboard.storyboard_file import read_storyboard, storyboard_text
from kinematics import DesignError, design_text
from kinematics.limits.speed_limits import speed_limits


def kept(page, place=None, board=""):
    """The storyboard, and the new step's place, after a page's scene was kept; None if refused."""
    sent = []
    page.bar.store_storyboard = lambda content, index: sent.append((content, index))
    page.command({"kind": "step", "text": board, "place": place})
    return (read_storyboard(sent[0][0]), sent[0][1]) if sent else None


def changed_state():
    state = first_design()
    state.set_reference()
    state.change("cylinder.stroke_mm", 81.0)
    state.change("speed_rpm", 7100)
    return state


@pytest.mark.parametrize(
    ("make", "place", "shown"),
    [
        (CrankTrainPage,
         {"angle": 112, "cylinder": 3, "pane": "tab-balance", "forces": {"rod": True, "x": True}},
         {"picture": "train", "angle_deg": 112.0, "cylinder": 4, "pane": "tab-balance",
          "forces": ("rod",), "came_from": "Crank train"}),
        (BearingsPage, {"angle": 30}, {"picture": "journal", "headline": "film.least_film",
                                       "angle_deg": 30.0, "came_from": "Bearings"}),
        (LimitsPage, {}, {"picture": "limit", "came_from": "Limits"}),
        (ReviewPage, {"pane": "variants"}, {"picture": "review", "came_from": "Review"}),
        (ShaftPage, {"pane": "tab-front"}, {"picture": "shaft_front", "pane": "tab-front"}),
        (RevLimitPage, None, {"picture": "limit", "came_from": "Rev limit"}),
        (ComparePage, {"plot": "compared_free_force_1", "cylinder": 1},
         {"picture": "free_force", "cylinder": 2, "came_from": "Compare"}),
        (ComparePage, {"plot": "compared_side_thrust"}, {"headline": "main.side_thrust"}),
        (ComparePage, {"plot": "compared_displacement"}, {"picture": "train"}),
    ],
)  # fmt: skip
def test_every_page_keeps_what_it_shows(make, place, shown):
    state = changed_state()
    board, index = kept(make(state), place)
    (step,) = board.steps
    assert index == 0
    assert {key: getattr(step, key) for key in shown} == shown
    assert step.now.design == design_text(state.design)
    assert step.now.rpm == pytest.approx(7100, rel=1e-12)
    assert step.reference.design == design_text(state.reference.design)
    assert step.title == f"{step.whence}: {state.design.name}"
    assert step_scene(step).problem == ""


def test_what_is_selected_is_kept():
    bearings = BearingsPage(first_design())
    bearings.handle_message({"kind": "pick", "key": "main_3"})
    assert kept(bearings)[0].steps[0].bearing == "main_3"
    limits = LimitsPage(first_design())
    limits.handle_message({"kind": "pick", "key": "rod_fatigue"})
    step = kept(limits)[0].steps[0]
    assert (step.rung, step.headline) == ("rod_fatigue", "limit.rod_fatigue")
    first_limit = speed_limits(first_design().design).rungs[0].criterion.key
    assert kept(RevLimitPage(first_design()))[0].steps[0].rung == first_limit
    assert place_of(step)["selected"] == "rod_fatigue"


@pytest.mark.parametrize(
    "place",
    [None, [], "x", {"angle": "x"}, {"angle": -1}, {"angle": 721}, {"angle": float("nan")},
     {"cylinder": 99}, {"cylinder": True}, {"cylinder": 1.0}, {"pane": "<b>"}, {"pane": ["x"]},
     {"pane": "p" * 31}, {"forces": 7}],
)  # fmt: skip
def test_nonsense_of_a_place_is_let_go(place):
    assert placed(place, first_design().design.layout) == {}


def test_a_scene_goes_to_the_end_and_all_others_stay():
    board = storyboard_text(Storyboard((Step(Setting(design_text(first_design().design), 900)),)))
    found, index = kept(CrankTrainPage(changed_state()), {}, board)
    assert index == 1
    assert found.steps[:1] == read_storyboard(board).steps


def test_what_cannot_be_kept_is_said():
    page = CrankTrainPage(first_design())
    assert kept(page, board="{}") is None
    assert page.state.message[1]
    assert page.state.message[0].startswith("The view was not added. not a storyboard file")
    step = Step(Setting(design_text(first_design().design), 900))
    with pytest.raises(DesignError, match="at most 60"):
        with_scene(storyboard_text(Storyboard((step,) * MOST_STEPS)), step)


def test_the_review_page_keeps_its_variants():
    page = ReviewPage(changed_state())
    page.keep("longer stroke")
    board, _ = kept(page, {"pane": "variants"})
    assert board.steps[0].picture == "variants"
    assert [own.name for own in board.steps[0].variants] == ["longer stroke"]
    assert board.steps[0].variants[0].setting.rpm == pytest.approx(7100, rel=1e-12)
