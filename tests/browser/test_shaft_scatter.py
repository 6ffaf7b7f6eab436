"""The tolerance study and the bob weights in a real browser: typed, refused, drawn and told."""

import csv
import re

import pytest

from apps.pages.design_page import first_design
from apps.pages.scatter import first_fields, settings_of
from assets_demo import demo_paths
from kinematics import load_design
from kinematics.balancing.bob_weights import pin_bob_weights
from tests.browser.conftest import open_page
from tests.browser.test_accessibility import violations
from tests.browser.test_units import METRIC, VISIBLE
from tests.browser.waiting import wait_until_painted

pytestmark = pytest.mark.browser

DATA = "name => window.sixthrow.modelNamed(name)?.data"
POINTS = "scatter_front_within_points"
V6 = "V6 60 six throws"


@pytest.fixture
def scatter(context, address):
    page, seen = open_page(context, f"{address}shaft", wait_until_painted)
    open_scatter(page)
    yield page, seen
    page.close()


@pytest.fixture(scope="module")
def scatter_once(context, address):
    """One page for all tests that leave it as they found it."""
    page, seen = open_page(context, f"{address}shaft", wait_until_painted)
    open_scatter(page)
    yield page, seen
    page.close()


def open_scatter(page):
    page.locator("#tab-scatter").click()
    page.locator("#pane-scatter tbody tr").first.wait_for()
    page.wait_for_function(f"name => ({DATA})(name).x.length > 0", arg=POINTS)


def verdict(page):
    return plain(page.locator(".scatter > .verdict").inner_text())


def plain(text):
    return re.sub(r"[\u2009\u202f]", "", text)


def points(page):
    return page.evaluate(f"name => Array.from(({DATA})(name).x)", POINTS)


def put(page, label, value):
    """Type a value; what is typed is asked for after a pause, without Enter."""
    page.get_by_label(label, exact=True).fill(str(value))


def wait_for_other_points(page, before):
    page.wait_for_function(f"([name, x]) => ({DATA})(name).x[0] !== x", arg=[POINTS, before[0]])


def test_it_shows_what_the_core_says(scatter_once):
    page, seen = scatter_once
    study = settings_of(first_fields()).study(first_design().design)
    share = float(re.match(r"([\d.]+) % of shafts need drilling", verdict(page))[1])
    assert share == pytest.approx(100 * study.to_drill, abs=0.51)
    found = points(page)
    shown = 1e6 * study.scatter.residual.samples[:2000, 0].imag
    assert min(abs(shown - found[0])) < 1e-3
    beyond = page.evaluate(f"name => ({DATA})(name).x.length", "scatter_front_beyond_points")
    assert len(found) + beyond == 2000
    assert page.get_by_text("initial values are examples").count() == 1
    assert seen.errors == []
    assert seen.elsewhere == []


def test_the_circles_are_round(scatter_once):
    page, _ = scatter_once
    page.wait_for_function("""() => {
      const figure = window.sixthrow.modelNamed("scatter_front_figure");
      if (!figure || figure.properties.inner_width.is_unset) return false;
      const { x_range, y_range, inner_width, inner_height } = figure;
      const scale = inner_width / (x_range.end - x_range.start);
      return Math.abs(scale * (y_range.end - y_range.start) / inner_height - 1) < 0.02;
    }""")


def test_what_is_typed_changes_the_study(scatter):
    page, seen = scatter
    before, words = points(page), verdict(page)
    put(page, "Counterweight", 120)
    wait_for_other_points(page, before)
    assert verdict(page) != words
    again = points(page)
    page.get_by_label("Throw: distribution").select_option("uniform")
    wait_for_other_points(page, again)
    words = verdict(page)
    page.get_by_label("Grade", exact=True).and_(page.locator(".scatter select")).select_option(
        "G40"
    )
    page.locator(".scatter > .verdict").filter(has_text="beyond G40").wait_for()
    assert verdict(page) != words
    assert page.get_by_role("button", name="Undo").is_disabled()
    assert seen.errors == []


@pytest.mark.parametrize(
    ("label", "value", "words"),
    [("Throw angle", "-3", "Throw angle: must be 0 to 5° (got -3°)"),
     ("Counterweight", "", "Counterweight: must be 0 to 100000 g·mm (got nothing)"),
     ("Piston, pin, rings", "1e300", "Piston, pin, rings: must be 0 to 1000 g (got 1e+300 g)"),
     ("Sample size", "7", "Sample size: must be 100 to 100000 (got 7)")],
)  # fmt: skip
def test_a_refused_value_keeps_the_picture(scatter_once, label, value, words):
    page, seen = scatter_once
    before, told = points(page), verdict(page)
    put(page, label, value)
    page.locator(".scatter .bad[role=alert]").filter(has_text=words).wait_for()
    assert points(page) == before
    assert verdict(page) == told
    put(page, label, page.get_by_label(label, exact=True).evaluate("box => box.defaultValue"))
    page.locator(".scatter .bad[role=alert]").wait_for(state="hidden")
    assert seen.errors == []


