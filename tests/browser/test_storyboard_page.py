"""The storyboard page in Chromium: steps made, ordered, kept, saved, opened and presented."""

import json
import re

import pytest

from apps.storyboard.storyboard import Setting, Step, Storyboard
from apps.storyboard.storyboard_file import read_storyboard, storyboard_text
from assets_demo import demo_paths
from kinematics import design_text, load_design, solve_cycle
from tests.browser.conftest import open_page
from tests.browser.test_accessibility import violations
from tests.browser.waiting import wait_until_painted
from viz.number_words import format_number
from viz.train.main_numbers import main_numbers

pytestmark = pytest.mark.browser

TEXTS = {name: design_text(load_design(path)) for name, path in demo_paths().items()}
TOURING, SHORT = Setting(TEXTS["Touring six"], 5800.0), Setting(TEXTS["Short rod six"], 5800.0)
BOARD = Storyboard(
    (
        Step(TOURING, title="One", note="First note.", angle_deg=30.0),
        Step(SHORT, TOURING, title="<i>Two</i>", note="Second.", picture="side_thrust",
             headline="main.side_thrust", cylinder=2),
        Step(SHORT, TOURING, title="Three", picture="journal", headline="film.least_film"),
        Step(SHORT, title="Four", picture="limit", rung="rod_fatigue",
             headline="limit.rod_fatigue"),
    )
)  # fmt: skip

BLANK = Storyboard((Step(TOURING, title="Blank"),))


@pytest.fixture
def present(context, address):
    page, seen = open_page(context, f"{address}storyboard", wait_until_painted)
    yield page, seen
    page.close()


@pytest.fixture(scope="module")
def present_once(context, address):
    page, seen = open_page(context, f"{address}storyboard", wait_until_painted)
    yield page, seen
    page.close()


@pytest.fixture
def again(present_once):
    """One page for all tests that open a storyboard of their own; another one is open."""
    page, seen = present_once
    open_board(page, BLANK)
    page.locator("button.step").nth(1).wait_for(state="detached")
    return page, seen


def open_board(page, board=BOARD):
    """Open a storyboard from a file."""
    page.locator(".storyboard input[type=file]").set_input_files(
        {"name": "b.json", "mimeType": "", "buffer": storyboard_text(board).encode()}
    )
    page.locator("button.step").nth(len(board.steps) - 1).wait_for()
    stage(page, board.steps[0].title)


def stage(page, title):
    """Wait until the stage shows a title."""
    page.locator(".stage h2.title").filter(has_text=title).wait_for()


def start(page):
    page.get_by_role("button", name="Present ▸").click()
    page.locator(".stage-place.presenting").wait_for()


def titles(page):
    return page.locator("button.step .title").all_inner_texts()


def test_a_scene_is_added_named_and_shown(present):
    page, seen = present
    assert page.get_by_role("button", name="Present ▸").is_disabled()
    page.get_by_role("button", name="Add current view").click()
    stage(page, "Hill-climb six")
    page.get_by_label("Title", exact=True).fill("<b>Opening</b>")
    page.get_by_label("Title", exact=True).press("Enter")
    stage(page, "<b>Opening</b>")
    page.get_by_label("Note", exact=True).fill("What we built.")
    page.get_by_label("Note", exact=True).press("Tab")
    page.locator(".stage .note").filter(has_text="What we built.").wait_for()
    page.get_by_label("Headline number").select_option("main.peak_pressure")
    page.locator(".stage .value").filter(has_text="84.0 bar").wait_for()
    assert titles(page) == ["<b>Opening</b>"]
    assert seen.errors == []
    assert seen.elsewhere == []


def test_each_step_shows_its_own_picture_and_nothing_else(again):
    page, seen = again
    open_board(page)
    for place, (title, picture) in enumerate(
        (
            ("One", ".train-stage canvas"),
            ("<i>Two</i>", "figure[data-plot=side_thrust] canvas"),
            ("Three", "canvas[data-picture=journal]"),
            ("Four", "figure[data-plot=limit_speed] canvas"),
        )
    ):
        page.locator("button.step").nth(place).click()
        stage(page, title)
        page.locator(picture).first.wait_for()
        shown = page.locator(".train-stage:visible, .picture:visible, .stage-place figure:visible")
        assert shown.count() == 1
    assert seen.errors == []


