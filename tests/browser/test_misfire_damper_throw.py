"""A misfire said under the bar, the damper of the chain taken, a throw solved for itself."""

import pytest
from playwright.sync_api import expect

from assets_demo import demo_paths
from kinematics import load_design
from kinematics.shaft.damper_optimum import damper_optima
from tests.browser.conftest import open_page
from tests.browser.waiting import wait_until_painted
from viz.number_words import format_number

pytestmark = pytest.mark.browser


def first_demo():
    return load_design(next(iter(demo_paths().values())))


def test_a_misfire_is_said_under_the_bar_until_all_fire(opened):
    page, seen = opened
    line = page.locator("p.firing")
    expect(line).to_be_hidden()
    page.get_by_label("Combustion", exact=True).select_option("one cylinder motored (misfire)")
    expect(line).to_contain_text("Not all cylinders fire alike: cylinder 1 motored (misfire).")
    line.get_by_role("button", name="All fire").click()
    expect(line).to_be_hidden()
    expect(page.get_by_label("Combustion", exact=True)).to_have_value("0")
    assert seen.errors == []


def test_the_optimum_on_the_chain_becomes_the_damper(limits):
    page, seen = limits
    optimum = damper_optima(first_demo()).chain.damper
    page.locator('.rung[data-rung="shaft_stress"]').click()
    now = page.locator("table.damper tbody tr").filter(has_text="now").locator("td").nth(1)
    expect(now).not_to_have_text(format_number(optimum.damping, 3))
    page.get_by_role("button", name="Use chain optimum").click()
    expect(now).to_have_text(format_number(optimum.damping, 3))
    page.get_by_role("button", name="Undo").click()
    expect(now).not_to_have_text(format_number(optimum.damping, 3))
    assert seen.errors == []


def test_a_throw_is_solved_for_itself(context, address):
    page, seen = open_page(context, f"{address}shaft", wait_until_painted)
    pane = page.locator("#pane-loads")
    cells = pane.locator("tbody tr").filter(has_text="Torsion").locator("td")
    surface = float(cells.nth(-2).inner_text())
    assert cells.last.inner_text() == "–"
    page.get_by_role("button", name="Calculate this throw").click()
    expect(cells.last).not_to_have_text("–", timeout=60_000)
    assert float(cells.last.inner_text()) == pytest.approx(surface, rel=0.1)
    expect(pane).to_contain_text("finite elements on two meshes")
    assert seen.errors == []
    page.close()
