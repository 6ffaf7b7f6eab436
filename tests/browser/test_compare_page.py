"""The comparison page in Chromium: two designs, their curves and tables, and what is refused."""

import csv
import io
import re
from dataclasses import replace
from datetime import date
from itertools import pairwise

import numpy as np
import pytest

from apps.report import write_report
from assets_demo import demo_paths
from kinematics import design_text, load_design, solve_cycle
from tests.browser.conftest import open_page
from tests.browser.test_accessibility import violations
from tests.browser.waiting import wait_until_painted
from viz.compare.comparison import compared

pytestmark = pytest.mark.browser


@pytest.fixture
def compare(context, address):
    page, seen = open_page(context, f"{address}compare", wait_until_painted)
    yield page, seen
    page.close()


@pytest.fixture(scope="module")
def compare_once(context, address):
    """One page for all tests that leave it as they found it."""
    page, seen = open_page(context, f"{address}compare", wait_until_painted)
    yield page, seen
    page.close()


def choose(page, side, name):
    page.get_by_role("group", name=f"Design {side}").locator("select").select_option(name)


def both(page, a="Touring six", b="Short rod six"):
    """Choose both designs and wait for the tables."""
    choose(page, "B", b)
    page.get_by_role("group", name="Design B").locator("select").and_(
        page.locator(f"[title^='{load_design(demo_paths()[b]).name}']")
    ).wait_for()
    choose(page, "A", a)
    page.locator("tr[data-key='mean_piston_speed']").wait_for()


def demo(name):
    return load_design(demo_paths()[name])


def solved(name, rpm):
    return solve_cycle(demo(name), rpm)


def at_one_speed(page, rpm):
    """Show both at one speed [rpm] and wait for the results at it."""
    page.get_by_label("Speed of both, rpm").fill(str(rpm))
    page.get_by_label("Speed of both, rpm").press("Enter")
    said = f"{rpm:,}".replace(",", "\u2009")
    page.locator("caption").filter(has_text=f"Results, both at {said} rpm").wait_for()


TABLE = """rows => rows.map(row => {
  const read = node => node.innerText.replace(/\\s+/g, " ").trim();
  const cells = [...row.querySelectorAll("td")].map(cell => {
    const own = cell.cloneNode(true);
    own.querySelectorAll(".margin").forEach(one => one.remove());
    const [margin] = cell.querySelectorAll(".margin");
    const words = margin ? [...margin.children].filter(one => !one.matches(".hidden, svg")) : [];
    const told = words.length ? words.map(one => one.textContent).join("")
      : margin?.textContent ?? "";
    return [own.textContent.replace(/\\s+/g, " ").trim(), told.replace(/\\s+/g, " ").trim()];
  });
  return [row.dataset.key, cells];
})"""  # key, and of each cell the value and the margin


def alike(page):
    return page.locator("tr.same").evaluate_all("rows => rows.map(row => row.dataset.key)")


def told(page, table):
    return dict(page.locator(f"table[data-table={table}] tbody tr[data-key]").evaluate_all(TABLE))


def data(page, plot, column):
    return np.array(
        page.evaluate(
            """([plot, column]) => Array.from(
               window.sixthrow.modelNamed(`${plot}_data`).data[column])""",
            [plot, column],
        )
    )


def wait_for_reference(page, plot="compared_rod_force"):
    page.wait_for_function(
        """(plot) => { const data = window.sixthrow.modelNamed(`${plot}_data`)?.data;
           return data?.reference0?.length > 0 && Number.isFinite(data.reference0[0]); }""",
        arg=plot,
    )


def rows(page, table):
    return page.locator(f"table[data-table={table}] tbody tr[data-key]")


