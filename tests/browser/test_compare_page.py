"""The comparison page in Chromium: two designs, their curves and tables, and what is refused."""

import csv
import io
import re

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import design_text, load_design, solve_cycle
from tests.browser.conftest import open_page
from tests.browser.test_accessibility import violations
from tests.browser.waiting import wait_until_painted
from viz.comparison import compared

pytestmark = pytest.mark.browser


@pytest.fixture
def compare(context, address):
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


def solved(name, rpm):
    return solve_cycle(load_design(demo_paths()[name]), rpm)


def data(page, plot, column):
    return np.array(
        page.evaluate(
            """([plot, column]) => Array.from(window.Bokeh.documents[0]
               .get_model_by_name(`${plot}_data`).data[column])""",
            [plot, column],
        )
    )


def wait_for_reference(page, plot="compared_rod_force"):
    page.wait_for_function(
        """(plot) => { const { data } = window.Bokeh.documents[0].get_model_by_name(`${plot}_data`);
           return data.reference0?.length > 0 && Number.isFinite(data.reference0[0]); }""",
        arg=plot,
    )


def rows(page, table):
    return page.locator(f"table[data-table={table}] tbody tr[data-key]")


def test_before_there_is_a_design_a_the_page_asks_for_one(compare):
    page, seen = compare
    page.get_by_text("Choose a design A, or pin one").wait_for()
    assert page.get_by_role("button", name="Swap A and B").is_disabled()
    assert seen.errors == []
    assert seen.elsewhere == []


def test_curves_of_both_designs_lie_over_one_another(compare):
    page, seen = compare
    both(page)
    wait_for_reference(page)
    for column, name in (("reference0", "Touring six"), ("y0", "Short rod six")):
        drawn = data(page, "compared_rod_force", column)
        force = solved(name, 5800.0).forces.rod_force[0] / 1e3
        np.testing.assert_allclose(drawn[:-1], force, rtol=2e-5, atol=2e-4)
    assert seen.errors == []


def test_the_tables_say_what_the_comparison_says(compare):
    page, _ = compare
    both(page)
    found = compared(solved("Touring six", 5800.0), solved("Short rod six", 5800.0))
    for table, wanted in (("inputs", found.inputs), ("results", found.results)):
        keys = rows(page, table).evaluate_all("(rows) => rows.map((row) => row.dataset.key)")
        assert keys == [row.key for row in wanted]
        cells = rows(page, table).first.locator("td").all_inner_texts()
        assert cells[0].startswith(wanted[0].a.text)
        assert cells[2] == wanted[0].difference


def test_only_what_differs_by_more_than_a_share(compare):
    page, _ = compare
    both(page)
    found = compared(solved("Touring six", 5800.0), solved("Short rod six", 5800.0)).results
    page.get_by_label("Only what differs by more than").check()
    page.get_by_label("Least change shown, %").fill("10")
    wanted = [row.key for row in found if abs(row.change) > 0.1]
    keys = rows(page, "results").evaluate_all("(rows) => rows.map((row) => row.dataset.key)")
    assert keys == wanted
    assert 0 < len(wanted) < len(found)
    page.get_by_label("Least change shown, %").fill("1e9")
    page.get_by_text("Nothing differs by more than that.").first.wait_for()


def test_swapping_changes_places_and_can_be_undone(compare):
    page, _ = compare
    both(page)
    page.get_by_role("button", name="Swap A and B").click()
    first = page.locator("tr[data-key='cylinder.rod_length_mm'] td").first
    first.filter(has_text="136 mm").wait_for()
    assert page.locator("h1 + nav + strong, strong.title").first.inner_text() == "Touring six"
    page.get_by_role("button", name="Swap A and B").click()
    first.filter(has_text="160 mm").wait_for()


def test_the_speed_of_either_side_can_be_set(compare):
    page, _ = compare
    both(page)
    page.get_by_label("Speed of A, rpm").fill("4000")
    page.get_by_label("Speed of A, rpm").press("Enter")
    page.locator("tr[data-key='speed_rpm'] td").first.filter(has_text="4\u2009000 rpm").wait_for()
    page.get_by_label("Speed of B, rpm").fill("4000")
    page.get_by_label("Speed of B, rpm").press("Enter")
    page.locator("tr[data-key='speed_rpm']").wait_for(state="detached")


