"""The shaft's page in a real browser: it draws, weighs, balances, and keeps the last good shaft."""

import json
import re

import numpy as np
import pytest
from playwright.sync_api import expect

from assets_demo import demo_paths
from kinematics import load_design, solve_cycle, with_value
from kinematics.shaft.counterweight_schemes import scheme_counterweights
from kinematics.shaft.shaft_geometry import shaft_geometry
from tests.browser.conftest import open_page
from tests.browser.waiting import wait_until_painted

pytestmark = pytest.mark.browser

PIXELS = """canvas => {
  const { width, height } = canvas;
  const data = canvas.getContext("2d").getImageData(0, 0, width, height).data;
  let sum = 0, filled = 0;
  for (let i = 3; i < data.length; i += 4) {
    if (!data[i]) continue;
    filled += 1;
    sum = (sum * 31 + data[i - 3] + i) % 1e9;
  }
  return [filled / (width * height), sum];
}"""
CHART = "name => window.sixthrow.modelNamed(name)?.data"


@pytest.fixture
def shaft(context, address):
    page, seen = open_page(context, f"{address}shaft", wait_until_painted)
    page.locator("[data-tile=mass] .value").wait_for()
    yield page, seen
    page.close()


@pytest.fixture(scope="module")
def shaft_once(context, address):
    """One page for all tests that leave it as they found it."""
    page, seen = open_page(context, f"{address}shaft", wait_until_painted)
    page.locator("[data-tile=mass] .value").wait_for()
    yield page, seen
    page.close()


def first_demo():
    return load_design(next(iter(demo_paths().values())))


def kilograms(design):
    """Return a shaft's mass as its tile says it, with four digits."""
    return float(f"{shaft_geometry(design).mass:.4g}")


def main_peak(design):
    """Return the largest load of a main at rated speed [kN]."""
    load = solve_cycle(design, design.layout.rated_speed * 30 / np.pi).bearings.main_load("block")
    return np.linalg.norm(load, axis=1).max() / 1e3


def wait_for_mass(page, mass):
    page.wait_for_function(
        """mass => [...document.querySelectorAll("*")].some((one) => {
          const value = one.shadowRoot?.querySelector("[data-tile=mass] .value")?.firstChild;
          return value && Number(value.textContent.replace(/[^0-9.]/g, "")) === mass;
        })""",
        arg=mass,
    )


def set_box(page, label, value):
    page.get_by_label(label, exact=True).fill(str(value))
    page.get_by_label(label, exact=True).press("Enter")


def open_tab(page, key):
    page.locator(f"#tab-{key}").click()
    page.locator(f"#pane-{key}").wait_for()


def picture(page):
    return page.locator("canvas[aria-label^='The shaft']").evaluate(PIXELS)


def test_it_draws_without_another_host_or_an_error(shaft_once):
    page, seen = shaft_once
    assert page.title() == "sixthrow · shaft"
    wait_for_mass(page, kilograms(first_demo()))
    assert picture(page)[0] > 0.1
    assert seen.elsewhere == []
    assert seen.errors == []
    size = "[document.documentElement.scrollWidth, document.documentElement.scrollHeight]"
    assert page.evaluate(size) == [1440, 900]


def test_every_demo_is_weighed(shaft_once):
    page, seen = shaft_once
    for name, path in reversed(demo_paths().items()):
        page.get_by_label("Demo design").select_option(name)
        wait_for_mass(page, kilograms(load_design(path)))
    assert seen.errors == []


def test_a_change_weighs_what_the_core_says(shaft):
    page, _ = shaft
    before = picture(page)
    set_box(page, "Crankpin bore", 20)
    wait_for_mass(page, kilograms(with_value(first_demo(), "crank_throw.pin_bore_mm", 20)))
    assert picture(page) != before


def test_a_bad_value_keeps_the_picture(shaft):
    page, seen = shaft
    page.get_by_label("Selected part").select_option("web 1")
    before = page.locator(".body-numbers").inner_text()
    set_box(page, "Web thickness", 60)
    page.get_by_text(re.compile("less than")).first.wait_for()
    wait_for_mass(page, kilograms(first_demo()))
    assert page.locator(".body-numbers").inner_text() == before
    assert picture(page)[0] > 0.1
    assert seen.errors == []


def test_keys_pick_bodies_and_turn_the_shaft(shaft):
    page, _ = shaft
    canvas, told = page.locator("canvas[aria-label^='The shaft']"), page.locator(".body-numbers")
    canvas.focus()
    page.keyboard.press("Home")
    assert page.get_by_label("Selected part").input_value() == "nose"
    page.keyboard.press("ArrowDown")
    assert page.get_by_label("Selected part").input_value() == "main 1"
    body = next(one for one in shaft_geometry(first_demo()).bodies if one.name == "main 1")
    words = re.sub(r"[\u2009\u202f]", "", told.inner_text())
    assert float(re.search(r"Mass ([\d.]+)", words)[1]) == pytest.approx(1e3 * body.mass, rel=5e-3)
    before = picture(page)
    page.keyboard.press("ArrowRight")
    assert picture(page) != before
    page.keyboard.press("ArrowLeft")
    assert "turned by 0°" in canvas.get_attribute("aria-label")