def test_before_there_is_a_design_a_the_page_asks_for_one(compare):
    page, seen = compare
    page.get_by_text("Choose a design A, or set a reference").wait_for()
    assert page.get_by_role("button", name="Swap A and B").is_disabled()
    page.get_by_role("button", name="Touring against short rod").click()
    wait_for_reference(page)
    assert rows(page, "inputs").filter(has_text="Rod length").count() == 1
    assert seen.errors == []
    assert seen.elsewhere == []


def test_curves_of_both_designs_lie_over_one_another(compare_once):
    page, seen = compare_once
    both(page)
    wait_for_reference(page)
    for column, name in (("reference0", "Touring six"), ("y0", "Short rod six")):
        drawn = data(page, "compared_rod_force", column)
        force = solved(name, 5800.0).forces.rod_force[0] / 1e3
        np.testing.assert_allclose(drawn[:-1], force, rtol=2e-5, atol=2e-4)
    assert seen.errors == []


def test_the_tables_say_what_the_comparison_says(compare_once):
    page, _ = compare_once
    both(page)
    found = compared(demo("Touring six"), demo("Short rod six"), 5800.0)
    tables = {"inputs": found.inputs, "results": found.views[0].results, "limits": found.limits}
    for table, wanted in tables.items():
        keys = rows(page, table).evaluate_all("(rows) => rows.map((row) => row.dataset.key)")
        assert keys == [row.key for row in wanted]
        cells = rows(page, table).first.locator("td").all_inner_texts()
        assert cells[0].startswith(wanted[0].a.text)
        assert cells[2] == wanted[0].difference


def test_only_what_differs_by_more_than_a_share(compare_once):
    page, _ = compare_once
    both(page)
    found = compared(demo("Touring six"), demo("Short rod six"), 5800.0).views[0].results
    page.get_by_label("Only what differs by more than").check()
    page.get_by_label("Minimum change shown, %").fill("10")
    wanted = [row.key for row in found if abs(row.change) > 0.1]
    keys = rows(page, "results").evaluate_all("(rows) => rows.map((row) => row.dataset.key)")
    assert keys == wanted
    assert 0 < len(wanted) < len(found)
    page.get_by_label("Minimum change shown, %").fill("1e9")
    page.get_by_text("Nothing differs by more than that.").first.wait_for()
    page.get_by_label("Only what differs by more than").uncheck()


def test_swapping_changes_places_and_can_be_undone(compare_once):
    page, _ = compare_once
    both(page)
    page.get_by_role("button", name="Swap A and B").click()
    first = page.locator("tr[data-key='cylinder.rod_length_mm'] td").first
    first.filter(has_text="136 mm").wait_for()
    assert page.locator("h1 + nav + strong, strong.title").first.inner_text() == "Touring six"
    page.get_by_role("button", name="Swap A and B").click()
    first.filter(has_text="160 mm").wait_for()


def test_curves_and_results_are_at_rated_speeds_or_at_one(compare):
    page, seen = compare
    both(page, "Hill climb six", "Pilot boat six")
    wait_for_reference(page)
    caption = page.locator("figure[data-plot=compared_rod_force] figcaption span").first
    a, b, one = "8\u2009500 rpm", "2\u2009300 rpm", "both at 4\u2009000 rpm"
    words = [(f"each at its rated speed (A {a}, B {b})", f"A at {a}, B at {b}"), (one, one)]
    for speeds, (heading, title) in zip([(8500, 2300), (4000, 4000)], words, strict=True):
        if speeds[0] == speeds[1]:
            at_one_speed(page, speeds[0])
        assert (
            page.locator("table[data-table=results] caption").inner_text() == f"Results, {heading}"
        )
        caption.filter(has_text=title).wait_for()
        forces = [
            solved(name, rpm).forces.rod_force[0] / 1e3
            for name, rpm in zip(("Hill climb six", "Pilot boat six"), speeds, strict=True)
        ]
        for column, force in zip(("reference0", "y0"), forces, strict=True):
            page.wait_for_function(
                """([column, first, near]) => Math.abs(
                   window.sixthrow.modelNamed("compared_rod_force_data")?.data[column][0] - first
                   ) < near""",
                arg=[column, float(force[0]), 1e-3],
            )
            drawn = data(page, "compared_rod_force", column)
            np.testing.assert_allclose(drawn[:-1], force, rtol=2e-5, atol=1e-3)
    assert seen.errors == []