def plain(text):
    return re.sub(r"[\u2009\u202f\u00a0]", " ", text)


def test_the_headline_says_how_it_stands_against_the_reference(again):
    page, _ = again
    open_board(page)
    page.locator("button.step").nth(1).click()
    stage(page, "<i>Two</i>")
    assert page.locator(".stage .label").inner_text() == "Side thrust"
    short, touring = (
        next(one for one in main_numbers(solve_cycle(design, 5800.0)) if one.key == "side_thrust")
        for design in (load_design(demo_paths()[name]) for name in ("Short rod six", "Touring six"))
    )
    assert plain(page.locator(".stage .value").inner_text()) == plain(short.words)
    words = plain(page.locator(".stage .change").inner_text())
    gain = short.value - touring.value
    share = f"{100 * gain / touring.value:.1f}"
    assert words.startswith(f"+{format_number(gain, 3)} (+{share} %)")
    assert f"against {plain(touring.words)}: Touring six" in words


def test_keys_go_from_step_to_step_and_escape_ends(again):
    page, seen = again
    open_board(page)
    start(page)
    for key, title in (
        ("ArrowRight", "<i>Two</i>"), (" ", "Three"), ("PageDown", "Four"), ("ArrowRight", "Four"),
        ("PageUp", "Three"), ("ArrowLeft", "<i>Two</i>"), ("Home", "One"), ("End", "Four"),
    ):  # fmt: skip
        page.keyboard.press(key)
        stage(page, title)
    page.keyboard.press("Home")
    for _ in range(2):  # faster than the steps come
        page.keyboard.press("ArrowRight")
    stage(page, "Three")
    assert page.locator("header.bar").evaluate("(node) => node.inert")
    page.keyboard.press("Escape")
    page.locator(".stage-place:not(.presenting)").wait_for()
    assert not page.locator("header.bar").evaluate("(node) => node.inert")
    assert seen.errors == []


def test_the_stage_fills_the_window_in_large_type_with_nothing_else_seen(again):
    page, _ = again
    open_board(page)
    start(page)
    box = page.locator(".stage-place").bounding_box()
    assert (box["x"], box["y"], box["width"], box["height"]) == (0, 0, 1440, 900)
    sizes = page.locator(".stage .value, .stage .title, .stage .note").evaluate_all(
        "(nodes) => nodes.map((node) => parseFloat(getComputedStyle(node).fontSize))"
    )
    assert min(sizes) >= 24
    assert page.locator(".stage .caution").is_visible()
    over = page.evaluate(
        """() => [[100, 20], [1300, 20], [700, 880]].every(([x, y]) =>
           document.elementFromPoint(x, y).closest(".stage-place") !== null)"""
    )
    assert over
    page.keyboard.press("Escape")
    page.locator(".stage-place:not(.presenting)").wait_for()


def test_a_pointer_goes_on_and_back_and_the_way_out_shows_as_it_moves(again):
    page, _ = again
    open_board(page)
    start(page)
    page.mouse.click(1000, 450)
    stage(page, "<i>Two</i>")
    page.mouse.click(100, 450)
    stage(page, "One")
    page.mouse.move(700, 300)
    page.mouse.move(720, 300)
    page.get_by_role("button", name="End", exact=True).click()
    page.locator(".stage-place:not(.presenting)").wait_for()


def test_steps_are_ordered_and_deleted(again):
    page, _ = again
    open_board(page)
    page.get_by_role("button", name="Move the step down").click()
    page.locator("button.step[aria-current] .number").filter(has_text="2").wait_for()
    assert titles(page) == ["<i>Two</i>", "One", "Three", "Four"]
    page.get_by_role("button", name="Move the step up").click()
    page.locator("button.step[aria-current] .number").filter(has_text="1").wait_for()
    page.get_by_role("button", name="Delete the step").click()
    stage(page, "<i>Two</i>")
    assert titles(page) == ["<i>Two</i>", "Three", "Four"]


