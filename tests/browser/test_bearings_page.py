"""The bearings page in a real browser: films are the core's; it picks, plays, changes, saves."""

import csv
import math
import re
from dataclasses import replace

import numpy as np
import pytest
from playwright.sync_api import expect

from assets_demo import demo_paths
from kinematics import design_text, load_design, solve_cycle, with_value
from tests.browser.waiting import wait_until_painted
from tests.conftest import SIX_TEXT
from viz.film.film_board import table_message
from viz.film.film_numbers import film_numbers
from viz.film.shown_films import ShownFilms

pytestmark = pytest.mark.browser

WALL = """nodes => nodes.map(node => ({ key: node.dataset.bearing, state: node.dataset.state,
  words: node.getAttribute("aria-label"), pressed: node.getAttribute("aria-pressed") }))"""
DATA = """name => { for (const doc of window.Bokeh.documents) {
  const model = doc.get_model_by_name(name); if (model) return Array.from(model.data.y0); } }"""


def shown(design, rpm=None) -> ShownFilms:
    rated = design.layout.rated_speed * 30 / math.pi
    return ShownFilms(solve_cycle(design, rated if rpm is None else rpm))


def first_demo():
    return load_design(next(iter(demo_paths().values())))


def plain(text):
    return re.sub(r"[\u2009\u202f]", " ", text)


def wall(page):
    return page.locator("button.bearing").evaluate_all(WALL)


def said_films(page):
    """The minimum film of each bearing in µm, as the wall's sentences say it."""
    return {
        one["key"]: float(
            re.search(r"minimum film thickness ([\d.]+)", plain(one["words"])).group(1)
        )
        for one in wall(page)
    }


def wait_for_films(page, films: ShownFilms):
    """Wait until the table's first row is that of the films, and the wall agrees."""
    first = table_message(films)["rows"][0]
    cells = [plain(cell) for cell in first["cells"][:2]]
    page.locator(f".bearing-table tbody tr:first-child[data-row={first['key']}]").filter(
        has_text=re.compile(re.escape(cells[1]))
    ).wait_for(state="attached")
    said = said_films(page)
    assert list(said) == [one.key for one in films.bearings]
    for one in films.bearings:
        assert said[one.key] == pytest.approx(one.least * 1e6, rel=6e-3), one.key


def selected(page):
    return next(one["key"] for one in wall(page) if one["pressed"] == "true")


def curve(page, name="film_thickness_data"):
    return np.array(page.evaluate(DATA, name))[:-1]


def wait_for_curve(page, values):
    page.wait_for_function(
        """([name, first, least]) => { for (const doc of window.Bokeh.documents) {
          const model = doc.get_model_by_name(name); if (!model) continue;
          const y = model.data.y0; if (!y || !y.length) return false;
          return Math.abs(y[0] - first) < 1e-3 * Math.abs(first) + 1e-4
            && Math.abs(Math.min(...y) - least) < 1e-3 * least + 1e-4; } return false; }""",
        arg=["film_thickness_data", float(values[0]), float(values.min())],
    )
    np.testing.assert_allclose(curve(page), values, rtol=2e-4, atol=2e-4)


def set_box(page, label, value, nth=0):
    box = page.get_by_label(label, exact=True).nth(nth)
    box.fill(str(value))
    box.press("Enter")


def test_loads_without_another_host_or_an_error(bearings_once):
    page, seen = bearings_once
    page.locator("button.bearing").first.wait_for()
    assert page.title() == "sixthrow · bearings"
    assert seen.elsewhere == []
    assert seen.errors == []
    assert "teaching and design review" in page.inner_text(".caution")
    size = "[document.documentElement.scrollWidth, document.documentElement.scrollHeight]"
    assert page.evaluate(size) == [1440, 900]


def test_the_wall_curves_and_table_are_the_cores(bearings_once):
    page, _ = bearings_once
    films = shown(first_demo())
    wait_for_films(page, films)
    assert [one["state"] for one in wall(page)] == [one.state for one in films.bearings]
    first = films.sorted[0]
    assert selected(page) == first.key
    wait_for_curve(page, first.films.film[first.index] * 1e6)
    np.testing.assert_allclose(
        curve(page, "film_pressure_data"), first.films.peak_pressure[first.index] / 1e6, rtol=2e-4
    )
    rows = page.locator(".bearing-table tbody tr").evaluate_all(
        "rows => rows.map(row => row.dataset.row)"
    )
    assert rows == [one.key for one in films.sorted]


def test_every_demo_has_its_films(bearings):
    page, seen = bearings
    for name, path in reversed(demo_paths().items()):
        page.get_by_label("Demo design").select_option(name)
        page.locator(".title").filter(has_text=load_design(path).name).wait_for()
        wait_for_films(page, shown(load_design(path)))
    assert seen.errors == []


