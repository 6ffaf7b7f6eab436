"""What a person types into any box is read rightly or refused beside it, and keys step it."""

import numpy as np
import pytest

from apps.page_registry import PAGES
from tests.browser.conftest import open_page
from tests.browser.test_bad_input import rod_force
from tests.browser.test_shaft_scatter import (
    DATA,
    POINTS,
    open_scatter,
    points,
    wait_for_other_points,
)
from tests.browser.test_units import KEPT
from tests.browser.waiting import wait_until_painted

pytestmark = pytest.mark.browser


def box(page, label):
    return page.get_by_label(label, exact=True)


def put(page, label, text):
    box(page, label).fill(text)
    box(page, label).press("Enter")


def test_a_comma_or_a_point_is_the_decimal_mark(opened):
    page, seen = opened
    for typed, kept in [
        ("81,5", "81.5"), ("81.5", "81.5"), (" 8,15e1 ", "81.5"), ("0,0815e3", "81.5"),
        ("81,", "81.0"), ("+81,25", "81.25"),
    ]:  # fmt: skip
        for text, wanted in (("80", "80.0"), (typed, kept)):
            put(page, "Stroke", text)
            page.wait_for_function(f"{KEPT}.includes('stroke_mm = {wanted}')")
            assert page.locator(".problem:visible").count() == 0, typed
    assert seen.errors == []


@pytest.mark.parametrize(
    ("label", "typed", "words"),
    [("Stroke", "81,500", 'must be written 81.500 or 81500 (got "81,500")'),
     ("Stroke", "8.1.5", 'must be a number such as 1234.5 (got "8.1.5")'),
     ("Stroke", "eighty", 'must be a number such as 1234.5 (got "eighty")'),
     ("Bore", "86 mm", 'must be a number such as 1234.5 (got "86 mm")'),
     ("Speed", "8,500", 'must be written 8.500 or 8500 (got "8,500")'),
     ("Speed", "1e999", 'must be a finite number (got "1e999")')],
)  # fmt: skip
def test_what_cannot_be_read_is_refused_beside_its_box(opened_once, label, typed, words):
    page, seen = opened_once
    before, kept = rod_force(page), page.evaluate(KEPT)
    put(page, label, typed)
    control = page.locator(".control").filter(has=box(page, label))
    assert control.locator(".problem:visible").inner_text() == words
    assert box(page, label).get_attribute("aria-invalid") == "true"
    assert box(page, label).input_value() == typed
    assert np.array_equal(rod_force(page), before)
    assert page.evaluate(KEPT) == kept
    box(page, label).press("Escape")
    assert control.locator(".problem:visible").count() == 0
    assert box(page, label).get_attribute("aria-invalid") is None
    assert box(page, label).input_value() != typed
    assert seen.errors == []


def test_a_value_refused_twice_is_told_of_twice(opened):
    page, _ = opened
    problem = page.locator(".control").filter(has=box(page, "Stroke")).locator(".problem:visible")
    for _ in range(2):
        put(page, "Stroke", "99999")
        problem.filter(has_text="99999").wait_for()
        put(page, "Stroke", "x")
        problem.filter(has_text='got "x"').wait_for()


def test_keys_step_a_box(opened):
    page, _ = opened
    stroke = box(page, "Stroke")
    step = float(page.get_by_label("Stroke, slider", exact=True).get_attribute("step"))
    start = float(stroke.input_value())
    for key, steps in [
        ("ArrowUp", 1), ("ArrowDown", 0), ("Shift+ArrowUp", 10), ("Shift+ArrowDown", 0),
        ("PageUp", 10), ("PageDown", 0), ("ArrowDown", -1),
    ]:  # fmt: skip
        stroke.press(key)
        wanted = start + steps * step
        assert float(stroke.input_value()) == pytest.approx(wanted, abs=1e-9)
        assert float(stroke.get_attribute("aria-valuenow")) == pytest.approx(wanted, abs=1e-9)
        page.wait_for_function(
            f"Math.abs(+/stroke_mm = ([\\d.]+)/.exec({KEPT})[1] - {wanted}) < 1e-6"
        )


