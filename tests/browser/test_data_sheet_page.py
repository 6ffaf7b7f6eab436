"""The data sheet in the browser: typed, pasted, refused, filtered; a paste is one step."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import open_page
from tests.browser.test_accessibility import violations
from tests.browser.waiting import wait_until_painted

BORE = '[data-key="cylinder.bore_mm"]'


@pytest.fixture(scope="module")
def sheet(context, address):
    """One page for all tests of this module, which undo what they change."""
    page, seen = open_page(context, f"{address}data-sheet", wait_until_painted)
    yield page
    assert not seen.errors
    assert not seen.elsewhere
    page.close()


def value(page, key):
    return page.locator(f'[data-key="{key}"] [data-column="value"]')


def paste(box, text):
    box.evaluate(
        """(box, text) => {
          const clipboardData = new DataTransfer();
          clipboardData.setData("text/plain", text);
          const event = { clipboardData, bubbles: true, composed: true, cancelable: true };
          box.dispatchEvent(new ClipboardEvent("paste", event));
        }""",
        text,
    )


def undo(page):
    page.get_by_role("button", name="Undo").click()


def test_enter_takes_a_decimal_comma_and_goes_down(sheet):
    bore = value(sheet, "cylinder.bore_mm")
    bore.fill("88,5")
    bore.press("Enter")
    expect(bore).to_have_value("88.5")
    expect(value(sheet, "cylinder.stroke_mm")).to_be_focused()
    expect(sheet.locator(f'{BORE} [data-column="origin"]')).to_have_value("")
    undo(sheet)
    expect(bore).to_have_value("88")
    expect(sheet.locator(f'{BORE} [data-column="origin"]')).to_have_value("drawing")


def test_what_is_refused_stays_with_its_reason_until_escape(sheet):
    bore = value(sheet, "cylinder.bore_mm")
    problem = sheet.locator("#cylinder-bore_mm-problem")
    for typed, words in (("9999", "must be 20 to 600 mm"), ("1,234", "must be written 1.234")):
        bore.fill(typed)
        bore.press("ArrowDown")
        expect(problem).to_contain_text(words)
        expect(bore).to_have_value(typed)
    bore.press("Escape")
    expect(bore).to_have_value("88")
    expect(problem).to_be_hidden()
    expect(sheet.get_by_role("button", name="Undo")).to_be_disabled()


def test_a_pasted_block_is_one_step_and_lists_what_is_refused(sheet):
    paste(value(sheet, "cylinder.bore_mm"), "89\tassumed\tnew block\n9999\n150\n")
    expect(value(sheet, "cylinder.rod_length_mm")).to_have_value("150")
    expect(value(sheet, "cylinder.bore_mm")).to_have_value("89")
    expect(sheet.locator(f'{BORE} [data-column="note"]')).to_have_value("new block")
    expect(sheet.locator("#cylinder-stroke_mm-problem")).to_contain_text("must be 20 to 900 mm")
    expect(sheet.get_by_text("4 of 5 cells taken; 1 refused, see their rows")).to_be_visible()
    undo(sheet)
    expect(value(sheet, "cylinder.bore_mm")).to_have_value("88")
    expect(value(sheet, "cylinder.rod_length_mm")).to_have_value("148")
    expect(sheet.get_by_role("button", name="Undo")).to_be_disabled()
    stroke = value(sheet, "cylinder.stroke_mm")
    stroke.press("Escape")
    expect(stroke).to_have_value("78")


def test_filter_and_search(sheet):
    rows = sheet.locator("tr[data-key]:visible")
    everything = rows.count()
    assert everything > 180
    sheet.get_by_label("Show", exact=True).select_option("default")
    expect(value(sheet, "rod_material.notch_factor")).to_be_visible()
    expect(value(sheet, "cylinder.bore_mm")).to_be_hidden()
    sheet.get_by_label("Search entries").fill("notch")
    expect(rows).to_have_count(1)
    sheet.get_by_label("Search entries").fill("")
    sheet.get_by_label("Show", exact=True).select_option("")
    expect(rows).to_have_count(everything)


def test_a_renamed_design_is_saved_under_its_name(sheet):
    name = value(sheet, "name")
    name.fill("<b>Long</b> rod")
    name.press("Enter")
    expect(sheet.get_by_text("saved as b-long-b-rod.toml")).to_be_visible()
    sheet.get_by_text("File", exact=True).click()
    with sheet.expect_download() as download:
        sheet.get_by_role("button", name="Save design").click()
    assert download.value.suggested_filename == "b-long-b-rod.toml"
    undo(sheet)
    expect(name).to_have_value("Hill-climb six")


def test_a_part_is_removed_and_comes_back(sheet):
    part = sheet.locator("[data-part='top_ring']")
    part.get_by_role("button", name="Remove").click()
    expect(part.get_by_role("button", name="Add")).to_be_visible()
    expect(value(sheet, "top_ring.axial_height_mm")).to_have_count(0)
    undo(sheet)
    expect(value(sheet, "top_ring.axial_height_mm")).to_be_visible()


def test_a_check_of_fit_leads_to_the_row_of_its_field(sheet):
    sheet.get_by_label("Search entries").fill("bore")
    sheet.locator(".fit-open").click()
    check = sheet.locator("details[data-key='case']")
    check.locator("summary").click()
    check.get_by_role("button", name="Go to").click()
    expect(value(sheet, "crank.case_radius_mm")).to_be_focused()
    expect(sheet.get_by_label("Search entries")).to_have_value("")


def test_a_new_design_is_asked_for_and_opens_here(sheet):
    sheet.get_by_text("File", exact=True).click()
    sheet.locator(".menu").get_by_role("button", name="New design").click()
    sheet.locator("#new-bore_mm").fill("9")
    create = sheet.get_by_role("button", name="Create design")
    create.click()
    expect(sheet.get_by_text("must be 50 to 250 mm (got 9 mm)")).to_be_visible()
    sheet.locator("#new-bore_mm").fill("90,5")
    create.click()
    expect(create).to_be_hidden()
    expect(value(sheet, "cylinder.bore_mm")).to_have_value("90.5")
    pin = sheet.locator('[data-key="piston_pin.outer_diameter_mm"] [data-column="origin"]')
    expect(pin).to_have_value("rule of thumb")
    undo(sheet)
    expect(value(sheet, "cylinder.bore_mm")).to_have_value("88")


def test_a_new_design_is_asked_for_from_another_page(context, address):
    page, seen = open_page(context, f"{address}rev-limit", wait_until_painted)
    page.get_by_text("File", exact=True).click()
    page.locator(".menu").get_by_role("button", name="New design").click()
    page.wait_for_url("**/data-sheet*")
    expect(page.get_by_role("button", name="Create design")).to_be_visible()
    assert not seen.errors
    page.close()


def new_design(page):
    page.get_by_role("button", name="New design").first.click()


def test_axe_finds_nothing(browser, address):
    assert violations(browser, f"{address}data-sheet", new_design) == []
