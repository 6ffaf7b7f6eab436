"""Comma-separated values: text never runs in a spreadsheet, numbers stay numbers, lines end LF."""

import csv
import io
import math

import numpy as np
import pytest

from viz.csv_text import csv_text


@pytest.mark.parametrize(
    "text",
    ["=HYPERLINK(\"//x\",\"y\")", "+1+cmd|' /C calc'!A0", "-1+1", "@SUM(1)", "\t=1", "\r=1",
     "＝1", "\u2009=1"],
)  # fmt: skip
def test_a_text_that_a_spreadsheet_would_run_is_kept_text(text):
    ((cell,),) = csv.reader(io.StringIO(csv_text([[text]]), newline=""))
    assert cell == "'" + text.replace("\u2009", "")


@pytest.mark.parametrize(
    ("number", "written"),
    [(-1.5, "-1.5"), (-0.0, "-0"), (3, "3"), (1e-7, "1e-07"), (np.float64(-2.25), "-2.25"),
     (0.1 + 0.2, "0.3"), (None, ""), (math.nan, ""), (math.inf, "")],
)  # fmt: skip
def test_a_number_stays_a_number(number, written):
    assert csv_text([[number]]) == f"{written}\n"


def test_every_line_ends_with_lf_alone():
    text = csv_text([["a", "b,c"], [1.0, 'say "x"'], ["two\nlines", ""]])
    assert text == 'a,"b,c"\n1,"say ""x"""\n"two\nlines",\n'
    assert "\r" not in text
