"""The review page in Chromium: one screen answers the question; variants go along in the tab."""

import json

import numpy as np
import pytest
from playwright.sync_api import expect

from apps.command_line import main
from apps.pages.review_page import EXAMPLE_CHANGES, EXAMPLE_QUESTION
from kinematics import load_demo, speed_limits, with_value
from kinematics.limits.attribution import LadderAttribution
from kinematics.units import UNITS
from tests.browser.conftest import open_page
from tests.browser.test_accessibility import everywhere
from tests.browser.waiting import wait_until_painted
from viz.review.review_card import card_attributions
from viz.review.review_numbers import rated_cycle
from viz.review.review_rows import used_text

pytestmark = pytest.mark.browser

USED = """row => row.querySelector(".used").textContent"""
DRAWN = """role => sixthrow.modelNamed(`variant_curves_${role}_lines`)?.data.xs.length > 0"""
HIGHEST = """role => Math.max(...sixthrow.modelNamed(`variant_curves_${role}_lines`).data.ys[0])"""
BY = """row => [...row.querySelectorAll("td.by")].map(cell => cell.textContent)"""


@pytest.fixture(scope="module")
def review(context, address):
    """One page for all tests, with the example shown."""
    page, seen = open_page(context, f"{address}review", wait_until_painted)
    page.get_by_role("button", name="Show an example").click()
    page.locator("[data-attributed='true']").wait_for(timeout=60_000)
    yield page, seen
    page.close()


def proposal():
    design = load_demo("hill_climb_six")
    for key, value in EXAMPLE_CHANGES.items():
        design = with_value(design, key, value)
    return design


def test_the_card_is_that_of_the_ladders(review):
    page, seen = review
    both = LadderAttribution(speed_limits(load_demo("hill_climb_six")), speed_limits(proposal()))
    moves = card_attributions(both)["rungs"]
    for key in ("rod_fatigue", "main_film", "ring_lift"):
        row = page.locator(f"tr[data-rung='{key}']")
        used = row.evaluate(USED)
        assert used_text(both.b[key]) in used
        assert used_text(both.a[key]).removesuffix(" %") in used
        assert row.evaluate(BY) == [cell["text"] for cell in moves[key]["by"]]
    assert page.get_by_label("Question of the review").input_value() == EXAMPLE_QUESTION
    assert seen.errors == []
    assert seen.elsewhere == []


@pytest.mark.parametrize("size", [(1440, 900), (1280, 600)])
def test_question_answer_and_what_governs_are_on_one_screen(review, size):
    page, _ = review
    page.set_viewport_size({"width": size[0], "height": size[1]})
    for part in (".question", ".answer", "tr.governs", "tr[data-rung='main_film']"):
        box = page.locator(part).first.bounding_box()
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= size[1]
        assert box["x"] + box["width"] <= size[0] + 1
    assert page.evaluate("document.documentElement.scrollHeight") <= size[1]
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    page.set_viewport_size({"width": 1440, "height": 900})


def test_marks_stand_where_the_limits_are(review):
    """The mark of B within half a pixel of its place on the axis."""
    page, _ = review
    limit = speed_limits(proposal())["rod_fatigue"].limit / UNITS["rpm"].factor
    low, high = 0.8 * 8500, 1.6 * 8900
    found = page.locator("tr[data-rung='rod_fatigue'] svg.strip").evaluate(
        """strip => { const mark = strip.querySelector(".patch").getBoundingClientRect();
          const box = strip.getBoundingClientRect();
          return ((mark.left + mark.right) / 2 - box.left) / box.width; }"""
    )
    assert found == pytest.approx((limit - low) / (high - low), abs=0.005)


def test_a_control_changes_the_card_and_all_others_open(review):
    page, _ = review
    count = page.locator("tr[data-rung]").count()
    page.get_by_role("button", name="All others").click()
    assert page.locator("tr[data-rung]").count() == len(speed_limits(proposal()).rungs)
    page.get_by_role("button", name="All others").click()
    assert page.locator("tr[data-rung]").count() == count
    box = page.get_by_role("textbox", name="Rod mass").or_(page.get_by_label("Rod mass")).first
    box.fill("440")
    box.press("Enter")
    expect(page.locator("thead th.by")).to_have_count(5)
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("thead th.by")).to_have_count(4)


