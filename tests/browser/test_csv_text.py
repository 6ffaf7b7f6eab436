"""The browser's own tables as comma-separated values, held against the writer in Python."""

import pytest

from viz.browser import text
from viz.csv_text import csv_text

pytestmark = pytest.mark.browser

ROWS = [
    ["=HYPERLINK(\"//x\")", "+1", "-1", "@x", "\t=1", "\r=1", "plain", "a,b", 'say "x"'],
    [-1.5, 3, 0.1 + 0.2, 123456.789, 0, "two\nlines", "", "−1 µm", "a-b"],
]  # fmt: skip


def test_both_writers_write_the_same(browser):
    page = browser.new_page()
    written = page.evaluate(
        """async ([code, rows]) => {
          const { csvOf } = await import(`data:text/javascript,${encodeURIComponent(code)}`);
          return csvOf(rows[0], rows.slice(1)); }""",
        [text("shared/csv_text.js"), ROWS],
    )
    page.close()
    assert written == csv_text(ROWS)


def test_a_number_that_is_none_is_an_empty_cell(browser):
    page = browser.new_page()
    written = page.evaluate(
        """async (code) => {
          const { csvOf } = await import(`data:text/javascript,${encodeURIComponent(code)}`);
          return csvOf(['a'], [[NaN], [Infinity], [-2]]); }""",
        text("shared/csv_text.js"),
    )
    page.close()
    assert written == "a\n\n\n-2\n"