def test_a_click_in_wall_or_table_picks(bearings):
    page, _ = bearings
    films = shown(first_demo())
    for selector, key in (
        ("button.bearing[data-bearing={}]", "main_4"),
        (".bearing-table button[data-bearing={}]", "main_2"),
    ):
        page.locator(selector.format(key)).click()
        one = films.bearing(key)
        wait_for_curve(page, one.films.film[one.index] * 1e6)
        assert selected(page) == key
        number = film_numbers(one)[0]
        page.locator("[data-number=least_film]").filter(
            has_text=re.compile(re.escape(f"{number.value:.2f}"))
        ).wait_for()


def test_brackets_pick_and_arrows_move_the_crank(bearings_once):
    page, _ = bearings_once
    wait_for_films(page, shown(first_demo()))
    before = selected(page)
    page.keyboard.press("]")
    assert selected(page) != before
    page.keyboard.press("[")
    assert selected(page) == before
    page.keyboard.press("Home")
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("ArrowRight")
    assert page.locator(".angle").inner_text() == "φ 11°"
    cursor = "sixthrow.modelNamed('film_thickness_cursor')"
    assert page.evaluate(f"{cursor}.location") == 11


def test_the_formula_of_a_number_opens(bearings_once):
    page, _ = bearings_once
    page.locator("[data-number=least_film]").click()
    dialog = page.locator("dialog.formula[open]")
    films = shown(first_demo())
    number = film_numbers(films.sorted[0])[0]
    assert plain(number.substitution.splitlines()[0]) in plain(dialog.inner_text())
    assert "mobility" in dialog.inner_text()
    page.keyboard.press("Escape")


def test_sliders_change_the_films(bearings):
    page, seen = bearings
    design = first_demo()
    wait_for_films(page, shown(design))
    set_box(page, "Big-end width", 21.5)
    design = with_value(design, "big_end.width_mm", 21.5)
    wait_for_films(page, shown(design))
    set_box(page, "SAE grade, hot", 40)
    oil = replace(design.oil, grade="SAE 10W-40", high_shear_viscosity=None)  # that of the grade
    design = replace(design, oil=oil)
    wait_for_films(page, shown(design))
    set_box(page, "Oil inlet", 115)
    design = with_value(design, "oil.inlet_temperature_degC", 115)
    wait_for_films(page, shown(design))
    set_box(page, "Speed", 6000)
    wait_for_films(page, shown(design, 6000))
    assert seen.errors == []


def test_a_value_that_cannot_be_is_refused_and_the_films_stay(bearings):
    page, seen = bearings
    films = shown(first_demo())
    wait_for_films(page, films)
    set_box(page, "Main width", 1)
    page.locator(".problem:visible").wait_for()
    assert "must be 2 to 400 mm" in page.locator(".problem:visible").inner_text()
    wait_for_films(page, films)
    assert seen.errors == []


def test_a_design_without_oil_says_so_and_the_films_stay(bearings):
    page, seen = bearings
    films = shown(first_demo())
    wait_for_films(page, films)
    bare = SIX_TEXT.partition("[big_end]")[0]
    page.locator("input[type=file]").first.set_input_files(
        {"name": "bare.toml", "mimeType": "text/plain", "buffer": bare.encode()}
    )
    page.get_by_text("The films are unchanged").wait_for()
    wait_for_films(page, films)
    assert seen.errors == []


def test_playing_sends_nothing_and_draws(bearings_once):
    page, seen = bearings_once
    wait_for_films(page, shown(first_demo()))
    page.locator(".play").click()
    page.wait_for_function("window.sixthrow.frames > 5")
    page.wait_for_timeout(1500)  # the tab's draft is asked for half a second after loading
    before = len(seen.sent) + len(seen.received)
    start = page.evaluate("window.sixthrow.frames")
    page.wait_for_function(f"window.sixthrow.frames > {start + 40}")
    assert len(seen.sent) + len(seen.received) == before
    page.locator(".play").click()


def test_the_map_is_made_when_asked_for_and_goes_stale(bearings):
    page, seen = bearings
    wait_for_films(page, shown(first_demo()))
    page.locator("#tab-survey").click()
    page.locator("[data-survey=make]").click()
    page.locator("figure[data-plot=film_survey] figcaption").filter(
        has_text="Big ends: minimum film thickness"
    ).wait_for()
    lines = "sixthrow.modelNamed('film_survey_allowed_lines')"
    page.wait_for_function(f"{lines}?.data.xs.length > 0")
    assert page.locator("[data-survey=make]").is_disabled()
    set_box(page, "Big-end width", 21)
    page.get_by_text("before the last change").wait_for()
    assert page.locator("[data-survey=make]").is_enabled()
    page.get_by_label("Bearings of the map").select_option("main")
    page.locator("figure[data-plot=film_survey] figcaption").filter(
        has_text="Mains: minimum film thickness"
    ).wait_for()
    assert seen.errors == []


