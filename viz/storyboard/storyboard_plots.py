"""The figures of a presentation: curves over the crank angle, and a limit over speed.

The browser sets them in type that grows with the stage.
"""

from typing import Any

from bokeh.models import Line, MultiLine

from viz.chart_figure import ChartPicture, chart_picture
from viz.themed import Picture, glyphs
from viz.train.line_plots import LINE_PLOTS, line_picture

LIMIT = "limit_speed"
WIDER = 1.5  # lines, over those of the other pages


def storyboard_curves() -> tuple[Picture, ...]:
    """Return the empty figures over the crank angle."""
    curves = tuple(line_picture(plot) for plot in LINE_PLOTS)
    for picture in curves:
        picture.figure.xaxis[0].axis_label = "crank angle φ, °"
        _strengthen(picture.figure)
    return curves


def storyboard_charts() -> tuple[ChartPicture, ...]:
    """Return the empty figure of a limit over speed."""
    limit = chart_picture(LIMIT)
    limit.free.desired_num_ticks = 4  # large figures need room
    _strengthen(limit.figure)
    return (limit,)


def _strengthen(canvas: Any) -> None:
    for line in glyphs(canvas, Line, MultiLine):
        line.line_width = WIDER * line.line_width
