"""The figures that the moving train feeds: curves over the angle, polar loads, orders."""

from dataclasses import replace

from viz.themed import Picture
from viz.train.line_plots import LINE_PLOTS, line_picture
from viz.train.order_plots import ORDER_PLOTS, order_picture
from viz.train.polar_plots import BIG_END, LOADED_MAIN, MAIN_BEARINGS, polar_picture


def train_pictures() -> tuple[Picture, ...]:
    """Return the empty figures, those over the angle as they stand in a column."""
    return (*(line_picture(plot) for plot in LINE_PLOTS), *_other_pictures())


def lesson_pictures() -> tuple[Picture, ...]:
    """Return the figures of lessons: those that stand alone, and the most loaded main's, large."""
    return (*single_pictures(), polar_picture(LOADED_MAIN))


def single_pictures() -> tuple[Picture, ...]:
    """Return the same figures as each stands alone: all name the angle."""
    curves = (replace(plot, names_angle=True) for plot in LINE_PLOTS)
    return (*(line_picture(plot) for plot in curves), *_other_pictures())


def _other_pictures() -> tuple[Picture, ...]:
    return (
        *(polar_picture(plot) for plot in (BIG_END, MAIN_BEARINGS)),
        *(order_picture(plot) for plot in ORDER_PLOTS),
    )