@pytest.mark.parametrize(
    "value", ["NaN", "Infinity", "'x'", "1e308", "[1]", "{}", "null", "true", "'9'.repeat(9999)"]
)
def test_what_no_form_sends_is_refused(scatter_once, value):
    """Straight over the component's model, past the form's own boxes."""
    page, seen = scatter_once
    before = points(page)
    page.evaluate(
        f"""() => {{
          const sent = () => ({value});
          const find = (root) => {{
            for (const node of root.querySelectorAll("*")) {{
              if (node.id === "throw_moment") return node;
              const found = node.shadowRoot && find(node.shadowRoot);
              if (found) return found;
            }}
            return null;
          }};
          const box = find(document);
          box.value = "777";
          const plain = window.Number;
          window.Number = (x) => (x === "777.0" ? sent() : plain(x));
          Object.setPrototypeOf(window.Number, plain);
          window.Number.isFinite = () => true;
          box.dispatchEvent(new Event("change"));
          window.Number = plain;
        }}"""
    )
    refused = page.locator(".scatter .bad[role=alert]")
    refused.filter(has_text="Throw: must be").wait_for()
    assert points(page) == before
    throw = page.get_by_label("Throw", exact=True)
    throw.fill(throw.evaluate("box => box.defaultValue"))
    refused.wait_for(state="hidden")
    assert seen.errors == []


def test_a_change_of_the_design_makes_it_anew(scatter):
    page, seen = scatter
    before = points(page)
    page.get_by_label("Demo design").select_option(V6)
    page.locator(".scatter p").filter(has_text="balanced with bob weights").wait_for()
    wait_for_other_points(page, before)
    page.get_by_label("Bob weights", exact=True).select_option("off")
    page.locator(".scatter p").filter(has_text="a systematic error, not scatter").wait_for()
    assert verdict(page).startswith("Every shaft needs drilling")
    assert seen.errors == []


def test_many_shafts_say_that_they_are_drawn(scatter):
    page, seen = scatter
    before = points(page)
    put(page, "Sample size", 100000)
    put(page, "Seed", 9)
    wait_for_other_points(page, before)
    page.locator(".scatter[aria-busy=false]").wait_for()
    assert seen.errors == []


def test_figures_have_tables_and_the_tables_a_file(scatter_once):
    page, _ = scatter_once
    for plot, words in (("scatter_front", "within"), ("scatter_shares", "counterweights")):
        page.locator(f"figure[data-plot={plot}] .as-table").click()
        dialog = page.locator("dialog.figure-table[open]")
        with page.expect_download() as saved:
            dialog.get_by_role("button", name="Save as CSV").click()
        with open(saved.value.path(), encoding="utf-8") as stream:
            rows = list(csv.reader(stream))
        assert any(words in row[0] for row in rows)
        with page.expect_download() as saved:
            dialog.get_by_role("button", name="Save as SVG").click()
        assert saved.value.suggested_filename.endswith(".svg")
        page.keyboard.press("Escape")
    with page.expect_download() as saved:
        page.locator("#pane-scatter").get_by_role("button", name="Save as CSV").click()
    assert saved.value.suggested_filename == "hill-climb-six-scatter.csv"


def test_us_units_are_shown_and_taken(browser, address):
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    context.add_cookies([{"name": "sixthrow_units", "value": "us", "url": address}])
    page, seen = open_page(context, f"{address}shaft", wait_until_painted)
    page.get_by_label("Demo design").select_option(V6)
    open_scatter(page)
    assert "oz·in" in verdict(page)
    before = points(page)
    put(page, "Throw", 0.2)
    wait_for_other_points(page, before)
    put(page, "Throw", 500)
    page.locator(".scatter .bad[role=alert]").filter(has_text="(got 500 oz·in)").wait_for()
    page.locator("#tab-balancing").click()
    page.locator(".bob tbody tr").first.wait_for()
    assert "oz" in page.locator(".bob tr.strong").inner_text()
    texts = page.evaluate(VISIBLE)
    assert [text for text in texts if METRIC.search(text) and "G16" not in text] == []
    assert seen.errors == []
    context.close()


def test_a_v_engines_bob_weights_stand_by_the_machine(context, address):
    page, seen = open_page(context, f"{address}shaft", wait_until_painted)
    page.locator("#tab-balancing").click()
    page.locator(".bob").filter(has_text="No bob weights").wait_for()
    assert page.locator(".bob tbody tr").count() == 0
    page.get_by_label("Demo design").select_option(V6)
    page.locator(".bob tr.strong").wait_for()
    design = load_design(demo_paths()[V6])

    def wait_for(share, oil):
        grams = f"{1e3 * pin_bob_weights(design, share, oil)[0].mass:.1f} g"
        page.locator(".bob tr.strong").filter(has_text=grams).wait_for()

    wait_for(0.5, 0.0)
    page.get_by_label("Balance factor", exact=True).fill("45")
    wait_for(0.45, 0.0)
    page.get_by_label("Oil per pin", exact=True).fill("4")
    wait_for(0.45, 0.004)
    page.get_by_label("Oil per pin", exact=True).fill("-4")
    page.locator(".bob .bad[role=alert]").filter(has_text="(got -4 g)").wait_for()
    wait_for(0.45, 0.004)
    assert seen.errors == []
    page.close()


def test_a_phone_has_no_sideways_scroll(browser, address):
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page, seen = open_page(context, f"{address}shaft", wait_until_painted)
    open_scatter(page)
    page.wait_for_function("document.documentElement.scrollWidth <= 390")
    assert seen.errors == []
    context.close()


def show_scatter(page):
    open_scatter(page)
    page.locator("#pane-scatter details:not([open]) summary").click()


def show_refused(page):
    open_scatter(page)
    put(page, "Throw", -1)
    page.locator(".scatter .bad[role=alert]").filter(has_text="(got -1").wait_for()


def show_bob_weights(page):
    page.get_by_label("Demo design").select_option(V6)
    page.locator("#tab-balancing").click()
    page.locator(".bob tbody tr").first.wait_for()


def test_axe_finds_nothing(browser, address):
    """As the page opens it is looked at with the page's other tabs."""
    states = (show_scatter, show_refused, show_bob_weights)
    assert violations(browser, f"{address}shaft", *states, as_it_opens=False) == []