def test_a_speed_that_is_not_allowed_is_refused_and_nothing_moves(compare):
    page, _ = compare
    both(page)
    page.get_by_label("Speed of A, rpm").fill("9e9")
    page.get_by_label("Speed of A, rpm").press("Enter")
    page.get_by_text(re.compile("The speed of A was not taken.*allowed is")).wait_for()
    assert page.locator("tr[data-key='speed_rpm']").count() == 0


def test_a_file_can_be_either_design_and_a_bad_one_is_refused(compare):
    page, seen = compare
    both(page)
    good = design_text(load_design(demo_paths()["Inline four"])).replace("Inline", "<b>Inline")
    opener = page.get_by_role("group", name="Design A").locator("input[type=file]")
    opener.set_input_files({"name": "a.toml", "mimeType": "", "buffer": good.encode()})
    page.locator("option").filter(has_text="<b>Inline").first.wait_for(state="attached")
    opener.set_input_files({"name": "b.toml", "mimeType": "", "buffer": b"schema = 9"})
    page.get_by_text("b.toml was not taken. schema: must be 1").wait_for()
    opener.set_input_files({"name": "c.toml", "mimeType": "", "buffer": b"\xff\xfe"})
    page.get_by_text("c.toml is not UTF-8 text.").wait_for()
    opener.set_input_files({"name": "d.toml", "mimeType": "", "buffer": b"#" * 1_000_001})
    page.get_by_text("d.toml has 1.0 MB; allowed are 1 MB.").wait_for()
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


def test_an_engine_with_another_cycle_or_fewer_cylinders_says_so(compare):
    page, _ = compare
    both(page, a="Inline four", b="Touring six")
    page.get_by_label("Cylinder shown in the plots").select_option(label="6")
    page.get_by_text("A has no cylinder 6.").wait_for()


def test_a_plot_as_a_table_has_both_designs(compare):
    page, _ = compare
    both(page)
    wait_for_reference(page)
    page.get_by_role("button", name="Table and files of Rod force, compression +").click()
    heads = page.locator("dialog.figure-table th").all_inner_texts()
    assert heads == ["φ, °", "A, kN", "B, kN"]
    cells = page.locator("dialog.figure-table tbody tr").first.locator("td").all_inner_texts()
    wanted = [solved(name, 5800.0).forces.rod_force[0, 0] / 1e3
              for name in ("Touring six", "Short rod six")]  # fmt: skip
    np.testing.assert_allclose([float(cell) for cell in cells[1:]], wanted, rtol=1e-4)


def test_the_table_is_saved_as_csv(compare):
    page, _ = compare
    both(page)
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as CSV").click()
    assert download.value.suggested_filename == "touring-six-and-short-rod-six.csv"
    table = list(csv.reader(io.StringIO(download.value.path().read_text(encoding="utf-8"))))
    assert len(table) > 100
    assert table[0][:3] == ["Table", "Part", "Quantity"]


def test_both_designs_stay_over_a_reload_and_go_to_the_other_pages(compare):
    page, _ = compare
    both(page)
    page.wait_for_function(
        """JSON.parse(sessionStorage.getItem('sixthrow-draft') ?? '{}')
           .pinned?.text?.includes('Touring')"""
    )
    page.reload()
    wait_until_painted(page)
    page.locator("tr[data-key='mean_piston_speed']").wait_for()
    page.get_by_role("link", name="Crank train").click()
    page.get_by_text("Pinned: Touring six").wait_for()


def test_the_page_needs_no_scrolling_on_a_desktop(compare):
    page, _ = compare
    both(page)
    size = page.evaluate(
        "[document.documentElement.scrollWidth, document.documentElement.scrollHeight]"
    )
    assert size == [1440, 900]


@pytest.mark.parametrize("a", ["Touring six", "V6 60 six throws", "Pilot boat six"])
def test_every_column_is_in_view_on_a_desktop(compare, a):
    """The widest cells are limits with their margins, of designs with different limits."""
    page, _ = compare
    both(page, a, "Hill climb six")
    wide = page.locator(".scroll").evaluate_all(
        "all => all.map(one => one.scrollWidth - one.clientWidth)"
    )
    assert wide == [0, 0]


@pytest.mark.parametrize("prepare", [None, both])
def test_axe_finds_nothing(browser, address, prepare):
    assert violations(browser, f"{address}compare", prepare) == []
