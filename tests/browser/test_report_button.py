"""The report made from a page: it is offered as a file, and the page goes on meanwhile."""

import pytest

pytestmark = pytest.mark.browser


def test_a_report_is_offered(opened):
    page, seen = opened
    page.get_by_role("button", name="Set reference").click()
    page.get_by_role("button", name="Replace reference").wait_for()
    page.get_by_label("Stroke", exact=True).fill("80")
    page.get_by_label("Stroke", exact=True).press("Enter")
    with page.expect_download(timeout=60_000) as download:
        page.locator("summary", has_text="File").click()
        page.get_by_role("button", name="Make a report").click()
        page.get_by_text("Creating the report").wait_for()
    assert download.value.suggested_filename == "hill-climb-six-report.html"
    with open(download.value.path(), encoding="utf-8") as stream:
        text = stream.read()
    assert "Compared with" in text
    assert len(text) > 1_000_000
    assert seen.errors == []