def test_every_box_for_a_number_takes_decimals_by_keyboard(context, address):
    """No native number box is left: those swallow a comma and follow the browser's language."""
    find = """() => {
      const found = [];
      const walk = (root) => {
        for (const node of root.querySelectorAll("*")) {
          if (node.matches("input.number, input[type=number]")) {
            found.push(`${node.type} ${node.inputMode} ${node.getAttribute("role")}`);
          }
          if (node.shadowRoot) walk(node.shadowRoot);
        }
      };
      walk(document);
      return found;
    }"""
    counts = {}
    for path in (page.address for page in PAGES):
        page, _ = open_page(context, f"{address}{path}", wait_until_painted)
        found = page.evaluate(find)
        assert set(found) <= {"text decimal spinbutton"}
        counts[path] = len(found)
        page.close()
    assert min(counts[one] for one in ("train", "bearings", "shaft", "limits", "compare")) >= 2


@pytest.fixture
def shaft(context, address):
    page, seen = open_page(context, f"{address}shaft", wait_until_painted)
    yield page, seen
    page.close()


def test_the_balancing_form_reads_commas_and_keeps_its_plan(shaft):
    page, seen = shaft
    page.locator("#tab-balancing").click()
    put(page, "front", "420,5")
    page.get_by_role("button", name="Plan the holes").click()
    card = page.locator(".balancing .verdict")
    card.wait_for()
    plane = page.locator(".balancing .plane").first
    assert "421 g·mm" in plane.locator("svg").get_attribute("aria-label")
    shown = card.inner_text()
    for typed, words in [
        ("1,234", 'must be written 1.234 or 1234 (got "1,234")'),
        ("4 2", "such as"),
    ]:
        put(page, "front", typed)
        page.get_by_role("button", name="Plan the holes").click()
        page.locator("#front_amount-problem").filter(has_text=words).wait_for()
        assert card.inner_text() == shown
    put(page, "front", "-1")
    page.get_by_role("button", name="Plan the holes").click()
    page.locator(".balancing .bad[role=alert]").filter(
        has_text="Front amount: must be 0 to 1000000 g·mm (got -1 g·mm). The last result stays"
    ).wait_for()
    assert card.inner_text() == shown
    assert page.locator("#front_amount-problem").is_hidden()
    assert seen.errors == []


def test_the_tolerance_form_reads_commas_and_says_what_it_cannot_read(shaft):
    page, seen = shaft
    open_scatter(page)
    put(page, "Sample size", "1,000")
    page.locator("#samples-problem").filter(has_text="1.000 or 1000").wait_for()
    before = points(page)
    assert len(before) > 1000
    put(page, "Sample size", "1 000")
    page.wait_for_function(f"name => ({DATA})(name).x.length <= 1000", arg=POINTS)
    assert page.locator("#samples-problem").is_hidden()
    before = points(page)
    put(page, "Throw angle", "0,25")
    wait_for_other_points(page, before)
    commas = points(page)
    put(page, "Throw angle", "0.5")
    wait_for_other_points(page, commas)
    other = points(page)
    put(page, "Throw angle", "0.25")
    wait_for_other_points(page, other)
    assert points(page) == commas
    assert page.locator(".scatter .bad:visible").count() == 0
    assert seen.errors == []


def test_compared_speeds_and_the_filter_read_commas(context, address):
    page, seen = open_page(context, f"{address}compare", wait_until_painted)
    page.get_by_role("combobox", name="Design A").select_option("Touring six")
    page.locator("tr[data-key='big_end_load']").wait_for()

    def wait_for_speed(words):
        page.locator("caption").filter(has_text=f"Results, both at {words} rpm").wait_for()

    speed = box(page, "Speed of both, rpm")
    put(page, "Speed of both, rpm", "4\u2009200,0")
    wait_for_speed("4\u2009200")
    put(page, "Speed of both, rpm", "4,000")
    page.locator(".speeds .problem").filter(has_text="4.000 or 4000").wait_for()
    wait_for_speed("4\u2009200")
    speed.fill("4000")
    speed.press("ArrowUp")
    wait_for_speed("4\u2009050")
    page.get_by_label("Only what differs by more than").check()
    least, count = box(page, "Minimum change shown, %"), page.locator(".filter .count")
    least.fill("2.5")
    wanted = count.inner_text()
    least.fill("25")
    assert count.inner_text() != wanted
    least.fill("2,5")
    assert count.inner_text() == wanted
    least.fill("2,5x")
    assert count.inner_text() == wanted
    assert "got" in page.locator(".filter .problem").inner_text()
    assert seen.errors == []
    page.close()