def test_a_click_picks_a_body(shaft_once):
    page, _ = shaft_once
    box = page.locator("canvas[aria-label^='The shaft']").bounding_box()
    shown = page.get_by_label("Selected part")
    for share in (0.2, 0.5):
        page.mouse.click(box["x"] + share * box["width"], box["y"] + 0.25 * box["height"])
        assert shown.input_value() != ""


def test_dragging_turns_the_shaft_and_picks_nothing(shaft):
    page, seen = shaft
    canvas = page.locator("canvas[aria-label^='The shaft']")
    box = canvas.bounding_box()
    x, y = box["x"] + 0.5 * box["width"], box["y"] + 0.2 * box["height"]
    page.mouse.move(x, y)
    page.locator(".pointed").wait_for()
    page.mouse.down()
    page.mouse.move(x, y + 30, steps=5)
    page.mouse.up()
    turned = int(re.search(r"turned by (\d+)°", canvas.get_attribute("aria-label"))[1])
    assert 10 < turned < 90  # the side that is nearest rolls downward, with the rotation
    assert page.get_by_label("Selected part").input_value() == ""
    assert seen.errors == []


def test_a_selected_body_shows_its_formula(shaft_once):
    page, _ = shaft_once
    page.get_by_label("Selected part").select_option("crankpin 1")
    words = page.locator(".formula").inner_text()
    assert "ρ π/4 (D² − d²) l" in words
    assert "48²" in words


def test_it_plays_without_a_word_over_the_socket(shaft_once):
    page, seen = shaft_once
    page.locator("[data-play]").click()
    painted = page.evaluate("window.sixthrow.painted")
    count = len(seen.sent) + len(seen.received)
    page.wait_for_function("from => window.sixthrow.painted > from + 10", arg=painted)
    assert len(seen.sent) + len(seen.received) == count
    page.get_by_role("button", name="Pause").click()


def test_the_mains_bars_are_drawn(shaft_once):
    page, _ = shaft_once
    bars = page.evaluate(CHART, "shaft_mains_steel_bars")
    assert len(bars["top"]) == first_demo().layout.throws + 1
    assert len(page.evaluate(CHART, "shaft_mains_second_marks")["y"]) == len(bars["top"])
    assert len(page.evaluate(CHART, "shaft_mains_main_lines")["ys"]) == 1


def test_a_tick_makes_the_shaft_determinate_here_and_at_the_bearings(shaft):
    """The tile shows the main that carries most under the rule; the rule travels and is undone."""
    page, seen = shaft
    tile = page.locator("[data-tile=main_load]")
    cut = with_value(first_demo(), "crank.main_loads", "cut_at_mains")
    peaks = [f"{main_peak(design):.1f}" for design in (first_demo(), cut)]
    expect(tile).to_contain_text(peaks[0])
    tick = page.get_by_role("checkbox", name="Continuous shaft")
    expect(page.get_by_label("Main-bearing support stiffness", exact=True)).to_be_visible()
    tick.focus()
    page.keyboard.press("Space")
    expect(tile).to_contain_text(peaks[1])
    expect(page.get_by_label("Main-bearing support stiffness", exact=True)).to_have_count(0)
    page.wait_for_function("sessionStorage.getItem('sixthrow-draft').includes('cut_at_mains')")
    page.get_by_role("link", name="Bearings").click()
    wait_until_painted(page)
    tick = page.get_by_role("checkbox", name="Continuous shaft")
    expect(tick).not_to_be_checked()  # the page opens, then takes the tab's design
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("checkbox", name="Continuous shaft")).to_be_checked()
    expect(page.get_by_text("of the continuous shaft").first).to_be_visible()
    assert seen.errors == []


def test_a_scheme_is_put_on_and_undone(shaft):
    page, seen = shaft
    open_tab(page, "weights")
    page.get_by_label("On", exact=True).select_option("none")
    page.locator("[data-apply]").click()
    bare = with_counterweights(first_demo(), "none")
    wait_for_mass(page, kilograms(bare))
    page.get_by_role("button", name="Undo").click()
    wait_for_mass(page, kilograms(first_demo()))
    assert seen.errors == []


def with_counterweights(design, scheme):
    weights = scheme_counterweights(design, scheme, 1, 0)
    return type(design)(**{
        name: weights if name == "counterweights" else getattr(design, name)
        for name in design.__dataclass_fields__
    })  # fmt: skip