def test_a_variant_is_kept_over_a_reload(review):
    page, _ = review
    page.get_by_role("button", name="Keep B as a variant").click()
    page.get_by_role("button", name="Variants", exact=True).click()
    expect(page.locator(".variants thead th")).to_have_count(3)
    name = page.get_by_label("Name of the variant")
    name.fill("faster")
    name.press("Enter")
    page.wait_for_function(
        "JSON.parse(sessionStorage.getItem('sixthrow-draft'))?.variants?.[0]?.name === 'faster'"
    )
    page.reload()
    wait_until_painted(page)
    page.get_by_role("button", name="Variants", exact=True).click()
    expect(page.get_by_label("Name of the variant")).to_have_value("faster")
    expect(page.get_by_label("Question of the review")).to_have_value(EXAMPLE_QUESTION)
    page.get_by_role("button", name="Remove C").click()
    expect(page.locator(".variants thead th")).to_have_count(2)
    page.get_by_role("button", name="Card", exact=True).click()


def test_the_curves_of_all_designs_are_drawn_and_chosen_by_keys(review):
    """What is plotted is what the cycles give; words, table and file come with the figure."""
    page, seen = review
    page.get_by_role("button", name="Curves", exact=True).first.click()
    figure = page.locator("figure[data-plot='variant_curves']")
    expect(figure.locator("figcaption span")).to_contain_text("Big-end load")
    page.wait_for_function(DRAWN, arg="main", timeout=30_000)
    load = rated_cycle(proposal()).bearings.big_ends["rod"][0]
    plotted = page.evaluate(HIGHEST, "main")
    assert plotted == pytest.approx(np.hypot(*load).max() / 1e3, rel=1e-5)
    page.get_by_label("Quantity of the variants").select_option("crank_torque")
    expect(figure.locator("figcaption span")).to_contain_text("Crank torque")
    page.get_by_role("button", name="Difference from A").press("Enter")
    expect(figure.locator("figcaption span")).to_contain_text("difference from A")
    assert "B, " in figure.locator(".drawing").get_attribute("aria-label")
    figure.get_by_role("button", name="Table and export").click()
    expect(page.locator("dialog.figure-table")).to_contain_text("B, ")
    page.keyboard.press("Escape")
    assert everywhere(page) == []
    assert seen.errors == []
    page.get_by_role("button", name="Card", exact=True).click()
    expect(figure).to_be_hidden()


def test_axe_finds_nothing(review):
    page, _ = review
    page.locator("[data-attributed='true']").wait_for(timeout=60_000)
    assert everywhere(page) == []
    page.set_viewport_size({"width": 1440, "height": 900})


def test_a_criterion_opens_on_limits(review):
    page, _ = review
    page.locator("tr[data-rung='ring_lift'] .pick").click()
    page.wait_for_url("**/limits")
    page.locator(".rung[data-rung='ring_lift'][aria-current='true']").wait_for()
    draft = json.loads(page.evaluate("sessionStorage.getItem('sixthrow-draft')"))
    assert draft["question"] == EXAMPLE_QUESTION


def test_the_answer_is_reported_presented_and_printed(review):
    """One answer on the card, the slide and the sheet; the report's own designs give it again."""
    page, seen = review
    page.get_by_role("link", name="Review", exact=True).click()
    page.wait_for_url("**/review*")
    wait_until_painted(page)
    answer = page.locator(".answer span").inner_text()
    file = page.locator("summary", has_text="File")
    with page.expect_download(timeout=120_000) as download:
        file.click()
        page.get_by_role("button", name="Make a report").click()
    report = download.value.path()
    assert EXAMPLE_QUESTION in report.read_text(encoding="utf-8")
    assert main(["report", "--check", str(report)]) == 0

    file.press("Enter")
    page.get_by_role("button", name="Add to storyboard").press("Enter")
    page.locator(".message").filter(has_text="Step 1 added").wait_for()
    page.get_by_role("link", name="Storyboard", exact=True).click()
    page.wait_for_url("**/storyboard*")
    wait_until_painted(page)
    page.get_by_role("button", name="Present").click()
    slide = page.locator(".stage.presenting .stage-answer")
    expect(slide).to_have_text(answer)
    page.keyboard.press("Escape")
    page.wait_for_function("() => !document.fullscreenElement")
    page.evaluate("() => { window.print = () => { window.printed = true; }; }")
    page.get_by_role("button", name="Print deck").click()
    page.wait_for_function("() => window.printed", timeout=120_000)
    expect(page.locator(".deck .sheet .stage-answer")).to_have_text([answer])
    assert seen.errors == []
