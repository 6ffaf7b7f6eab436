"""The same quantity, shown in two places of the program, is the same text, in both unit systems."""

import csv
import re

import pytest

from tests.browser.conftest import open_page
from tests.browser.waiting import wait_until_drawn, wait_until_painted
from viz.number_words import format_number

pytestmark = pytest.mark.browser

TEXTS = "name => window.sixthrow.modelNamed(name)?.data.text"


def plain(text):
    return re.sub(r"[\u2009\u202f\u00a0]", " ", text).strip()


@pytest.fixture(scope="module", params=["si", "us"])
def tab(request, browser, address):
    """Opens pages in one system of units, each once: tests leave them as they found them."""
    context = browser.new_context(viewport={"width": 1440, "height": 900}, accept_downloads=True)
    context.add_cookies([{"name": "sixthrow_units", "value": request.param, "url": address}])
    pages = {}

    def go(path, drawn=wait_until_painted):
        if path not in pages:
            pages[path] = open_page(context, f"{address}{path}", drawn)
        page, seen = pages[path]
        assert seen.errors == []
        return page

    yield go
    context.close()


def tile(page, key):
    return plain(page.locator(f"[data-number={key}] .value").inner_text())


def peaks(texts):
    return [plain(one) for text in texts for one in re.findall(r"peak (.+?)(?: at φ|$)", text)]


def size(text):
    return float(re.match(r"[−\d. ]+", text)[0].replace(" ", "").replace("−", "-"))


def saved(page, name):
    with page.expect_download() as download:
        page.get_by_role("button", name=name).click()
    with open(download.value.path(), encoding="utf-8") as stream:
        return list(csv.reader(stream))


def test_tiles_polars_curves_and_sheets_of_the_train(tab):
    page = tab("train", wait_until_drawn)
    assert peaks(page.evaluate(TEXTS, "big_end_texts"))[0] == tile(page, "big_end_load")
    page.locator("#tab-mains").click()
    page.wait_for_function(f"({TEXTS})('main_bearings_texts')?.length > 0")
    mains = peaks(page.evaluate(TEXTS, "main_bearings_texts"))
    assert max(mains, key=size) == tile(page, "main_load")
    for plot in ("big_end", "main_bearings"):
        told = page.locator(f"figure[data-plot={plot}] .drawing").get_attribute("aria-label")
        drawn = peaks(page.evaluate(TEXTS, f"{plot}_texts"))
        assert drawn
        assert all(one in plain(told) for one in drawn)
    rod = plain(page.locator("figure[data-plot=rod_force] .drawing").get_attribute("aria-label"))
    number = tile(page, "rod_compression").rpartition(" ")[0]
    assert f"to a peak of {number} at" in rod.partition("total")[2]
    for key in page.locator("button.tile[data-number]").evaluate_all(
        "nodes => nodes.map(node => node.dataset.number)"
    ):
        shown = tile(page, key)
        page.locator(f"button[data-number={key}]").click()
        dialog = page.locator("dialog[open]")
        assert plain(dialog.locator(".big").inner_text()) == shown
        assert plain(dialog.locator("pre").nth(1).inner_text()).split("\n")[0].endswith(shown)
        page.keyboard.press("Escape")


def test_a_plots_description_table_and_file(tab):
    page = tab("train", wait_until_drawn)
    page.locator("figure[data-plot=rod_force] .as-table").click()
    dialog = page.locator("dialog.figure-table[open]")
    told = plain(dialog.locator(".figure-words").inner_text())
    cells = [plain(one) for one in dialog.locator("tbody tr td:nth-child(4)").all_inner_texts()]
    head, *rows = saved(page, "Save as CSV")
    column = [float(row[3]) for row in rows]
    step = len(rows) // len(cells)
    assert cells == [plain(format_number(one, 5)) for one in column[::step]]
    assert f"to a peak of {plain(format_number(max(column)))} at" in told.partition("total")[2]
    assert head[3].partition(", ")[2] in told
    page.keyboard.press("Escape")


def test_ticks_follow_the_rule(tab):
    page = tab("limits")
    page.wait_for_function("sixthrow.modelNamed('limit_speed_figure') !== null")
    ticks = page.evaluate("""() => {
      const figure = window.sixthrow.modelNamed("limit_speed_figure");
      return figure.below[0].formatter.doFormat([0, 5000, 10000, -2500], {});
    }""")
    assert ticks == ["0", "5\u2009000", "10\u2009000", "−2\u2009500"]