def test_an_unbalanced_scheme_is_warned_of(shaft):
    page, _ = shaft
    open_tab(page, "weights")
    page.get_by_label("Offset angle to keep the shaft balanced").uncheck()
    page.get_by_label("On", exact=True).select_option("two_large")
    page.get_by_text(re.compile("As chosen: Statically unbalanced")).wait_for()


def test_the_front_is_found_selected_and_put_on(shaft):
    page, seen = shaft
    open_tab(page, "front")
    page.locator("[data-find]").click()
    page.locator("[data-use]").wait_for()
    page.wait_for_function(f"name => ({CHART})(name).x.length >= 5", arg="shaft_front_main_marks")
    front = page.evaluate(CHART, "shaft_front_main_marks")
    assert front["x"] == sorted(front["x"])
    assert front["y"] == sorted(front["y"], reverse=True)
    page.get_by_label("Point", exact=True).select_option(index=len(front["x"]) - 1)
    page.wait_for_function(
        f"y => ({CHART})('shaft_front_inertia_marks').y[0] === y", arg=front["y"][-1]
    )
    page.get_by_label("Maximum main load").fill("40")
    page.wait_for_function(
        f"count => ({CHART})('shaft_front_main_marks').x.length === count + 1", arg=len(front["x"])
    )
    page.get_by_label("Point", exact=True).select_option(index=len(front["x"]))
    page.wait_for_function(
        f"y => ({CHART})('shaft_front_inertia_marks').y[0] === y", arg=front["y"][-1]
    )
    page.locator("[data-use]").click()
    wait_for_mass(page, kilograms(with_counterweights(first_demo(), "none")))
    assert len(page.evaluate(CHART, "shaft_front_main_marks")["x"]) == len(front["x"]) + 1
    assert seen.errors == []


@pytest.mark.parametrize("key", ["loads", "weights", "costs", "layouts"])
def test_tables_are_made_and_saved(shaft_once, key):
    page, _ = shaft_once
    open_tab(page, key)
    pane = page.locator(f"#pane-{key}")
    pane.locator("tbody tr").first.wait_for()
    with page.expect_download() as saved:
        pane.get_by_role("button", name="Save as CSV").first.click()
    assert saved.value.suggested_filename.endswith(f"-{key}.csv")


def test_a_phone_has_no_sideways_scroll(browser, address):
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page, seen = open_page(context, f"{address}shaft", wait_until_painted)
    for key in ("loads", "weights", "front", "costs", "layouts"):
        open_tab(page, key)
        page.wait_for_function("document.documentElement.scrollWidth <= 390")
    assert picture(page)[0] > 0.03
    assert seen.errors == []
    context.close()


def test_a_name_is_shown_as_text_and_missing_dimensions_are_said(shaft):
    page, seen = shaft
    text = demo_paths()["Hill climb six"].read_text(encoding="utf-8")
    text = re.sub(r"\[crank_throw\].*?\n(?=\[)", "", text, flags=re.S)
    text = re.sub(r"\[(shaft|torsion)\].*?\n(?=\[)", "", text, flags=re.S)
    text = text.partition("[origin]")[0]
    text = re.sub(r"(?m)^name = .*$", f"name = {json.dumps('<img src=x onerror=alert(1)>')}", text)
    page.set_input_files("input[type=file] >> nth=0", {
        "name": "bare.toml", "mimeType": "text/plain", "buffer": text.encode(),
    })  # fmt: skip
    page.get_by_text(re.compile(r"lacks \[crank_throw\]")).wait_for()
    assert page.locator("[data-tile=main_load]").count() == 1
    assert page.locator("[data-tile=mass]").count() == 0
    assert picture(page)[0] > 0.1
    assert page.locator("img").count() == 0
    assert seen.errors == []


def test_a_reading_of_the_machine_becomes_holes(context, address):
    page, seen = open_page(context, f"{address}shaft", wait_until_painted)
    page.locator("#tab-balancing").click()
    page.locator("[data-plan]").click()
    page.locator(".verdict.good").filter(has_text="within tolerance").wait_for()
    assert page.locator(".planes .end.good").count() == 2
    assert 2 <= page.locator(".balancing tbody tr").count() <= 3
    page.get_by_label("front", exact=True).fill("9000")
    page.locator("[data-plan]").click()
    page.locator(".verdict.bad").filter(has_text="permissible").wait_for()
    page.get_by_label("front", exact=True).fill("")
    page.locator("[data-plan]").click()
    page.locator("p.bad[role=alert]").filter(
        has_text="must be 0 to 1000000 g·mm (got nothing)"
    ).wait_for()
    assert seen.errors == []
    page.close()
