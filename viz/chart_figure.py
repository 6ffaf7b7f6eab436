"""The figure of a chart, each part in the colour of its role.

The figures are built once; `draw` puts a `Chart` into one of them.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from bokeh.models import (
    AdaptiveTicker,
    ColumnDataSource,
    CustomJS,
    MultiLine,
    Quad,
    Scatter,
    Text,
)

from viz.chart import Chart
from viz.chart_words import chart_words, line_names
from viz.number_words import unbroken
from viz.style import FIRST_ORDER, GAS, MEAN, REFERENCE, SECOND_ORDER
from viz.themed import Picture, add_glyph, blank_figure, fixed_ticks, label_style

# role in a chart: (role of the theme's colour, dash, width)
ROLES: dict[str, tuple[str, str, float]] = {
    "main": ("text", "solid", 2.4),
    "gas": (GAS.role, GAS.dash, GAS.width),
    "inertia": (FIRST_ORDER.role, "dotdash", 1.8),
    "second": (SECOND_ORDER.role, "dotted", 2.2),
    "mean": (MEAN.role, MEAN.dash, 1.8),
    "allowed": ("bad", "dashed", 2.0),
    "reference": (REFERENCE.role, "solid", REFERENCE.width),
    "faint": ("muted", "dotted", 1.2),
    "ring": ("grid", "solid", 1.0),
}
_EQUAL_SCALES = """
if (plot.properties.inner_width.is_unset || plot.properties.inner_height.is_unset) return;
const half = ((plot.y_range.end - plot.y_range.start) / 2) * (plot.inner_width / plot.inner_height);
if (Number.isFinite(half)) plot.x_range.setv({ start: -half, end: half });
"""
BAR_ROLES = ("steel", "band")
BAR_COLUMNS = ("left", "right", "bottom", "top", "name")


@dataclass(frozen=True, slots=True)
class ChartPicture(Picture):
    """A figure for charts with its sources by name, for finding them is slow."""

    sources: dict[str, ColumnDataSource]
    axes: tuple[Any, Any]
    free: AdaptiveTicker
    polar: bool


def chart_picture(name: str, title: str = "", *, polar: bool = False) -> ChartPicture:
    """Return an empty figure for charts; a polar one has equal scales and no axes.

    `title` is what its caption says until a chart is drawn.
    """
    canvas = blank_figure(name)
    if polar:
        canvas.axis.visible = canvas.grid.visible = False
        equal = CustomJS(args={"plot": canvas}, code=_EQUAL_SCALES)
        for side in ("inner_width", "inner_height"):
            canvas.js_on_change(side, equal)
        for end in ("start", "end"):
            canvas.y_range.js_on_change(end, equal)
    _bars(canvas, name)
    for role, (colour, dash, width) in ROLES.items():
        source = _source(f"{name}_{role}_lines", "xs", "ys")
        lines = MultiLine(xs="xs", ys="ys", line_width=width, line_dash=dash)
        add_glyph(canvas, source, lines, line_color=colour)
    for role, (colour, _, _) in ROLES.items():
        _marks_and_labels(canvas, name, role, colour)
    free = AdaptiveTicker(desired_num_ticks=5)
    canvas.xaxis.ticker = free
    sources = {drawn.data_source.name: drawn.data_source for drawn in canvas.renderers}
    axes = (canvas.xaxis[0], canvas.yaxis[0])
    return ChartPicture(name, title, canvas, {}, sources, axes, free, polar)


def chart_message(chart: Chart) -> dict[str, Any]:
    """Return what a figure shows of a chart, as the browser takes it.

    `sources` are the columns of each source that holds something, by the end of its name.
    """
    sources: dict[str, dict[str, Any]] = {}
    for role in ROLES:
        lines = [line for line in chart.lines if line.role == role]
        sources[f"{role}_lines"] = {
            "xs": [_plain(line.x) for line in lines],
            "ys": [_plain(line.y) for line in lines],
        }
        marks = [mark for mark in chart.marks if mark.role == role]
        sources[f"{role}_marks"] = {
            "x": [mark.x for mark in marks], "y": [mark.y for mark in marks],
        }  # fmt: skip
        labels = [label for label in chart.labels if label.role == role]
        sources[f"{role}_labels"] = {
            "x": [label.x for label in labels], "y": [label.y for label in labels],
            "text": [label.text for label in labels], "align": [label.align for label in labels],
        }  # fmt: skip
    for role in BAR_ROLES:
        bars = [bar for bar in chart.bars if bar.role == role]
        sources[f"{role}_bars"] = {side: [getattr(bar, side) for bar in bars]
                                   for side in BAR_COLUMNS}  # fmt: skip
    return {
        "told": _told(chart),
        "x_label": chart.x_label,
        "y_label": chart.y_label,
        "x_ticks": list(chart.x_ticks),
        "x_range": list(chart.x_range),
        "y_range": list(chart.y_range),
        "sources": {end: columns for end, columns in sources.items() if any(columns.values())},
    }


def draw(picture: ChartPicture, chart: Chart) -> None:
    """Show a chart in a figure."""
    message, canvas, (x_axis, y_axis) = chart_message(chart), picture.figure, picture.axes
    canvas.tags = [message["told"]]
    x_axis.axis_label = message["x_label"]
    x_axis.ticker = fixed_ticks(message["x_ticks"]) if chart.x_ticks else picture.free
    y_axis.axis_label = message["y_label"]
    if not picture.polar:
        canvas.x_range.update(start=chart.x_range[0], end=chart.x_range[1])
    canvas.y_range.update(start=chart.y_range[0], end=chart.y_range[1])
    for name, source in picture.sources.items():
        columns = message["sources"].get(name.removeprefix(f"{picture.name}_"))
        source.data = columns or {column: [] for column in source.data}


def _told(chart: Chart) -> dict[str, Any]:
    """Return what the browser says of a chart: its words, and by role the names of its lines."""
    named = list(zip(chart.lines, line_names(chart), strict=True))
    names = {role: [name for line, name in named if line.role == role] for role in ROLES}
    return {
        "words": unbroken(chart_words(chart)),
        "names": {role: n for role, n in names.items() if n},
    }


def _plain(values: Any) -> list[float]:
    """Return numbers as a list that JSON can carry, NaN kept."""
    return np.asarray(values, dtype=np.float32).tolist()


def _bars(canvas: Any, name: str) -> None:
    for role in BAR_ROLES:
        source = _source(f"{name}_{role}_bars", *BAR_COLUMNS)
        bars = Quad(left="left", right="right", bottom="bottom", top="top", line_width=1)
        edge = "edge" if role == "steel" else role
        add_glyph(canvas, source, bars, fill_color=role, line_color=edge)


def _marks_and_labels(canvas: Any, name: str, role: str, colour: str) -> None:
    """Add the role's marks, and its labels on paper that keeps them legible."""
    source = _source(f"{name}_{role}_marks", "x", "y")
    marks = Scatter(x="x", y="y", size=9, line_width=2)
    add_glyph(canvas, source, marks, fill_color="paper", line_color=colour)
    source = _source(f"{name}_{role}_labels", "x", "y", "text", "align")
    labels = Text(
        x="x", y="y", text="text", text_align="align", text_baseline="bottom", y_offset=-3,
        background_fill_alpha=0.75, **label_style(),
    )  # fmt: skip
    ink = "muted" if role in ("ring", "reference", "faint") else colour
    add_glyph(canvas, source, labels, text_color=ink, background_fill_color="paper")


def _source(name: str, *columns: str) -> ColumnDataSource:
    return ColumnDataSource({column: [] for column in columns}, name=name)
