"""US customary units in a real browser: the switch, every page, exports, and no drift."""

import re

import pytest

from apps.page_registry import FRONT, PAGES, REVIEW, STORYBOARD
from tests.browser.conftest import open_page
from tests.browser.waiting import wait_until_painted

pytestmark = pytest.mark.browser

METRIC = re.compile(
    r"(?<![\w·/])(?:mm|µm|kN|N|MPa|GPa|bar|N·m|m/s|km/s²|kW|W|kg|g|kg·mm|kg·mm²|mPa·s|l/min|°C)"
    r"(?![\w·/²³%'’])"
)
# what people see but for derivations, which stay SI, and for sources and notes, which quote
VISIBLE = """() => {
  const found = [];
  const left = "pre, script, style, details, .note, .source, .references, [data-quoted], [hidden]";
  const walk = (root) => {
    for (const node of root.childNodes) {
      if (node.nodeType === Node.TEXT_NODE) found.push(node.textContent);
      if (!(node instanceof Element) || node.matches(left)) continue;
      const label = node.getAttribute("aria-label");
      if (label) found.push(label);
      if (node.shadowRoot) walk(node.shadowRoot);
      walk(node);
    }
  };
  walk(document.body);
  return found.map((one) => one.trim()).filter(Boolean);
}"""


KEPT = "(JSON.parse(sessionStorage.getItem('sixthrow-draft')) ?? { text: '' }).text"


@pytest.fixture
def us_context(browser, address):
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    context.add_cookies([{"name": "sixthrow_units", "value": "us", "url": address}])
    yield context
    context.close()


@pytest.mark.parametrize(
    "path", [page.address for page in PAGES if page not in (FRONT, STORYBOARD)]
)
def test_no_metric_unit_is_left_on_a_page(us_context, address, path):
    page, seen = open_page(us_context, f"{address}{path}", wait_until_painted)
    if path == REVIEW.address:  # without a reference it shows nothing but controls
        page.get_by_role("button", name="Show an example").click()
        page.locator("[data-attributed='true']").wait_for(timeout=60_000)
    texts = page.evaluate(VISIBLE)
    assert any(re.search(r"\b(in|lbf|psi|ksi|oz|rpm)\b", text) for text in texts)
    # what was printed, and the temperatures at which a grade's viscosity is stated
    quoted = ("Tuner's Handbook", "Viscosity at 40 °C", "Viscosity at 100 °C")
    metric = [text for text in texts if METRIC.search(text)]
    assert [text for text in metric if not any(words in text for words in quoted)] == []
    assert seen.errors == []
    page.close()


def test_the_switch_keeps_design_and_place_and_does_not_drift(browser, address):
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    page, seen = open_page(context, f"{address}train", wait_until_painted)
    stroke = page.get_by_label("Stroke", exact=True)
    stroke.fill("81.5")
    stroke.press("Enter")
    page.get_by_label("Cylinder shown in the plots").select_option("3")
    cylinder = page.get_by_label("Cylinder shown in the plots").input_value()
    page.wait_for_function(f"{KEPT}.includes('81.5')")
    before = page.evaluate(KEPT)
    for name, shown in [("US units", "3.2087"), ("SI units", "81.5")] * 3:
        page.get_by_role("button", name=name).click()
        page.wait_for_function(
            "(value) => [...document.querySelectorAll('*')].some((one) => one.shadowRoot &&"
            " Math.abs(one.shadowRoot.querySelector('#cylinder-stroke_mm')?.value - value) < 6e-4)",
            arg=float(shown),
        )
        wait_until_painted(page)
    assert page.evaluate(KEPT) == before
    assert page.get_by_label("Cylinder shown in the plots").input_value() == cylinder
    assert seen.errors == []
    context.close()


def test_a_value_typed_in_inches_is_that_many_inches(us_context, address):
    page, _ = open_page(us_context, f"{address}train", wait_until_painted)
    stroke = page.get_by_label("Stroke", exact=True)
    stroke.fill("3.25")
    stroke.press("Enter")
    page.wait_for_function(f"{KEPT}.includes('stroke_mm = 82.55')")
    bore = page.get_by_label("Bore", exact=True)
    bore.fill("39.37")
    bore.press("Enter")
    problem = page.locator(".problem:not([hidden])").first
    problem.wait_for()
    assert re.search(r"must be .* in \(got 39\.37 in\)$", problem.inner_text())
    page.close()
