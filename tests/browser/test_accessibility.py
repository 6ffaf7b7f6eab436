"""What axe finds on the pages, in light and in dark: nothing."""

import pytest
from axe_playwright_python.sync_playwright import Axe

pytestmark = pytest.mark.browser


WIDTHS = {1440: 900, 390: 844}


def violations(browser, address, theme, width, prepare=None):
    context = browser.new_context(
        viewport={"width": width, "height": WIDTHS[width]}, color_scheme=theme
    )
    page = context.new_page()
    page.goto(address)
    page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0", timeout=30_000)
    assert page.evaluate("document.documentElement.dataset.theme") == theme
    if prepare:
        prepare(page)
    found = Axe().run(page).response["violations"]
    context.close()
    return [(one["id"], one["nodes"][0]["html"][:120]) for one in found]


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", list(WIDTHS))
def test_axe_finds_nothing(browser, address, theme, width):
    assert violations(browser, address, theme, width) == []


def show_all(page):
    """Pin, change, group by part and open every group of controls."""
    page.get_by_role("button", name="Pin as reference").click()
    page.get_by_role("button", name="Pin anew").wait_for()
    page.get_by_label("Stroke", exact=True).fill("80")
    page.get_by_label("Stroke", exact=True).press("Enter")
    page.locator("text.change").first.wait_for()
    page.get_by_role("button", name="By part").click()
    for summary in page.locator("details:not([open]) summary").all()[::-1]:
        summary.click()


def show_table(page):
    page.get_by_role("button", name="Table", exact=True).click()
    page.locator("tbody tr").first.wait_for()


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", list(WIDTHS))
@pytest.mark.parametrize("prepare", [None, show_all, show_table])
def test_axe_finds_nothing_on_the_limits_page(browser, address, theme, width, prepare):
    assert violations(browser, f"{address}limits", theme, width, prepare) == []


def make_map(page):
    """Pin, change, and make the map over speed and load."""
    page.get_by_role("button", name="Pin as reference").click()
    page.get_by_role("button", name="Pin anew").wait_for()
    page.locator("#tab-survey").click()
    page.locator("[data-survey=make]").click()
    page.locator("[data-survey=make][disabled]").filter(has_text="Make the map").wait_for()


def show_shape(page):
    page.locator("#tab-shape").click()
    for summary in page.locator("details:not([open]) summary").all()[::-1]:
        summary.click()


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", list(WIDTHS))
@pytest.mark.parametrize("prepare", [None, make_map, show_shape])
def test_axe_finds_nothing_on_the_bearings_page(browser, address, theme, width, prepare):
    assert violations(browser, f"{address}bearings", theme, width, prepare) == []
