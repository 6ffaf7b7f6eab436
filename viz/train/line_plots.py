"""Curves over the crank angle, each with the cursor, the strokes and the reference."""

from dataclasses import dataclass
from typing import Any

from bokeh.core.properties import value
from bokeh.models import ColumnDataSource, Line, Quad, Text
from bokeh.models.annotations import Span

from kinematics.units import as_shown, shown_unit
from viz.style import BOTH, FIRST_ORDER, FONT, GAS, INERTIA, MEAN, REFERENCE, SECOND_ORDER, Cause
from viz.themed import (
    Picture,
    add_glyph,
    blank_figure,
    fixed_ticks,
    label_style,
    themed,
)


@dataclass(frozen=True, slots=True)
class Curve:
    """One line: which row of the scene it shows, and how."""

    row: str
    cause: Cause
    label: str
    part: str = "both"  # gas, inertia, both, or mean
    component: int | None = None
    with_reference: bool = False  # the reference is drawn of this line


@dataclass(frozen=True, slots=True)
class LinePlot:
    """A plot over the crank angle; `smallest` is the least half height of its axis, in `unit`."""

    name: str
    title: str
    unit: str  # a key of UNITS
    curves: tuple[Curve, ...]
    of_cylinder: bool
    smallest: float
    names_angle: bool = True  # the plots over it in a column leave that to the last
    most: tuple[str, float] | None = None  # the axis ends at so many times this row


def _split(row: str) -> tuple[Curve, ...]:
    return (
        Curve(row, GAS, "gas", "gas"),
        Curve(row, INERTIA, "inertia", "inertia"),
        Curve(row, BOTH, "total", with_reference=True),
    )


LINE_PLOTS = (
    LinePlot(
        "acceleration",
        "Piston acceleration",
        "km_s2",
        (
            Curve("acceleration_first", FIRST_ORDER, "1st order"),
            Curve("acceleration_second", SECOND_ORDER, "2nd order"),
            Curve("acceleration", BOTH, "exact", with_reference=True),
        ),
        True,
        0.01,
        False,
    ),
    LinePlot(
        "rod_force",
        "Rod force, compression +",
        "kN",
        _split("rod_force"),
        True,
        0.1,
        False,
    ),
    LinePlot(
        "side_thrust",
        "Side thrust, major side +",
        "kN",
        _split("side_thrust"),
        True,
        0.05,
        False,
    ),
    LinePlot(
        "crank_torque",
        "Crank torque",
        "Nm",
        (*_split("crank_torque"), Curve("crank_torque", MEAN, "mean", "mean")),
        False,
        1.0,
    ),
    LinePlot(
        "cylinder_pressure",
        "Cylinder pressure",
        "bar",
        (Curve("cylinder_pressure", BOTH, "absolute", with_reference=True),),
        True,
        0.1,
    ),
    LinePlot(
        "free_force",
        "Free force",
        "N",
        (
            Curve("free_force", FIRST_ORDER, "lateral x", component=0, with_reference=True),
            Curve("free_force", BOTH, "vertical y", component=1, with_reference=True),
        ),
        False,
        1.0,
    ),
    LinePlot(
        "free_moment",
        "Free moment",
        "Nm",
        (
            Curve("free_moment", FIRST_ORDER, "pitching", component=0, with_reference=True),
            Curve("free_moment", SECOND_ORDER, "yawing", component=1, with_reference=True),
            Curve("free_moment", BOTH, "rolling", component=2, with_reference=True),
        ),
        False,
        1.0,
    ),
)


def line_picture(plot: LinePlot) -> Picture:
    """Return the figure of a plot, empty, and its feed."""
    canvas = blank_figure(plot.name, y_axis_label=shown_unit(plot.unit).symbol)
    canvas.x_range.end = 720
    canvas.xaxis.ticker = fixed_ticks(list(range(0, 721, 90)))
    canvas.xaxis.formatter.use_scientific = False
    canvas.xaxis.axis_label = "crank angle φ, °" if plot.names_angle else None
    canvas.yaxis.ticker.desired_num_ticks = 5
    _strokes(canvas, plot)
    canvas.add_layout(
        themed(Span(dimension="width", location=0, line_width=1.4), line_color="zero")
    )
    _curves(canvas, plot)
    _labels(canvas, plot)
    _cursor(canvas, plot)
    return Picture(plot.name, plot.title, canvas, _feed(plot))


def _strokes(canvas: Any, plot: LinePlot) -> None:
    """Add the strokes of the selected cylinder as quiet bands with their names."""
    if not plot.of_cylinder:
        return
    columns = ("left", "right", "middle", "top", "name", "shade")
    source = ColumnDataSource({column: [] for column in columns}, name=f"{plot.name}_strokes")
    bands = Quad(
        left="left", right="right", bottom=-1e9, top=1e9, line_color=None, fill_alpha="shade"
    )
    add_glyph(canvas, source, bands, level="underlay", fill_color="band")
    names = Text(
        x="middle", y="top", text="name", text_align="center", text_baseline="top", y_offset=3,
        text_font=value(FONT), text_font_size="12px",
    )  # fmt: skip
    add_glyph(canvas, source, names, text_color="muted")


def _curves(canvas: Any, plot: LinePlot) -> None:
    columns: dict[str, list[float]] = {"angle": []}
    for place in range(len(plot.curves)):
        columns[f"y{place}"] = []
        columns[f"reference{place}"] = []
    source = ColumnDataSource(columns, name=f"{plot.name}_data")
    for place, curve in enumerate(plot.curves):
        if curve.with_reference:
            line = Line(x="angle", y=f"reference{place}", line_width=REFERENCE.width)
            add_glyph(canvas, source, line, line_color=REFERENCE.role)
    for place, curve in enumerate(plot.curves):
        cause = curve.cause
        line = Line(x="angle", y=f"y{place}", line_width=cause.width, line_dash=cause.dash)
        add_glyph(canvas, source, line, line_color=cause.role)


def _labels(canvas: Any, plot: LinePlot) -> None:
    """Add the direct labels, each in the colour of its curve, which the browser sets."""
    columns: dict[str, list[Any]] = {"x": [], "y": [], "text": [], "colour": []}
    source = ColumnDataSource(columns, name=f"{plot.name}_labels")
    labels = Text(
        x="x", y="y", text="text", text_color="colour", text_baseline="bottom", y_offset=-4,
        **label_style(),
    )  # fmt: skip
    add_glyph(canvas, source, labels)


def _cursor(canvas: Any, plot: LinePlot) -> None:
    cursor = Span(dimension="height", location=0, line_width=1.5, level="overlay")
    cursor.name = f"{plot.name}_cursor"
    canvas.add_layout(themed(cursor, line_color="text"))


def _feed(plot: LinePlot) -> dict[str, Any]:
    return {
        "kind": "line",
        "name": plot.name,
        "title": plot.title,
        "unit": shown_unit(plot.unit).symbol,
        "ofCylinder": plot.of_cylinder,
        "smallest": as_shown(plot.smallest, plot.unit),
        "most": None if plot.most is None else {"row": plot.most[0], "times": plot.most[1]},
        "curves": [
            {
                "row": curve.row,
                "label": curve.label,
                "role": curve.cause.role,
                "part": curve.part,
                "component": curve.component,
                "with_reference": curve.with_reference,
            }
            for curve in plot.curves
        ],
    }
