"""Sizes of free forces and moments by order, 0.5 … 8."""

from dataclasses import dataclass
from typing import Any

from bokeh.models import ColumnDataSource

from kinematics.units import shown_unit
from viz.style import BOTH, FIRST_ORDER, SECOND_ORDER, Cause
from viz.themed import Picture, blank_figure, browser_only, fixed_ticks, label_style, themed

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
    text = canvas.text(
        "x", "y", "text", source=texts, text_align="center", text_baseline="bottom",
        y_offset=-2, **label_style(),
    )  # fmt: skip
    themed(text.glyph, text_color="text")
    browser_only(canvas)
    return Picture(plot.name, plot.title, canvas, _feed(plot))


def _bars(canvas: Any, plot: OrderPlot, place: int, cause: Cause) -> None:
    """Add one component's bars, side by side with the others, and the reference's as ticks."""
    source = ColumnDataSource(
        {"left": [], "right": [], "size": [], "reference": []},
        name=f"{plot.name}_{place}",
    )
    bars = canvas.quad(left="left", right="right", bottom=0, top="size", source=source)
    bars.glyph.line_width = 1
    bars.glyph.hatch_pattern = (None, "/", "x")[place] if len(plot.components) > 1 else None
    themed(bars.glyph, fill_color=cause.role, line_color=cause.role, hatch_color="paper")
    ticks = canvas.segment("left", "reference", "right", "reference", source=source, line_width=3)
    themed(ticks.glyph, line_color="reference")


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
