"""Bokeh models that name the theme's colours, so that the browser can change the theme."""

from dataclasses import dataclass
from typing import Any, TypeVar

from bokeh.core.properties import value
from bokeh.model import Model
from bokeh.models import ColumnDataSource, FixedTicker, NoOverlap, Range1d
from bokeh.models.glyph import Glyph
from bokeh.plotting import figure

from viz.style import FONT, LABEL_SIZE, LIGHT

AnyModel = TypeVar("AnyModel", bound=Model)


@dataclass(frozen=True, slots=True)
class Picture:
    """A figure and what the browser needs to feed it from a scene (`feed`, plain JSON)."""

    name: str
    title: str
    figure: Any
    feed: dict[str, Any]


def themed(model: AnyModel, **roles: str) -> AnyModel:
    """Give colour properties of a model the colours of roles, and note them in its tags."""
    for name, role in roles.items():
        setattr(model, name, LIGHT[role])
    model.tags = [*model.tags, *(f"{name}={role}" for name, role in roles.items())]
    return model


def add_glyph(
    canvas: Any, source: ColumnDataSource, glyph: Glyph, *, level: str = "glyph", **roles: str
) -> None:
    """Draw a source's rows in a figure, in the colours of roles.

    One glyph stands for all states: nothing is selected or muted, and a figure is built faster.
    """
    canvas.add_glyph(
        source, themed(glyph, **roles), level=level,
        selection_glyph=None, nonselection_glyph=None, muted_glyph=None,
    )  # fmt: skip


def glyphs(canvas: Any, *kinds: type[Glyph]) -> list[Any]:
    """Return the glyphs of some kinds that a figure draws."""
    return [drawn.glyph for drawn in canvas.renderers if isinstance(drawn.glyph, kinds)]


def blank_figure(name: str, **options: Any) -> Any:
    """Return a see-through figure without tool bar, with fixed ranges, that fills its place."""
    plot = figure(
        name=f"{name}_figure",
        sizing_mode="stretch_both",
        toolbar_location=None,
        tools="",
        x_range=Range1d(start=0, end=1),
        y_range=Range1d(start=0, end=1),
        min_border=4,
        output_backend="canvas",
        **options,
    )
    plot.background_fill_color = plot.border_fill_color = plot.outline_line_color = None
    for axis in plot.axis:
        themed(
            axis,
            axis_label_text_color="text",
            major_label_text_color="text",
            axis_line_color="zero",
            major_tick_line_color="zero",
        )
        axis.minor_tick_line_color = None
        axis.major_label_policy = NoOverlap(min_distance=6)
        axis.axis_label_text_font = axis.major_label_text_font = FONT
        axis.axis_label_text_font_size = axis.major_label_text_font_size = LABEL_SIZE
        axis.axis_label_text_font_style = "normal"
    for grid in plot.grid:
        themed(grid, grid_line_color="grid")
    return plot


def label_style() -> dict[str, Any]:
    """Return the text style of direct labels."""
    return {"text_font": value(FONT), "text_font_size": LABEL_SIZE}


def fixed_ticks(ticks: list[float]) -> FixedTicker:
    """Return a ticker with the given major ticks and no minor ones."""
    return FixedTicker(ticks=ticks, minor_ticks=[])
