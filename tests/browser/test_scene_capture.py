"""A page's scene kept as a step of the storyboard, shown there, and gone back to, in Chromium."""

import json

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import open_page
from tests.browser.waiting import wait_until_painted

pytestmark = pytest.mark.browser


def keep(page, number):
    page.locator("summary", has_text="File").press("Enter")
    page.get_by_role("button", name="Add to storyboard").press("Enter")
    page.locator(".message").filter(has_text=f"Step {number} added to the storyboard.").wait_for()


def go(page, link):
    page.get_by_role("link", name=link, exact=True).click()
    page.wait_for_function("link => document.title.includes(link)", arg=link.lower())
    wait_until_painted(page)


def test_a_scene_of_each_page_becomes_a_step(context, address):
    page, seen = open_page(context, f"{address}bearings", wait_until_painted)
    page.locator("button.bearing[data-bearing=main_3]").click()
    page.get_by_role("button", name="Set reference").click()
    page.locator(".reference-name").filter(has_text="at").wait_for()
    keep(page, 1)
    go(page, "Limits")
    page.locator(".rung[data-rung=rod_fatigue]").click()
    keep(page, 2)
    go(page, "Compare")
    page.get_by_label("Plot 1").select_option("compared_side_thrust")
    keep(page, 3)
    page.goto(f"{address}talk")
    wait_until_painted(page)
    keep(page, 4)
    go(page, "Storyboard")
    page.locator("button.step").nth(3).wait_for()
    words = [text.split("\n")[-1] for text in page.locator("button.step").all_inner_texts()]
    assert words == [
        "Bearings: Journal in its clearance", "Limits: Limit against speed",
        "Compare: Side thrust", "Rev limit: Limit against speed",
    ]  # fmt: skip
    assert page.locator("button.step[aria-current] .number").inner_text() == "4"
    for number, label in ((0, "Main 3: minimum oil film thickness"), (2, "Side thrust")):
        page.locator("button.step").nth(number).click()
        page.locator(".stage .label").filter(has_text=label).wait_for()
        page.locator(".stage .change").filter(has_text="same as").wait_for()
    assert seen.errors == []
    page.close()


def test_a_step_leads_back_to_where_it_was_kept(opened):
    page, seen = opened
    page.get_by_role("tab", name="Free forces").click()
    page.get_by_label("Cylinder shown in the plots").select_option(index=3)
    page.get_by_label("Mains", exact=True).check()
    page.locator("canvas[tabindex='0']").first.press("Home")
    page.keyboard.press("Shift+ArrowRight")
    keep(page, 1)
    stroke = page.get_by_label("Stroke", exact=True)
    stroke.fill("81")
    stroke.press("Enter")
    page.wait_for_function("sessionStorage.getItem('sixthrow-draft').includes('stroke_mm = 81')")
    page.get_by_role("tab", name="Big end").click()
    go(page, "Storyboard")
    page.get_by_role("button", name="Go to it: Crank train").click()
    page.wait_for_function("!location.pathname.includes('storyboard')")
    wait_until_painted(page)
    page.locator(".angle").filter(has_text="φ 10°").wait_for()
    page.locator("#tab-balance[aria-selected=true]").wait_for()
    assert page.get_by_label("Mains", exact=True).is_checked()
    assert page.get_by_label("Cylinder shown in the plots").input_value() == "3"
    assert stroke.input_value() == "78"
    page.get_by_role("button", name="Undo", exact=True).click()
    expect(stroke).to_have_value("81")
    assert seen.errors == []


def test_a_broken_storyboard_is_not_overwritten(opened):
    page, seen = opened
    page.evaluate("sessionStorage.setItem('sixthrow-storyboard', JSON.stringify({text: '[]'}))")
    page.locator("summary", has_text="File").click()
    page.get_by_role("button", name="Add to storyboard").click()
    page.locator(".message.bad").filter(has_text="not a storyboard file").wait_for()
    assert json.loads(page.evaluate("sessionStorage.getItem('sixthrow-storyboard')")) == {
        "text": "[]"
    }
    assert seen.errors == []


def test_a_tab_without_room_says_so(opened):
    page, seen = opened
    page.evaluate(
        """() => { for (const size of [1e6, 1e5, 1e4, 1e3]) for (let i = 0; ; i += 1)
             try { sessionStorage.setItem(`filler${size}-${i}`, "x".repeat(size)); }
             catch { break; } }"""
    )
    page.locator("summary", has_text="File").click()
    page.get_by_role("button", name="Add to storyboard").click()
    page.locator(".message.bad").filter(has_text="no room to store the storyboard").wait_for()
    stroke = page.get_by_label("Stroke", exact=True)
    stroke.fill("81")
    stroke.press("Enter")
    page.get_by_role("button", name="Undo", exact=True).and_(page.locator(":enabled")).click()
    page.get_by_role("button", name="Redo", exact=True).and_(page.locator(":enabled")).wait_for()
    assert stroke.input_value() == "78"
    assert seen.errors == []
