"""What axe finds on the pages, in light and in dark, on a desk and on a phone: nothing.

Finding out what contrasts with what takes most of a run, and no width changes a colour: the rules
of colour are run in both themes, on the phone in dark; all others, which no theme changes, at both
widths.
"""

import pytest
from axe_playwright_python.sync_playwright import Axe

from assets_demo import FOLDER

pytestmark = pytest.mark.browser


CYCLES = FOLDER / "twenty_cycles.csv"
WIDTHS = {1440: 900, 390: 844}
SWITCH = """theme => { document.documentElement.dataset.theme = theme;
  window.sixthrow.events.dispatchEvent(new CustomEvent("theme", { detail: theme })); }"""


COLOUR_RULES = ["color-contrast", "link-in-text-block"]
WITHOUT_COLOUR = {"rules": {rule: {"enabled": False} for rule in COLOUR_RULES}}
RULES = {
    (1440, "light"): {},
    (1440, "dark"): {"runOnly": COLOUR_RULES},
    (390, "light"): WITHOUT_COLOUR,
    (390, "dark"): {"runOnly": COLOUR_RULES},
}


def violations(browser, address, *states, as_it_opens=True):
    """What axe finds on a page as it opens and in states made one after another, everywhere."""
    context = browser.new_context(viewport={"width": 1440, "height": 900}, color_scheme="light")
    page = context.new_page()
    page.goto(address)
    page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0")
    found = [("as it opens", *one) for one in everywhere(page)] if as_it_opens else []
    for prepare in states:
        page.set_viewport_size({"width": 1440, "height": 900})
        page.evaluate(SWITCH, "light")
        prepare(page)
        found += [(prepare.__name__, *one) for one in everywhere(page)]
    context.close()
    return found


def everywhere(page):
    """What axe finds on an open page in every theme at every width."""
    found = []
    for width, height in WIDTHS.items():
        page.set_viewport_size({"width": width, "height": height})
        for theme in ("light", "dark"):
            page.evaluate(SWITCH, theme)
            found += [(width, theme, *one) for one in findings(page, width, theme)]
    return found


def findings(page, width, theme):
    """What axe finds on a page as it stands, by the rules of a width and a theme."""
    options = {"resultTypes": ["violations"]} | RULES[width, theme]
    found = Axe().run(page, options=options).response["violations"]
    return [(one["id"], one["nodes"][0]["html"][:120]) for one in found]


def test_the_theme_is_the_systems_unless_chosen(browser, address):
    for theme in ("light", "dark"):
        context = browser.new_context(color_scheme=theme)
        page = context.new_page()
        page.goto(address)
        page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0")
        assert page.evaluate("document.documentElement.dataset.theme") == theme
        context.close()


def show_import(page):
    """Open the import of measured pressure and give it a file."""
    page.locator(".menu summary").click()
    page.get_by_role("button", name="Import measured pressure").click()
    page.locator("dialog.trace-import input[type=file]").set_input_files(CYCLES)
    page.locator("dialog.trace-import").get_by_text("whole cycles").wait_for()


def show_solids(page):
    """Show the train in space, with the colours' legend."""
    page.keyboard.press("d")
    page.wait_for_function("window.sixthrow.solid?.frames > 0")
    page.keyboard.press("u")
    page.locator(".solid-key").wait_for()


def test_axe_finds_nothing(browser, address):
    assert violations(browser, f"{address}train", show_solids, show_import) == []


def test_axe_finds_nothing_on_the_page_to_start_from(browser, address):
    assert violations(browser, address, show_help) == []


def show_help(page):
    """Open the help with all its terms."""
    page.get_by_role("button", name="Help").click()
    page.get_by_text("All terms").click()
    page.locator("dialog.help dl").nth(1).wait_for()


def show_all(page):
    """Pin, change, group the ladder by part and open every group of controls."""
    page.get_by_role("button", name="Ladder", exact=True).click()
    page.get_by_role("button", name="Set reference").click()
    page.get_by_role("button", name="Replace reference").wait_for()
    page.get_by_label("Stroke", exact=True).fill("80")
    page.get_by_label("Stroke", exact=True).press("Enter")
    page.locator("text.change").first.wait_for()
    page.get_by_role("button", name="By part").click()
    for summary in page.locator("details:not([open]) summary:visible").all()[::-1]:
        summary.click()


def show_table(page):
    page.get_by_role("button", name="Table", exact=True).click()
    page.locator("tbody tr").first.wait_for()


def test_axe_finds_nothing_on_the_limits_page(browser, address):
    assert violations(browser, f"{address}limits", show_table, show_all) == []


def make_map(page):
    """Pin, change, and make the map over speed and load."""
    page.get_by_role("button", name="Set reference").click()
    page.get_by_role("button", name="Replace reference").wait_for()
    page.locator("#tab-survey").click()
    page.locator("[data-survey=make]").click()
    page.locator("[data-survey=make][disabled]").filter(has_text="Compute map").wait_for()


def show_shape(page):
    page.locator("#tab-shape").click()
    for summary in page.locator("details:not([open]) summary:visible").all()[::-1]:
        summary.click()


def test_axe_finds_nothing_on_the_bearings_page(browser, address):
    assert violations(browser, f"{address}bearings", show_shape, make_map) == []


def show_front(page):
    """Pin, change, and find the trade-off."""
    page.get_by_role("button", name="Set reference").click()
    page.get_by_role("button", name="Replace reference").wait_for()
    page.locator("#tab-front").click()
    page.locator("[data-find]").click()
    page.locator("[data-use]").wait_for()


def show_tab(key):
    def prepare(page):
        page.locator(f"#tab-{key}").click()
        page.locator(f"#pane-{key} tbody tr").first.wait_for()

    prepare.__name__ = f"show_{key}"
    return prepare


def test_axe_finds_nothing_on_the_shaft_s_page(browser, address):
    tabs = map(show_tab, ("weights", "costs", "layouts"))
    assert violations(browser, f"{address}shaft", *tabs, show_front) == []
