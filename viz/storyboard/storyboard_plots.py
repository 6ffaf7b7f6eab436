"""The figures of a presentation: what a scene feeds, and charts of limits and shaft.

The browser sets them in type that grows with the stage.
"""

from typing import Any

from bokeh.models import Line, MultiLine

from kinematics.limits.speed_limits import speed_limits
from kinematics.train.cycle import Cycle
from viz.chart import Chart
from viz.chart_figure import ChartPicture, chart_picture
from viz.limits.limit_charts import rung_charts
from viz.shaft.shaft_pictures import main_loads, mains_chart, moment_chart
from viz.themed import Picture, glyphs
from viz.train.train_pictures import lesson_pictures

FIGURES = {  # figure by picture
    "limit": "limit_speed",
    "limit_own": "limit_own",
    "shaft_mains": "shaft_mains",
    "shaft_moment": "shaft_moment",
}
WIDER = 1.5  # lines, over those of the other pages


def storyboard_curves() -> tuple[Picture, ...]:
    """Return the empty figures that a scene feeds: over the crank angle, polar, by order."""
    pictures = lesson_pictures()
    for picture in pictures:
        _strengthen(picture.figure)
    return pictures


def storyboard_charts() -> tuple[ChartPicture, ...]:
    """Return the empty figures of charts: a limit over speed, its own, loads of the shaft."""
    pictures = tuple(chart_picture(name) for name in FIGURES.values())
    for picture in pictures:
        picture.free.desired_num_ticks = 4  # large figures need room
        _strengthen(picture.figure)
    return pictures


def storyboard_chart(picture: str, rung: str, now: Cycle, reference: Cycle | None) -> Chart | None:
    """Return the chart of a picture, a key of `FIGURES`; None where the design has none.

    `rung` is the key of the limit that it is of.
    """
    if picture == "shaft_mains":
        return mains_chart(main_loads(now, reference)[0], now.speed)
    if picture == "shaft_moment":
        before = None if reference is None else reference.design
        return moment_chart(now.design, before, now.speed)
    before_ladder = None if reference is None else speed_limits(reference.design)
    charts = rung_charts(speed_limits(now.design), rung, before_ladder)
    return charts.get(FIGURES[picture])


def _strengthen(canvas: Any) -> None:
    for line in glyphs(canvas, Line, MultiLine):
        line.line_width = WIDER * line.line_width