def test_the_speeds_are_chosen_by_keyboard(compare):
    page, _ = compare
    both(page, "Hill climb six", "Pilot boat six")
    page.get_by_role("radio", name="each at its rated speed").focus()
    page.keyboard.press("ArrowDown")
    page.locator("caption").filter(has_text="Results, both at 2\u2009300 rpm").wait_for()
    page.keyboard.press("ArrowUp")
    page.locator("caption").filter(has_text="Results, each at its rated speed").wait_for()


def test_the_report_has_the_tables_of_the_page_cell_by_cell(compare, browser, tmp_path):
    """Both views, read from the page and from the report's file; the report leaves out the same."""
    page, _ = compare
    both(page, "Hill climb six", "Pilot boat six")
    page.locator("caption").filter(has_text="each at its rated speed (A 8").wait_for()
    shown, same = {"rated": told(page, "results")}, alike(page)
    at_one_speed(page, 4000)
    shown |= {"shared": told(page, "results")}
    shown |= {name: told(page, name) for name in ("inputs", "limits")}
    same += alike(page)
    path = tmp_path / "report.html"
    boat, hill = demo("Pilot boat six"), demo("Hill climb six")
    write_report(boat, path, 4000, hill, today=date(2031, 2, 3))
    context = browser.new_context(offline=True)
    report = context.new_page()
    report.goto(path.as_uri())
    for name, rows in shown.items():
        found = told(report, name)
        assert len(found) > 20
        assert found == {key: cells for key, cells in rows.items() if key in found}
        assert set(rows) - set(found) <= set(same)
    assert shown["rated"]["big_end_load"] != shown["shared"]["big_end_load"]
    context.close()


def test_a_speed_that_is_not_allowed_is_refused_and_nothing_moves(compare_once):
    page, _ = compare_once
    both(page)
    page.get_by_label("Speed of both, rpm").fill("9e9")
    page.get_by_label("Speed of both, rpm").press("Enter")
    page.get_by_text(re.compile("The speed of both was not accepted.*must be")).wait_for()
    assert page.get_by_label("Speed of both, rpm").input_value() == "5800"
    page.locator("caption").filter(has_text="Results, both at 5\u2009800 rpm").wait_for()


def test_a_file_can_be_either_design_and_a_bad_one_is_refused(compare):
    page, seen = compare
    both(page)
    good = design_text(load_design(demo_paths()["Inline four"])).replace("Inline", "<b>Inline")
    opener = page.get_by_role("group", name="Design A").locator("input[type=file]")
    opener.set_input_files({"name": "a.toml", "mimeType": "", "buffer": good.encode()})
    page.locator("option").filter(has_text="<b>Inline").first.wait_for(state="attached")
    opener.set_input_files({"name": "b.toml", "mimeType": "", "buffer": b"schema = 9"})
    page.get_by_text("b.toml was not accepted. schema: must be 1").wait_for()
    opener.set_input_files({"name": "c.toml", "mimeType": "", "buffer": b"\xff\xfe"})
    page.get_by_text("c.toml is not UTF-8 text.").wait_for()
    opener.set_input_files({"name": "d.toml", "mimeType": "", "buffer": b"#" * 1_000_001})
    page.get_by_text("d.toml must be at most 1 MB (got 1.0 MB).").wait_for()
    choice = page.get_by_role("group", name="Design A").locator("select option:checked")
    assert choice.inner_text().startswith("<b>Inline")
    assert seen.errors == []


