"""Charts in words: each line by its name, with its range and where it peaks, bounds and marks."""

import re

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import load_design, speed_limits
from kinematics.units import UNITS
from viz.chart import Bar, Chart, Label, Line, Mark
from viz.chart_figure import chart_picture, draw
from viz.chart_words import QUIET, chart_words, line_names
from viz.limits.criterion_views import view_of
from viz.limits.limit_charts import speed_chart

X = np.linspace(0, 10, 101)
LADDER = speed_limits(load_design(next(iter(demo_paths().values()))))
RUNGS = pytest.mark.parametrize("rung", LADDER.rungs, ids=lambda rung: rung.criterion.key)


def chart(*lines, labels=(), marks=(), bars=()):
    return Chart(
        "Force", "time, rpm", "force, kN", (0, 10), (-4, 4), lines, tuple(labels), tuple(marks),
        tuple(bars),
    )  # fmt: skip


def plain(text):
    return text.replace("\u2009", "").replace("\u202f", "").replace("−", "-")


def test_axes_ranges_and_peaks_are_told():
    told = chart_words(chart(Line("main", X, 3 * np.sin(X), "pull")))
    assert told.startswith("Force. Across: time, 0 rpm to 10 rpm. Up: force, −4 kN to 4 kN. ")
    low, low_at, high, high_at = map(float, re.search(
        r"pull: from (\S+) kN at (\S+) rpm to a peak of (\S+) kN at (\S+) rpm", plain(told)
    ).groups())  # fmt: skip
    assert (low, high) == pytest.approx((-3, 3), abs=0.01)
    assert (low_at, high_at) == pytest.approx((3 * np.pi / 2, np.pi / 2), abs=0.06)


def test_level_and_upright_lines_are_told_as_such():
    told = chart_words(
        chart(Line("allowed", [0, 10], [2, 2], "at most"), Line("faint", [7, 7], [-4, 4], "rated"))
    )
    assert "at most: 2 kN throughout; rated: at 7 rpm." in told


def test_gaps_and_what_lies_beyond_the_axis_do_not_count():
    height = np.where(X > 4, np.nan, X)
    height[0] = -np.inf
    beyond = Line("gas", [*X, 20], [*(X / 10), 50], "gas")
    told = plain(chart_words(chart(Line("main", X, height, "left"), beyond)))
    assert "left: from 0.1 kN at 0.1 rpm to a peak of 4 kN at 4 rpm" in told
    assert "gas: from 0 kN at 0 rpm to a peak of 1 kN at 10 rpm" in told


def test_a_line_takes_the_nearest_label_of_its_role_that_no_mark_has():
    high, low = Line("main", X, X / 5), Line("main", X, -X / 5)
    named = chart(
        high, low, Line("gas", X, X / 5), Line("ring", [0, 10], [0, 0]),
        labels=[Label("main", 8, -1.6, "lower"), Label("main", 8, 1.7, "upper "),
                Label("main", 5, 1.0, "best"), Label("faint", 8, 1.6, "elsewhere")],
        marks=[Mark("main", 5, 1)],
    )  # fmt: skip
    assert line_names(named) == ("upper", "lower", "gas", "")
    assert "Marked: best at 5 rpm, 1 kN." in chart_words(named)


def test_bars_and_many_marks_are_told_by_their_range():
    told = chart_words(
        chart(
            labels=[Label("second", 0.4, 3, "○ at the red line")],
            marks=[Mark("second", k, 0.5 * k) for k in range(1, 6)],
            bars=[Bar("steel", k - 0.3, k + 0.3, 0, 4 - k) for k in (1, 2, 3)],
        )
    )
    assert "3 bars: from 1 kN at 3 rpm to a peak of 3 kN at 1 rpm" in told
    assert "Marked: 5 at the red line, 0.5 kN to 2.5 kN." in told


@RUNGS
def test_every_chart_of_the_ladder_names_its_lines_and_its_bound(rung):
    shown = [
        speed_chart(LADDER, rung, None),
        *(view(LADDER, rung) for _, view in view_of(rung.criterion).charts),
    ]
    for one in shown:
        told = chart_words(one)
        assert told.startswith(f"{one.title}. ")
        for name, line in zip(line_names(one), one.lines, strict=True):
            assert name or line.role in (*QUIET, "faint"), one.title
            assert name != "value", one.title
            assert line.role in QUIET or not name or f"{name}: " in told
    bound = UNITS["rpm"].from_si(LADDER.rated)
    assert f"rated: at {bound:.0f} rpm" in plain(chart_words(shown[0]))


def test_a_figure_bears_its_words_and_the_names_of_its_lines():
    picture = chart_picture("words")
    first = chart(Line("main", X, X / 5, "pull"), Line("allowed", [0, 10], [2, 2]))
    for shown in (first, chart(Line("gas", X, X / 5, "gas"))):
        draw(picture, shown)
        (told,) = picture.figure.tags
        assert plain(told["words"]) == plain(chart_words(shown))
    assert told["names"] == {"gas": ["gas"]}
