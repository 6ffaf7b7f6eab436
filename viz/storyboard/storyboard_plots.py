"""The figures of a presentation: what a scene feeds, and charts of limits, full load and shaft.

The browser sets them in type that grows with the stage.
"""

from dataclasses import replace
from functools import lru_cache
from typing import Any

from bokeh.models import Line, MultiLine

from kinematics.balancing.scatter_study import ScatterStudy
from kinematics.design.design import Design
from kinematics.limits.speed_limits import speed_limits
from kinematics.shaft.counterweight_choice import Choice, CounterweightChoice
from kinematics.train.cycle import Cycle
from viz.chart import Chart, Label
from viz.chart_figure import ChartPicture, chart_picture
from viz.limits.limit_charts import rung_charts
from viz.shaft.scatter_charts import share_chart, share_pictures, size_chart
from viz.shaft.shaft_pictures import main_loads, mains_chart, moment_chart
from viz.shaft.shaft_trade_off import Front, front_chart
from viz.themed import Picture, glyphs
from viz.train.full_load_charts import OVER_SPEED, full_load_charts
from viz.train.train_pictures import single_pictures

FIGURES = {  # figure by picture
    "limit": "limit_speed",
    "limit_own": "limit_own",
    "shaft_mains": "shaft_mains",
    "shaft_moment": "shaft_moment",
    "shaft_front": "shaft_front",
    "scatter_sizes": "scatter_sizes",
    "scatter_shares": "scatter_shares",
    **{shown.name: shown.name for shown in OVER_SPEED},
}
FULL_LOAD = tuple(shown.name for shown in OVER_SPEED)
SCATTER = {"scatter_sizes": size_chart, "scatter_shares": share_chart}
MEASURE = "peak"  # main load that the trade-off is against
WIDER = 1.5  # lines, over those of the other pages


def storyboard_curves() -> tuple[Picture, ...]:
    """Return the empty figures that a scene feeds: over the crank angle, polar, by order."""
    pictures = single_pictures()
    for picture in pictures:
        _strengthen(picture.figure)
    return pictures


def storyboard_charts() -> tuple[ChartPicture, ...]:
    """Return the empty figures of charts: limits, full load, loads and scatter of the shaft."""
    plain = [name for name in FIGURES.values() if name not in SCATTER]
    pictures = (*(chart_picture(name) for name in plain), *share_pictures())
    for picture in pictures:
        picture.free.desired_num_ticks = 4  # large figures need room
        _strengthen(picture.figure)
    return pictures


def storyboard_chart(
    picture: str, rung: str, now: Cycle, reference: Cycle | None, study: ScatterStudy | None = None
) -> Chart | None:
    """Return the chart of a picture, a key of `FIGURES`; None where the design has none.

    `rung` is the key of the limit that it is of; `study` is that of the tolerances. Raises
    DesignError where the trade-off cannot be had.
    """
    if picture in SCATTER:
        return None if study is None else _at_example_tolerances(SCATTER[picture](study))
    if picture == "shaft_front":
        return minimum_inertia(now)
    before_design = None if reference is None else reference.design
    if picture in FULL_LOAD:
        return full_load_charts(now.design, before_design)[picture]
    if picture == "shaft_mains":
        return mains_chart(main_loads(now, reference)[0], now.speed)
    if picture == "shaft_moment":
        return moment_chart(now.design, before_design, now.speed)
    before_ladder = None if reference is None else speed_limits(reference.design)
    charts = rung_charts(speed_limits(now.design), rung, before_ladder)
    return charts.get(FIGURES[picture])


def _at_example_tolerances(chart: Chart) -> Chart:
    """Return a chart that says on the slide which tolerances it is of."""
    (_, right), (bottom, top) = chart.x_range, chart.y_range
    place = 0.99 * right, bottom + 0.01 * (top - bottom)
    return replace(
        chart, labels=(*chart.labels, Label("faint", *place, "at the example tolerances", "right"))
    )


@lru_cache(maxsize=8)
def _choices(design: Design, speed: float) -> tuple[CounterweightChoice, tuple[Choice, ...]]:
    problem = CounterweightChoice(design, speed, MEASURE)
    return problem, problem.front()


def minimum_inertia(cycle: Cycle) -> Chart:
    """Return counterweights of minimum inertia over main load, opposite their pins.

    Raises DesignError where the design has none.
    """
    problem, front = _choices(cycle.design, cycle.speed)
    present = problem.choice(problem.present)
    return front_chart(Front(front, present, -1, MEASURE, cycle.speed))


def _strengthen(canvas: Any) -> None:
    for line in glyphs(canvas, Line, MultiLine):
        line.line_width = WIDER * line.line_width
