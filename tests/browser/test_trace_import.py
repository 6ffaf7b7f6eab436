"""Measured pressure in the browser: a file is previewed, mended, used, undone; all by keys."""

import numpy as np
import pytest
from playwright.sync_api import expect

from assets_demo import FOLDER
from assets_demo.make_traces import LATE
from tests.browser.conftest import open_page
from tests.browser.waiting import wait_until_drawn

CYCLES = FOLDER / "twenty_cycles.csv"


@pytest.fixture(scope="module")
def train(context, address):
    """One page on the touring six for all tests of the module."""
    page, seen = open_page(context, f"{address}train", wait_until_drawn)
    page.get_by_label("Demo design").select_option("Touring six")
    page.locator(".title").filter(has_text="Touring six").wait_for()
    yield page, seen
    page.close()


def open_import(page):
    """Open the dialog by keys alone."""
    page.locator(".menu summary").focus()
    page.keyboard.press("Enter")
    button = page.get_by_role("button", name="Import measured pressure")
    button.focus()
    page.keyboard.press("Enter")
    dialog = page.get_by_role("dialog", name="Measured cylinder pressure")
    dialog.wait_for()
    return dialog


def choose(dialog, name, text):
    content = text.encode() if isinstance(text, str) else text
    dialog.locator("input[type=file]").set_input_files(
        {"name": name, "mimeType": "text/csv", "buffer": content}
    )


def pressure(page):
    return np.array(
        page.evaluate("Array.from(window.sixthrow.modelNamed('cylinder_pressure_data').data.y0)")
    )


def test_a_wrong_file_says_what_is_wrong_beside_it_and_cancel_changes_nothing(train):
    page, _ = train
    dialog = open_import(page)
    problem = dialog.locator(".problem:visible")
    choose(dialog, "bad.csv", "crank,p\n0,1\n2,<img src=x onerror=window.hit=1>\n" * 30)
    problem.filter(has_text="line 3").wait_for()
    choose(dialog, "large.csv", b"0" * 6_100_000)
    problem.filter(has_text="must be at most 6 MB").wait_for()
    choose(dialog, "bytes.csv", b"\xff\xfe0")
    problem.filter(has_text="not UTF-8").wait_for()
    assert dialog.get_by_role("button", name="Use this trace").is_disabled()
    dialog.get_by_role("button", name="Cancel").click()
    dialog.wait_for(state="hidden")
    assert page.evaluate("window.hit") is None
    assert page.locator(".traced").is_hidden()


def test_a_file_is_previewed_shifted_and_used_as_one_step(train):
    page, seen = train
    page.get_by_role("tab", name="Cylinder pressure").click()
    page.wait_for_function("window.sixthrow.modelNamed('cylinder_pressure_data')?.data.y0.length")
    before = pressure(page)
    dialog = open_import(page)
    dialog.locator("input[type=file]").set_input_files(CYCLES)
    dialog.get_by_text("20 whole cycles").wait_for()
    assert dialog.get_by_label("Column 2 is").input_value() == "1"
    assert dialog.get_by_label("Pressure unit").input_value() == "kPa"
    page.wait_for_function(
        "window.sixthrow.modelNamed('trace_course_main_lines')?.data.xs.length === 1"
    )
    tdc = dialog.get_by_label("Firing TDC at")
    dialog.get_by_role("button", name="Shift by").press("Enter")
    dialog.get_by_text("within twice its uncertainty").wait_for()
    assert abs(float(tdc.input_value()) - LATE) < 0.7
    tdc.fill("2000")
    tdc.press("Enter")
    dialog.locator(".problem:visible").filter(has_text="must be -1440 to 1440°").wait_for()
    tdc.fill(str(LATE))
    tdc.press("Enter")
    dialog.locator(".problem:visible").wait_for(state="hidden")
    use = dialog.get_by_role("button", name="Use this trace")
    expect(use).to_be_enabled()
    dialog.get_by_role("button", name="intake pressure at BDC").click()
    use.press("Enter")
    dialog.wait_for(state="hidden")
    line = page.locator(".traced")
    line.filter(has_text="twenty_cycles.csv, mean of 20 cycles of cylinder 1").wait_for()
    page.wait_for_function(
        "([old]) => window.sixthrow.modelNamed('cylinder_pressure_data').data.y0[15] !== old",
        arg=[float(before[15])],
    )
    after = pressure(page)
    assert np.abs(after - before).max() > 0.5
    assert np.abs(after - before).max() < 4  # the same engine, with scatter and noise
    page.get_by_role("button", name="Undo").click()
    line.wait_for(state="hidden")
    page.get_by_role("button", name="Redo").click()
    page.get_by_role("button", name="Back to model").click()
    line.wait_for(state="hidden")
    assert seen.errors == []


def test_each_cylinder_runs_on_its_own_column(train):
    page, seen = train
    dialog = open_import(page)
    dialog.locator("input[type=file]").set_input_files(FOLDER / "six_cylinders.csv")
    dialog.get_by_text("6 cylinders").first.wait_for()
    assert dialog.get_by_label("Angle is that of").input_value() == "engine"
    assert dialog.get_by_label("Cylinders run on").input_value() == "-1"
    table = dialog.get_by_role("group", name="Cycles of each cylinder")
    assert table.get_by_role("row").count() == 7
    dialog.get_by_role("button", name="Use this trace").click()
    dialog.wait_for(state="hidden")
    page.locator(".traced").filter(has_text="each cylinder's own measured trace").wait_for()
    page.get_by_role("button", name="Back to model").click()
    page.locator(".traced").wait_for(state="hidden")
    assert seen.errors == []


def test_a_full_load_curve_is_previewed_and_used(train):
    page, seen = train
    page.locator(".menu summary").click()
    page.get_by_role("button", name="Import full-load curve").click()
    dialog = page.get_by_role("dialog", name="Full-load curve")
    choose(dialog, "bad.csv", "rpm,torque\n1000,200\n2000,<b>\n" * 9)
    dialog.locator(".problem:visible").filter(has_text="line 3").wait_for()
    dialog.locator("input[type=file]").set_input_files(FOLDER / "full_load_curve.csv")
    dialog.get_by_text("21 points").wait_for()
    page.wait_for_function(
        "window.sixthrow.modelNamed('curve_torque_main_lines')?.data.xs.length === 1"
    )
    dialog.get_by_label("Values are").select_option("indicated")
    dialog.get_by_text("Indicated values are taken as they are").wait_for()
    dialog.get_by_role("button", name="Use this curve").press("Enter")
    dialog.wait_for(state="hidden")
    undo = page.get_by_role("button", name="Undo")
    expect(undo).to_be_enabled()
    undo.click()
    assert seen.errors == []


def test_another_page_leads_to_the_import(train):
    page, seen = train
    page.get_by_role("link", name="Limits").click()
    page.wait_for_url("**/limits")
    page.locator(".menu summary").click()
    page.get_by_role("button", name="Import measured pressure").click()
    page.get_by_role("dialog", name="Measured cylinder pressure").wait_for()
    assert "trace" not in page.url
    page.keyboard.press("Escape")
    page.locator(".title").filter(has_text="Touring six").wait_for()
    assert seen.errors == []
