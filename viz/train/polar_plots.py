"""Polar diagrams of bearing loads: combined, gas only and inertia only, with rings and degrees.

Several diagrams share one figure and one scale; the browser lays them out in the room there is.
The angle counts from the frame's y axis in the sense of rotation, which is how the load turns.
"""

from dataclasses import dataclass
from typing import Any

from bokeh.models import Circle, ColumnDataSource, Line, Scatter, Segment, Text

from kinematics.units import shown_unit
from viz.style import BOTH, GAS, INERTIA, REFERENCE, Cause
from viz.themed import Picture, add_glyph, blank_figure, label_style


@dataclass(frozen=True, slots=True)
class Diagram:
    """One polar diagram: a row of the scene, of the selected cylinder if `index` is None."""

    row: str
    title: str
    index: int | None = None


@dataclass(frozen=True, slots=True)
class PolarPlot:
    """A figure of polar diagrams; `every_main` has one for each main bearing of the design.

    `most_loaded` has that main alone which carries the largest mean load.
    """

    name: str
    title: str
    diagrams: tuple[Diagram, ...]
    every_main: bool = False
    most_loaded: bool = False


BIG_END = PolarPlot(
    "big_end",
    "Big-end load",
    (
        Diagram("big_end_rod", "on the shell\nrod frame, 0° to the piston pin"),
        Diagram("big_end_crank", "on the crankpin\ncrank frame, 0° outward"),
    ),
)
MAIN_BEARINGS = PolarPlot(
    "main_bearings",
    "Main-bearing loads on the shells (block frame, 0° up)",
    (Diagram("main_block", "main", 0),),
    every_main=True,
)
LOADED_MAIN = PolarPlot(
    "loaded_main",
    "Load on the most loaded main (block frame, 0° up)",
    (Diagram("main_block", "main", 0),),
    most_loaded=True,
)
_TRACES: tuple[tuple[str, Cause], ...] = (
    ("reference", REFERENCE),
    ("gas", GAS),
    ("inertia", INERTIA),
    ("both", BOTH),
)


def polar_picture(plot: PolarPlot) -> Picture:
    """Return the figure of a polar plot, empty, and its feed."""
    canvas = blank_figure(plot.name)
    canvas.axis.visible = False
    canvas.grid.visible = False
    _grid(canvas, plot.name)
    _traces(canvas, plot.name)
    _cursor(canvas, plot.name)
    diagrams = [
        {"row": diagram.row, "title": diagram.title, "index": diagram.index}
        for diagram in plot.diagrams
    ]
    feed = {
        "kind": "polar",
        "name": plot.name,
        "title": plot.title,
        "diagrams": diagrams,
        "everyMain": plot.every_main,
        "mostLoaded": plot.most_loaded,
        "unit": shown_unit("kN").symbol,
    }
    return Picture(plot.name, plot.title, canvas, feed)


def _grid(canvas: Any, name: str) -> None:
    rings = ColumnDataSource({"x": [], "y": [], "radius": []}, name=f"{name}_rings")
    ring = Circle(x="x", y="y", radius="radius", fill_color=None, line_width=1)
    add_glyph(canvas, rings, ring, line_color="grid")
    spokes = ColumnDataSource({"x0": [], "y0": [], "x1": [], "y1": []}, name=f"{name}_spokes")
    spoke = Segment(x0="x0", y0="y0", x1="x1", y1="y1", line_width=1)
    add_glyph(canvas, spokes, spoke, line_color="grid")
    texts = ColumnDataSource(
        {"x": [], "y": [], "text": [], "align": [], "baseline": []}, name=f"{name}_texts"
    )
    text = Text(
        x="x", y="y", text="text", text_align="align", text_baseline="baseline", **label_style()
    )
    add_glyph(canvas, texts, text, text_color="muted")


def _traces(canvas: Any, name: str) -> None:
    columns: dict[str, list[float]] = {}
    for trace, _ in _TRACES:
        columns |= {f"{trace}_x": [], f"{trace}_y": []}
    source = ColumnDataSource(columns, name=f"{name}_data")
    for trace, cause in _TRACES:
        width = min(cause.width, 1.8)
        line = Line(x=f"{trace}_x", y=f"{trace}_y", line_width=width, line_dash=cause.dash)
        add_glyph(canvas, source, line, line_color=cause.role)


def _cursor(canvas: Any, name: str) -> None:
    peaks = ColumnDataSource({"x": [], "y": []}, name=f"{name}_peaks")
    peak = Scatter(x="x", y="y", size=10, marker="diamond", line_width=1.5)
    add_glyph(canvas, peaks, peak, fill_color="paper", line_color="text")
    source = ColumnDataSource({"x0": [], "y0": [], "x1": [], "y1": []}, name=f"{name}_cursor")
    vector = Segment(x0="x0", y0="y0", x1="x1", y1="y1", line_width=2)
    add_glyph(canvas, source, vector, level="overlay", line_color="text")
    point = Scatter(x="x1", y="y1", size=9, line_width=1.5)
    add_glyph(canvas, source, point, level="overlay", fill_color="text", line_color="paper")
