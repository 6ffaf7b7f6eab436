"""The rungs' charts: each design's every rung draws, finite, with units, within its ranges."""

import dataclasses
import json
import math
from functools import cache

import numpy as np
import pytest

from assets_demo import DEMO_DESIGNS
from tests.demos import demo_ladder
from viz.chart import Chart, Line
from viz.chart_figure import ROLES, chart_message, chart_picture, draw
from viz.limits.criterion_views import view_of
from viz.limits.limit_charts import rung_charts, speed_chart


@cache
def own_against_speed(stem: str) -> tuple[Chart, ...]:
    """The charts against speed of a demo's rungs, each its own reference, in the ladder's order."""
    ladder = demo_ladder(stem)
    return tuple(speed_chart(ladder, rung, rung) for rung in ladder)


def inside(chart: Chart, x: float, y: float) -> bool:
    (left, right), (bottom, top) = chart.x_range, chart.y_range
    return left <= x <= right and bottom <= y <= top


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_every_rung_has_charts_that_can_be_read(stem):
    ladder = demo_ladder(stem)
    for rung, against_speed in zip(ladder.rungs, own_against_speed(stem), strict=True):
        key = rung.criterion.key
        own = [make(ladder, rung) for _, make in view_of(rung.criterion).charts]
        for chart in (against_speed, *own):
            assert chart.title, key
            if not view_of(rung.criterion).polar:
                assert chart.x_label, key
                assert chart.y_label, key
            assert chart.lines, key
            for line in chart.lines:
                assert line.role in ROLES
                assert len(line.x) == len(line.y), key
                assert np.isfinite(np.asarray(line.x, dtype=float)).all(), key
            for label in chart.labels:
                assert inside(chart, label.x, label.y), (key, chart.title, label)


def test_the_speed_chart_meets_its_allowable_at_the_limit():
    """Of every rung of the touring six that has its limit on the chart."""
    ladder, marked = demo_ladder("touring_six"), 0
    for rung, chart in zip(ladder.rungs, own_against_speed("touring_six"), strict=True):
        if chart.marks:
            mark, curve = chart.marks[0], chart.lines[0]
            at = np.interp(mark.x, np.asarray(curve.x), np.nan_to_num(np.asarray(curve.y), nan=1e9))
            assert at == pytest.approx(mark.y, rel=0.02), rung.criterion.key
            marked += 1
    assert marked == sum(0 < rung.limit < math.inf for rung in ladder.rungs)


def test_drawing_fills_the_sources_and_a_second_drawing_leaves_nothing_behind():
    picture = chart_picture("limit_own")
    first = Chart("a", "x", "y", (0, 1), (0, 2), (Line("gas", [0, 1], [0, 1]),))
    draw(picture, first)
    assert picture.sources["limit_own_gas_lines"].data["xs"] == [[0.0, 1.0]]
    draw(picture, dataclasses.replace(first, lines=()))
    assert picture.sources["limit_own_gas_lines"].data["xs"] == []
    assert (picture.figure.y_range.start, picture.figure.y_range.end) == (0, 2)


def test_the_reference_rung_is_drawn_grey():
    reference = demo_ladder("short_rod_six")
    charts = rung_charts(demo_ladder("touring_six"), "joint_opening", reference)
    grey = chart_message(charts["limit_speed"])["sources"]["reference_lines"]
    assert len(grey["xs"]) == 1
    charts = rung_charts(demo_ladder("touring_six"), "joint_opening", None)
    assert "reference_lines" not in chart_message(charts["limit_speed"])["sources"]


def test_a_charts_message_is_what_python_draws_of_it():
    chart = rung_charts(demo_ladder("touring_six"), "joint_opening", None)["limit_speed"]
    picture, message = chart_picture("limit_speed"), chart_message(chart)
    draw(picture, chart)
    for name, source in picture.sources.items():
        columns = message["sources"].get(name.removeprefix("limit_speed_"))
        if columns is None:
            assert not any(source.data.values()), name
        else:
            assert json.dumps(dict(source.data)) == json.dumps(columns), name  # of NaN too
    assert set(message["sources"]) <= {
        name.removeprefix("limit_speed_") for name in picture.sources
    }