def test_what_is_deleted_can_be_put_back(present):
    page, seen = present
    open_board(page)
    delete = page.get_by_role("button", name="Delete the step")
    page.locator("button.step").nth(1).click()
    for gone, left in (("<i>Two</i>", "Three"), ("Three", "Four"), ("Four", "One")):
        stage(page, gone)
        delete.click()
        page.get_by_text(f"Deleted: {gone}").wait_for()
        stage(page, left)
    delete.click()
    page.get_by_text("Deleted: One").wait_for()
    page.get_by_text("No step yet.").wait_for()
    back = page.get_by_role("button", name="Undo delete")
    for title in ("One", "Four", "Three", "<i>Two</i>"):
        back.press("Enter")
        stage(page, title)
    back.wait_for(state="hidden")
    assert titles(page) == ["One", "<i>Two</i>", "Three", "Four"]
    page.reload()
    wait_until_painted(page)
    stage(page, "<i>Two</i>")
    assert titles(page) == ["One", "<i>Two</i>", "Three", "Four"]
    assert seen.errors == []


def test_a_file_is_saved_that_opens_again(again):
    page, _ = again
    open_board(page)
    with page.expect_download() as download:
        page.get_by_role("button", name="Save storyboard").click()
    assert download.value.suggested_filename == "one.storyboard.json"
    assert read_storyboard(download.value.path().read_text(encoding="utf-8")) == BOARD


def test_a_bad_file_is_refused_and_the_last_storyboard_stays(again):
    page, seen = again
    open_board(page)
    opener = page.locator(".storyboard input[type=file]")
    wrong = json.loads(storyboard_text(BOARD))
    wrong["steps"][2]["angle_deg"] = 721
    opener.set_input_files({"name": "w.json", "mimeType": "", "buffer": json.dumps(wrong).encode()})
    page.get_by_text("w.json was not opened. steps[2].angle_deg: must be").wait_for()
    opener.set_input_files({"name": "x.json", "mimeType": "", "buffer": b" " * 4_000_001})
    page.get_by_text("x.json must be at most 4 MB (got 4.0 MB).").wait_for()
    assert titles(page) == ["One", "<i>Two</i>", "Three", "Four"]
    assert seen.errors == []


def test_a_reload_loses_nothing(again):
    page, _ = again
    open_board(page)
    page.locator("button.step").nth(1).click()
    stage(page, "<i>Two</i>")
    page.reload()
    wait_until_painted(page)
    stage(page, "<i>Two</i>")
    assert titles(page) == ["One", "<i>Two</i>", "Three", "Four"]


def test_what_the_tab_kept_wrongly_is_said_and_let_go(present):
    page, seen = present
    page.evaluate("sessionStorage.setItem('sixthrow-storyboard', JSON.stringify({text: '[]'}))")
    page.reload()
    wait_until_painted(page)
    page.get_by_text("The storyboard stored in this tab was not opened.").wait_for()
    page.get_by_role("button", name="Add current view").click()
    stage(page, "Hill-climb six")
    page.wait_for_function(
        "JSON.parse(sessionStorage.getItem('sixthrow-storyboard')).text[0] === '{'"
    )
    assert seen.errors == []


def test_a_step_and_the_tab_exchange_designs(present):
    page, _ = present
    open_board(page)
    page.locator("button.step").nth(1).click()
    stage(page, "<i>Two</i>")
    page.get_by_role("button", name="Open its design in this tab").click()
    page.locator("strong.title").filter(has_text="Short-rod six").wait_for()
    page.get_by_text("Reference: Touring six").wait_for()
    page.locator("button.step").nth(0).click()
    stage(page, "One")
    page.get_by_role("button", name="Update with current design").click()
    page.get_by_text(re.compile(r"Shows Short-rod six at 5\s800 rpm\.")).wait_for()


