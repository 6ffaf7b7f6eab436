"""Every plot as a table of its numbers, on every page, and saved as CSV."""

import csv
import math

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import journal_films, load_design, solve_cycle

pytestmark = pytest.mark.browser


def rated_cycle():
    design = load_design(next(iter(demo_paths().values())))
    return solve_cycle(design, design.layout.rated_speed * 30 / math.pi)


def open_table(page, plot):
    page.locator(f"figure[data-plot={plot}] .as-table").click()
    page.locator("dialog.figure-table[open]").wait_for()
    return page.locator("dialog.figure-table")


def saved(page, dialog):
    with page.expect_download() as download:
        dialog.get_by_role("button", name="Save as CSV").click()
    with open(download.value.path(), encoding="utf-8") as stream:
        head, *rows = csv.reader(stream)
    return download.value.suggested_filename, head, rows


def test_a_curve_as_a_table_and_a_file(opened_once):
    page, seen = opened_once
    dialog = open_table(page, "rod_force")
    assert dialog.locator("tbody tr").count() == 60
    assert dialog.locator("tbody tr").first.locator("td").first.inner_text() == "0"
    name, head, rows = saved(page, dialog)
    assert name == "hill-climb-six-rod-force-compression.csv"
    assert head == ["φ, °", "gas, kN", "inertia, kN", "total, kN"]
    values = np.array(rows, dtype=float)
    np.testing.assert_allclose(values[:, 0], np.arange(720), atol=1e-9)
    np.testing.assert_allclose(values[:, 3], rated_cycle().forces.rod_force[0] / 1e3, atol=2e-4)
    page.keyboard.press("Escape")
    assert page.locator("dialog.figure-table[open]").count() == 0
    assert seen.errors == []


def test_polars_and_orders_have_tables(opened_once):
    page, _ = opened_once
    name, head, rows = saved(page, open_table(page, "big_end"))
    assert name == "hill-climb-six-big-end-load.csv"
    assert len(rows) == 720
    load = rated_cycle().bearings.big_end_load("rod")[0] / 1e3
    np.testing.assert_allclose(np.array(rows, dtype=float)[:, 1:3], load.T, atol=2e-4)
    assert head[1].endswith("x, kN")
    page.keyboard.press("Escape")
    page.locator("#tab-balance").click()
    _, head, rows = saved(page, open_table(page, "force_orders"))
    assert head[0] == "order"
    assert len(rows) > 8
    page.keyboard.press("Escape")
    page.locator("[role=tab]").first.click()


def test_films_have_tables(bearings):
    page, _ = bearings
    _, head, rows = saved(page, open_table(page, "film_thickness"))
    assert head == ["φ, °", "film, µm", "allowed, µm"]
    least = 1e6 * float(journal_films(rated_cycle()).big_ends.minimum_film.min())
    assert min(float(row[1]) for row in rows) == pytest.approx(least, abs=0.02)
    page.keyboard.press("Escape")
    page.locator("#tab-shape").click()
    _, head, rows = saved(page, open_table(page, "film_shape"))
    assert head == ["what", "crown, µm", "minimum film thickness, µm"]
    assert {row[0] for row in rows} == {"anywhere over the width", "at mid width", "allowed"}


def test_rungs_have_tables(limits):
    page, seen = limits
    page.locator(".rung").first.wait_for()
    _, head, rows = saved(page, open_table(page, "limit_speed"))
    assert head[:2] == ["what", "crank speed, rpm"]
    assert sum(row[0] == "Shank fatigue" for row in rows) == 60
    assert seen.errors == []


def test_the_button_is_named_and_large_enough(opened_once):
    page, _ = opened_once
    for place in page.locator("figure[data-plot]:visible").all():
        button = place.locator(".as-table")
        title = place.locator("figcaption > span").first.inner_text()
        assert button.get_attribute("aria-label") == f"Table and export of {title}"
        box = button.bounding_box()
        assert min(box["width"], box["height"]) >= 24
