"""The browser's own tables as comma-separated values, held against the writer in Python."""

from tests.in_node import in_node
from viz.csv_text import csv_text

ROWS = [
    ["=HYPERLINK(\"//x\")", "+1", "-1", "@x", "\t=1", "\r=1", "plain", "a,b", 'say "x"'],
    [-1.5, 3, 0.1 + 0.2, 123456.789, 0, "two\nlines", "", "−1 µm", "a-b"],
]  # fmt: skip


def test_both_writers_write_the_same():
    call = "csvOf(given[0], given.slice(1))"
    assert in_node("csvOf", "shared/csv_text.js", call, ROWS) == csv_text(ROWS)
