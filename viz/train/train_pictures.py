"""The figures that the moving train feeds: curves over the angle, polar loads, orders."""

from collections.abc import Sequence

from viz.themed import Picture
from viz.train.line_plots import LINE_PLOTS, LinePlot, line_picture
from viz.train.order_plots import ORDER_PLOTS, order_picture
from viz.train.polar_plots import BIG_END, MAIN_BEARINGS, polar_picture


def train_pictures(curves: Sequence[LinePlot] = LINE_PLOTS) -> list[Picture]:
    """Return the empty figures; `curves` are the plots over the angle."""
    return [
        *(line_picture(plot) for plot in curves),
        *(polar_picture(plot) for plot in (BIG_END, MAIN_BEARINGS)),
        *(order_picture(plot) for plot in ORDER_PLOTS),
    ]