def test_another_plot_takes_the_place_of_one(compare):
    page, _ = compare
    both(page)
    page.get_by_label("Plot 1", exact=True).select_option("compared_cylinder_pressure")
    wait_for_reference(page, "compared_cylinder_pressure")
    assert page.locator("figure[data-plot=compared_rod_force]").is_hidden()
    page.get_by_label("Plot 4", exact=True).select_option("")
    assert page.locator("figure.plot:visible").count() == 3
    page.get_by_label("Plot 1", exact=True).select_option("compared_side_thrust")
    chosen = page.get_by_label("Plot 2", exact=True).input_value()
    assert chosen == "compared_cylinder_pressure"  # they change places


NAMES_CLEAR = """() => [...document.querySelectorAll("figure.plot")]
  .filter((place) => place.offsetParent)
  .flatMap(({ dataset: { plot } }) => {
    const figure = sixthrow.modelNamed(`${plot}_figure`);
    const strokes = sixthrow.modelNamed(`${plot}_strokes`);
    if (!strokes) return [];
    const { start, end } = figure.y_range;
    const pixel = (end - start) / figure.inner_height;
    const { x, y, text } = sixthrow.modelNamed(`${plot}_labels`).data;
    return text.map((words, i) => [plot, words, (end - y[i]) / pixel]);
  })
  .filter(([, , below]) => below < 12 + 3 + 4 + 13)"""  # a stroke's name, and the label over it


@pytest.mark.parametrize("size", [(1440, 900), (1280, 600)])
def test_no_curves_name_lies_on_a_strokes_name(compare, size):
    """The box of a label, 13 px over its point, ends below the 12 px of the strokes' names."""
    page, _ = compare
    page.set_viewport_size({"width": size[0], "height": size[1]})
    both(page)
    wait_for_reference(page, "compared_side_thrust")
    for cylinder in ("1", "4"):
        page.get_by_label("Cylinder shown in the plots").select_option(label=cylinder)
        page.wait_for_function(f"!({NAMES_CLEAR})().length")
    page.set_viewport_size({"width": 1440, "height": 900})


def test_an_engine_with_another_cycle_or_fewer_cylinders_says_so(compare):
    page, _ = compare
    both(page, a="Inline four", b="Touring six")
    page.get_by_label("Cylinder shown in the plots").select_option(label="6")
    page.get_by_text("A has no cylinder 6.").wait_for()


def test_a_plot_as_a_table_has_both_designs(compare_once):
    page, _ = compare_once
    both(page)
    wait_for_reference(page)
    page.get_by_role(
        "button", name=re.compile("Table and export of Rod force, compression")
    ).click()
    heads = page.locator("dialog.figure-table th").all_inner_texts()
    assert heads == ["φ, °", "A, kN", "B, kN"]
    cells = page.locator("dialog.figure-table tbody tr").first.locator("td").all_inner_texts()
    wanted = [solved(name, 5800.0).forces.rod_force[0, 0] / 1e3
              for name in ("Touring six", "Short rod six")]  # fmt: skip
    np.testing.assert_allclose([float(cell) for cell in cells[1:]], wanted, rtol=1e-4)
    page.keyboard.press("Escape")


def test_the_table_is_saved_as_csv(compare_once):
    page, _ = compare_once
    both(page)
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as CSV").click()
    assert download.value.suggested_filename == "touring-six-and-short-rod-six.csv"
    table = list(csv.reader(io.StringIO(download.value.path().read_text(encoding="utf-8"))))
    assert len(table) > 150
    assert table[0][:3] == ["Table", "Part", "Quantity"]


def test_both_designs_stay_over_a_reload_and_go_to_the_other_pages(compare):
    page, _ = compare
    both(page)
    page.wait_for_function(
        """JSON.parse(sessionStorage.getItem('sixthrow-draft') ?? '{}')
           .reference?.text?.includes('Touring')"""
    )
    page.reload()
    wait_until_painted(page)
    page.locator("tr[data-key='mean_piston_speed']").wait_for()
    page.get_by_role("link", name="Crank train").click()
    page.get_by_text("Reference: Touring six").wait_for()