def test_a_trace_has_no_map_and_says_why(bearings):
    page, _ = bearings
    page.get_by_label("Demo design").select_option("Measured six")
    page.locator(".title").filter(has_text="Measured six").wait_for()
    page.locator("#tab-survey").click()
    page.locator("[data-survey=make]").click()
    page.get_by_text("which has one load").wait_for()


def test_the_table_is_saved_as_csv(bearings_once):
    page, _ = bearings_once
    films = shown(first_demo())
    wait_for_films(page, films)
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as CSV").click()
    assert download.value.suggested_filename == "hill-climb-six-bearings.csv"
    with open(download.value.path(), encoding="utf-8") as stream:
        rows = list(csv.reader(stream))
    assert [row[0] for row in rows[1:]] == [one.title for one in films.sorted]
    assert float(rows[1][1]) == pytest.approx(films.sorted[0].least * 1e6, rel=1e-5)


def test_a_reference_design_is_drawn_and_compared(bearings):
    page, seen = bearings
    design = first_demo()
    wait_for_films(page, shown(design))
    page.get_by_role("button", name="Set reference").click()
    page.get_by_role("button", name="Replace reference").wait_for()
    set_box(page, "Big-end width", 21.5)
    wait_for_films(page, shown(with_value(design, "big_end.width_mm", 21.5)))
    page.locator("[data-number=least_film] .change").filter(has_text=re.compile(r"^\+")).wait_for()
    reference = """() => { for (const doc of window.Bokeh.documents) {
      const m = doc.get_model_by_name("film_thickness_data");
      if (m) return Math.min(...m.data.reference0); } }"""
    assert page.evaluate(reference) == pytest.approx(shown(design).sorted[0].least * 1e6, rel=1e-3)
    assert seen.errors == []


def test_the_design_goes_along_to_the_other_pages(bearings):
    page, seen = bearings
    design = with_value(first_demo(), "big_end.width_mm", 21.5)
    wait_for_films(page, shown(first_demo()))
    set_box(page, "Big-end width", 21.5)
    wait_for_films(page, shown(design))
    page.get_by_role("link", name="Limits").click()
    page.locator("[data-rung=big_end_film]").wait_for()
    width = page.get_by_label("Big-end width", exact=True)
    expect(width).to_have_value("21.5")  # once it has taken the tab's design
    page.get_by_role("link", name="Bearings").click()
    wait_until_painted(page)
    wait_for_films(page, shown(design))
    assert seen.errors == []


def test_names_are_shown_as_text(bearings):
    page, seen = bearings
    hostile = replace(first_demo(), name="<img src=x onerror=alert(1)>")
    page.locator("input[type=file]").first.set_input_files(
        {"name": "x.toml", "mimeType": "text/plain", "buffer": design_text(hostile).encode()}
    )
    page.locator(".title").filter(has_text="<img src=x").wait_for()
    assert page.locator("img").count() == 0
    assert seen.errors == []


def test_small_and_two_stroke_engines_have_films(bearings):
    """One cylinder, and a cycle of one turn."""
    page, seen = bearings
    base = first_demo()
    layout = replace(
        base.layout, strokes_per_cycle=2, throw_angles=(0.0,), throw_of_cylinder=(1,),
        bank_angle=(0.0,), firing_order=(1,),
    )  # fmt: skip
    single = replace(base, layout=layout, counterweights=base.counterweights[:2])
    page.locator("input[type=file]").first.set_input_files(
        {"name": "one.toml", "mimeType": "text/plain", "buffer": design_text(single).encode()}
    )
    wait_for_films(page, shown(single, 8500))
    assert len(wall(page)) == 3
    assert seen.errors == []


def test_films_and_words_follow_the_chosen_film_model(bearings):
    page, seen = bearings
    note = page.locator("[data-name=note], .note").filter(has_text="Film model:")
    note.filter(has_text="finite bearing (Reynolds' equation)").wait_for(state="attached")
    page.get_by_label("Film model", exact=True).select_option("short bearing")
    design = with_value(first_demo(), "oil.film_model", "short_bearing")
    wait_for_films(page, shown(design))
    note.filter(has_text="Film model: short bearing.").wait_for(state="attached")
    assert seen.errors == []


def test_a_map_can_be_given_up_and_a_change_drops_it(bearings):
    page, seen = bearings
    page.locator("#tab-survey").click()
    button, words = page.locator("[data-survey=make]"), page.locator(".survey-bar .words")
    button.filter(has_text="Compute map").click()
    words.filter(has_text="of 6 loads").wait_for()
    button.filter(has_text="Cancel").click()
    words.filter(has_text="cancelled").wait_for()
    button.filter(has_text="Compute map").click()
    words.filter(has_text="of 6 loads").wait_for()
    stroke = page.get_by_label("Big-end diameter", exact=True)
    stroke.fill("49")
    stroke.press("Enter")
    words.filter(has_text="design has changed").wait_for()
    drawn = "sixthrow.modelNamed('film_survey_allowed_lines')"
    assert page.evaluate(f"{drawn}?.data.xs.length ?? 0") == 0
    assert seen.errors == []