def test_a_moving_step_turns_while_it_is_presented_and_only_then(again):
    page, _ = again
    moving = Storyboard((Step(TOURING, title="Turns", moving=True, picture="rod_force"),))
    open_board(page, moving)
    cursor = "window.sixthrow.modelNamed('rod_force_cursor')?.location"
    page.wait_for_function(f"{cursor} === 0")
    start(page)
    page.wait_for_function(f"{cursor} > 5")
    page.keyboard.press("Escape")
    page.locator(".stage-place:not(.presenting)").wait_for()
    page.wait_for_function(f"{cursor} === 0")


def test_the_page_needs_no_scrolling_on_a_desktop(again):
    page, _ = again
    open_board(page)
    size = page.evaluate(
        "[document.documentElement.scrollWidth, document.documentElement.scrollHeight]"
    )
    assert size == [1440, 900]


def present_second(page):
    """Present the second step, in a window: one that fills the screen cannot be resized."""
    page.evaluate("Element.prototype.requestFullscreen = undefined")
    open_board(page)
    page.locator("button.step").nth(1).click()
    stage(page, "<i>Two</i>")
    start(page)
    page.keyboard.press("ArrowRight")
    stage(page, "<i>Two</i>")


def test_presenting_starts_at_the_first_step_with_notes_apart(again):
    page, seen = again
    said = Storyboard((Step(TOURING, title="First", speaker="Ask who built it."), BOARD.steps[1]))
    open_board(page, said)
    page.locator("button.step").nth(1).click()
    stage(page, "<i>Two</i>")
    start(page)
    stage(page, "First")
    notes = page.locator(".stage .speaker")
    assert not notes.is_visible()
    page.keyboard.press("n")
    assert notes.inner_text() == "Ask who built it."
    assert notes.bounding_box()["y"] > page.locator(".stage .caution").bounding_box()["y"]
    page.keyboard.press("ArrowRight")
    page.get_by_text("No speaker notes for this step.").wait_for()
    page.keyboard.press("n")
    assert not notes.is_visible()
    page.keyboard.press("Escape")
    page.locator(".stage-place:not(.presenting)").wait_for()
    assert seen.errors == []


def test_a_deck_has_a_landscape_sheet_for_each_step(again):
    page, seen = again
    deck = Storyboard((
        *BOARD.steps,
        Step(SHORT, TOURING, title="Five", picture="ladder"),
        Step(SHORT, TOURING, title="Six", picture="changes", note="What moved."),
        Step(SHORT, TOURING, title="Seven", picture="speed_power"),
        Step(SHORT, title="Eight", picture="scatter_shares"),
    ))  # fmt: skip
    open_board(page, deck)
    page.evaluate("() => { window.print = () => { window.printed = true; }; }")
    page.get_by_role("button", name="Print deck").click()
    page.wait_for_function("() => window.printed", timeout=120_000)
    sheets = page.locator(".deck .sheet")
    assert sheets.locator("h2").all_text_contents() == [step.title for step in deck.steps]
    pictures = sheets.evaluate_all(
        "all => all.map(one => one.querySelector('.sheet-picture').firstElementChild.tagName)"
    )
    assert pictures == ["IMG", "svg", "IMG", "svg", "svg", "TABLE", "svg", "svg"]
    pdf = page.pdf(prefer_css_page_size=True)
    boxes = re.findall(rb"/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    assert len(boxes) == len(deck.steps)
    assert all(float(width) > float(height) for width, height in boxes)
    page.locator(".deck").wait_for(state="detached")
    stage(page, "One")
    assert seen.errors == []


def test_axe_finds_nothing(browser, address):
    assert violations(browser, f"{address}storyboard", open_board, present_second) == []


def test_an_empty_storyboard_offers_one_of_five_steps(present):
    page, seen = present
    page.get_by_role("button", name="Show an example of five steps").click()
    page.locator("ol.steps button.step").nth(4).wait_for()
    assert page.get_by_role("button", name="Present").is_enabled()
    assert seen.errors == []