def test_the_page_needs_no_scrolling_on_a_desktop(compare_once):
    page, _ = compare_once
    both(page)
    size = page.evaluate(
        "[document.documentElement.scrollWidth, document.documentElement.scrollHeight]"
    )
    assert size == [1440, 900]


CUT = """all => all.flatMap(one => {
  const box = one.getBoundingClientRect();
  const seen = [...one.querySelectorAll("th, td")].filter(cell => cell.getClientRects().length);
  return seen.filter(cell => {
    const { left, right } = cell.getBoundingClientRect();
    return cell.scrollWidth > cell.clientWidth + 1 || right > box.right + 1 || left < box.left - 1;
  }).map(cell => cell.textContent);
})"""


@pytest.mark.parametrize(
    ("size", "theme"),
    [((1440, 900), "light"), ((1440, 900), "dark"), ((1280, 800), "dark"), ((390, 844), "light")],
)
def test_every_column_is_in_view(browser, address, size, theme):
    """Inputs, results at both speeds and limits of unlike designs, one with a long name."""
    width, height = size
    context = browser.new_context(viewport={"width": width, "height": height})
    context.add_init_script(f"localStorage.setItem('sixthrow-theme', '{theme}')")
    page, seen = open_page(context, f"{address}compare", wait_until_painted)
    for a, b in (("Touring six", "Hill climb six"), ("V6 60 six throws", "Pilot boat six")):
        both(page, a, b)
        for view in ("each at its rated speed", "both at"):
            page.get_by_role("radio", name=view).check()
            page.locator("caption").filter(has_text=f"Results, {view}").wait_for()
            assert page.locator(".scroll").evaluate_all(CUT) == []
            wide = "all => all.map(one => one.scrollWidth - one.clientWidth)"
            assert page.locator(".scroll").evaluate_all(wide) == [0, 0]
        assert page.evaluate("document.documentElement.scrollWidth") == width
    assert seen.errors == []
    context.close()


LONG = (
    "A hill-climb six with drilled webs and short rods for the second run of the year, issue 17 B"
)


@pytest.mark.parametrize(("size", "lines"), [((1440, 900), 1), ((1280, 600), 1), ((390, 844), 2)])
def test_the_bar_stays_as_high_with_a_reference(browser, address, size, lines):
    context = browser.new_context(viewport={"width": size[0], "height": size[1]})
    page, _ = open_page(context, f"{address}train", wait_until_painted)
    design = design_text(replace(demo("Touring six"), name=LONG))
    page.locator(".menu input[type=file]").first.set_input_files(
        {"name": "a.toml", "mimeType": "", "buffer": design.encode()}
    )
    page.locator("strong.title").filter(has_text=LONG).wait_for()
    bar = page.locator("header.bar")
    before = bar.bounding_box()["height"]
    page.get_by_role("button", name="Set reference").click()
    page.get_by_role("button", name="Replace reference").wait_for()
    page.get_by_role("button", name="Clear reference").wait_for()
    assert bar.bounding_box()["height"] == before <= 34 * lines + 20
    assert page.evaluate("document.documentElement.scrollWidth") == size[0]
    buttons = page.locator(".commands > :is(button, select, .menu):visible")
    boxes = buttons.evaluate_all("all => all.map(one => one.getBoundingClientRect().toJSON())")
    assert len({round(box["top"] + box["height"] / 2) for box in boxes}) == 1
    assert all(one["right"] <= other["left"] for one, other in pairwise(boxes))
    assert page.locator("strong.title").get_attribute("title").startswith(LONG)
    assert LONG in page.locator(".reference-name").get_attribute("title")
    context.close()


def test_axe_finds_nothing(browser, address):
    assert violations(browser, f"{address}compare", both) == []