def test_ladder_table_sheet_and_file(tab):
    page = tab("limits")
    page.locator(".rung").first.wait_for()
    read = """nodes => nodes.map(node => ({ key: node.dataset.rung, title: node.title,
      limit: node.querySelector(".limit .words").firstChild.textContent,
      use: node.querySelector(".use").firstChild.textContent }))"""
    rungs = page.locator(".rung").evaluate_all(read)
    page.get_by_role("button", name="Table", exact=True).click()
    table = [
        [plain(cell) for cell in row]
        for row in page.locator(".ladder-view .sheet tbody tr").evaluate_all(
            "rows => rows.map(row => [...row.children].map(cell => cell.innerText))"
        )
    ]
    _, *rows, _ = saved(page, "Save as CSV")
    by_name = {(row[0], row[1]): row for row in rows}
    for cells in table:
        row = by_name[cells[0], cells[1]]
        for shown, value in ((2, 2), (3, 3), (4, 4), (5, 6), (6, 7)):
            number = re.match(r"−?[\d .]*\d", cells[shown])
            if number and row[value]:
                read = float(number[0].replace(" ", "").replace("−", "-"))
                assert read == pytest.approx(float(row[value]), rel=5.1e-3), (cells, row)
    page.get_by_role("button", name="Ladder", exact=True).click()
    for rung in rungs[:4]:
        page.locator(f"button[data-rung={rung['key']}]").click()
        name = rung["title"].partition(". ")[0]
        page.locator(".rung-sheet h2").filter(has_text=name).wait_for()
        headline = plain(page.locator(".rung-sheet .headline").inner_text())
        value = plain(rung["title"]).partition(". ")[2].partition(" at ")[0]
        assert headline.startswith(f"{value} at ")
        limit = plain(page.locator(".rung-sheet").get_by_text("limit: ").inner_text())
        assert plain(rung["limit"]).removesuffix(" rpm") in limit
        row = next(row for row in table if f"{row[0]}: {row[1]}" == name)
        assert plain(rung["use"]) == row[5]


def test_films_on_the_wall_on_the_board_and_in_the_table(tab):
    page = tab("bearings")
    wall = page.locator("button.bearing[aria-pressed=true]")
    wall.wait_for()
    words = plain(wall.get_attribute("aria-label"))
    film = re.search(r"minimum film thickness (.+?) at crank", words)[1]
    place = re.search(r"at crank angle (\d+)°", words)[1]
    assert tile(page, "least_film") == film
    assert f"φ {place}°" in page.locator("[data-number=least_film]").inner_text()
    row = page.locator(f".bearing-table [data-row={wall.get_attribute('data-bearing')}] td")
    assert plain(row.nth(1).text_content()) == film.rpartition(" ")[0]
    assert plain(row.nth(2).text_content()) == place
    notes = plain(page.locator(".film-view").inner_text())
    assert f"minimum film thickness {film} at φ {place}°" in notes


def test_a_result_reads_the_same_on_three_pages(tab):
    page = tab("train", wait_until_drawn)
    wanted = {
        key: tile(page, key) for key in ("big_end_load", "mean_piston_speed", "indicated_power")
    }
    page = tab("compare")
    page.get_by_role("combobox", name="Design A").select_option("Touring six")
    page.locator("tr[data-key='big_end_load']").wait_for()
    for key, text in wanted.items():
        cell = page.locator(f"tr[data-key='{key}'] td").nth(1)
        assert plain(cell.inner_text()).startswith(text), key
    page = tab("limits")
    speed = page.locator("button[data-rung=mean_piston_speed]")
    speed.wait_for()
    assert f". {wanted['mean_piston_speed']} at " in plain(speed.get_attribute("title"))
    page = tab("rev-limit")
    line = page.locator("[data-line=mean_piston_speed] .true .number").first
    line.wait_for()
    page.locator("[data-jump=Rated]").click()
    page.locator("[data-line=mean_piston_speed] .true").filter(
        has_text=re.compile(
            re.sub(" ", r"\\s", re.escape(wanted["mean_piston_speed"]).replace("\\ ", " "))
        )
    ).wait_for()


def test_the_shafts_load_reads_as_on_the_train(tab):
    page = tab("train", wait_until_drawn)
    wanted = tile(page, "main_load")
    page = tab("shaft")
    shown = page.locator("[data-tile=main_load] .value")
    shown.wait_for()
    assert plain(shown.inner_text()) == wanted
