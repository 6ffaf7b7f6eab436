"""Own criteria on the limits page in a real browser: written, seen on the ladder, undone."""

import pytest

pytestmark = pytest.mark.browser
EXPRESSION = "mean_piston_speed/sqrt(cylinder.stroke_mm/cylinder.bore_mm)"
RUNG = ".rung[data-rung='own_corrected_piston_speed']"


def test_a_criterion_is_written_and_stands_on_the_ladder(limits):
    page, seen = limits
    page.get_by_role("button", name="Add criterion").click()
    page.get_by_label("Name", exact=True).fill("Corrected piston speed")
    page.get_by_label("Search names").fill("mean piston speed")
    page.get_by_label("Search names").press("Enter")
    assert page.get_by_label("Expression").input_value() == "mean_piston_speed"
    page.get_by_label("Expression").press_sequentially("/cylinder.bor_mm")
    page.get_by_text("did you mean cylinder.bore_mm?").wait_for()
    page.get_by_label("Expression").fill(EXPRESSION)
    page.get_by_label("Allowable", exact=True).fill("24")
    page.get_by_label("Unit", exact=True).select_option("m_s")
    page.get_by_role("button", name="Save criterion").click()
    page.get_by_text("is missing: say where the allowable is from").wait_for()
    page.get_by_label("Source of allowable").fill("the workshop's own rule")
    page.get_by_text("97.8 % of the allowable used").wait_for()
    page.get_by_role("button", name="Save criterion").click()
    page.locator(RUNG).wait_for()
    page.get_by_role("dialog").wait_for(state="hidden")
    page.locator(".rung-sheet").get_by_text("the workshop's own rule").wait_for()
    assert "marginal" in page.locator(RUNG).inner_text()
    page.get_by_role("button", name="Edit Corrected piston speed").click()
    assert page.get_by_label("Allowable", exact=True).input_value() == "24"
    page.get_by_role("button", name="Cancel").click()
    page.get_by_role("button", name="Undo").click()
    page.locator(RUNG).wait_for(state="detached")
    assert not seen.errors
