"""Sizes of free forces and moments by order, 0.5 … 8."""

from dataclasses import dataclass
from typing import Any

from bokeh.models import ColumnDataSource, Quad, Segment, Text

from kinematics.units import shown_unit
from viz.style import BOTH, FIRST_ORDER, SECOND_ORDER, Cause
from viz.themed import Picture, add_glyph, blank_figure, fixed_ticks, label_style

WIDTH = 0.14


@dataclass(frozen=True, slots=True)
class OrderPlot:
    """A bar for each order and component of "force" or "moment"."""

    name: str
    title: str
    unit: str  # a key of UNITS
    kind: str
    components: tuple[tuple[str, Cause], ...]


ORDER_PLOTS = (
    OrderPlot(
        "force_orders",
        "Free force by order",
        "N",
        "force",
        (("lateral x", FIRST_ORDER), ("vertical y", BOTH)),
    ),
    OrderPlot(
        "moment_orders",
        "Free moment by order",
        "Nm",
        "moment",
        (("pitching", FIRST_ORDER), ("yawing", SECOND_ORDER), ("rolling", BOTH)),
    ),
)


def order_picture(plot: OrderPlot) -> Picture:
    """Return the figure of an order plot, empty, and its feed."""
    canvas = blank_figure(plot.name, y_axis_label=shown_unit(plot.unit).symbol)
    canvas.x_range.start, canvas.x_range.end = 0.1, 8.5
    canvas.xaxis.ticker = fixed_ticks([float(order) for order in range(1, 9)])
    canvas.xaxis.axis_label = "order, per crank turn"
    canvas.xgrid.visible = False
    canvas.yaxis.ticker.desired_num_ticks = 4
    for place, (_, cause) in enumerate(plot.components):
        _bars(canvas, plot, place, cause)
    texts = ColumnDataSource({"x": [], "y": [], "text": []}, name=f"{plot.name}_texts")
    text = Text(
        x="x", y="y", text="text", text_align="center", text_baseline="bottom", y_offset=-2,
        **label_style(),
    )  # fmt: skip
    add_glyph(canvas, texts, text, text_color="text")
    return Picture(plot.name, plot.title, canvas, _feed(plot))


def _bars(canvas: Any, plot: OrderPlot, place: int, cause: Cause) -> None:
    """Add one component's bars, side by side with the others, and the reference's as ticks."""
    source = ColumnDataSource(
        {"left": [], "right": [], "size": [], "reference": []},
        name=f"{plot.name}_{place}",
    )
    hatch = (None, "/", "x")[place] if len(plot.components) > 1 else None
    bars = Quad(left="left", right="right", bottom=0, top="size", line_width=1, hatch_pattern=hatch)
    colour = cause.role
    add_glyph(canvas, source, bars, fill_color=colour, line_color=colour, hatch_color="paper")
    ticks = Segment(x0="left", y0="reference", x1="right", y1="reference", line_width=3)
    add_glyph(canvas, source, ticks, line_color="reference")


def _feed(plot: OrderPlot) -> dict[str, Any]:
    return {
        "kind": "orders",
        "name": plot.name,
        "title": plot.title,
        "unit": shown_unit(plot.unit).symbol,
        "of": plot.kind,
        "width": WIDTH,
        "smallest": 1.0,
        "components": [label for label, _ in plot.components],
    }
