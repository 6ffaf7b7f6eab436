"""The line of fit: it follows a change, moves nothing, lists its checks and leads to a control."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import open_page
from tests.browser.waiting import wait_until_painted


@pytest.fixture(scope="module")
def page(browser, address):
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    yield open_page(context, f"{address}train", wait_until_painted)[0]
    context.close()


def boxes(page):
    return page.evaluate(
        """() => [...document.querySelectorAll(".page > *")].map((part) => {
             const { x, y, width, height } = part.getBoundingClientRect();
             return [x, y, width, height];
           })"""
    )


def set_value(page, label, value):
    box = page.get_by_label(label, exact=True)
    box.fill(value)
    box.press("Enter")


def test_the_line_changes_and_its_link_moves_the_focus(page):
    line = page.locator(".fit-words")
    expect(line).to_have_text("Fits: 21 checks")
    before = boxes(page)
    for size in ((1440, 900), (1280, 600), (390, 844)):
        page.set_viewport_size({"width": size[0], "height": size[1]})
        found = page.locator(".fit").bounding_box()
        assert found["x"] >= 0
        assert found["x"] + found["width"] <= size[0] + 1
        assert found["height"] <= 40
        assert found["y"] + found["height"] <= size[1]
    page.set_viewport_size({"width": 1440, "height": 900})

    set_value(page, "Rod length", "110")
    expect(line).to_contain_text("Does not fit: skirt meets the counterweight")
    assert boxes(page) == before
    page.locator(".fit-go").click()
    expect(page.get_by_label("Maximum counterweight", exact=True)).to_be_focused()

    page.locator(".fit-open").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".fit-list details")).to_have_count(21)
    first = page.locator(".fit-list details").first
    first.locator("summary").press("Enter")
    expect(first.locator("dl")).to_contain_text("71 − 19 − ")
    page.keyboard.press("Escape")
    expect(page.locator(".fit-dialog")).to_be_hidden()
    set_value(page, "Rod length", "148")
    expect(line).to_have_text("Fits: 21 checks")


def test_a_link_leads_to_the_page_that_has_the_control(page):
    page.locator(".fit-open").click()
    row = page.locator('.fit-list details[data-key="bolt_range"]')
    row.locator("summary").click()
    row.get_by_role("button", name="Go to Minimum bolt preload, on the page Limits").click()
    page.wait_for_url("**/limits")
    wait_until_painted(page)
    expect(page.get_by_label("Minimum bolt preload", exact=True)).to_be_focused()
