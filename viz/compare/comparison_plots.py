"""Curves of two designs over the crank angle, one quantity a plot: B full, A thin and grey."""

from bokeh.models import Line

from viz.style import BOTH, REFERENCE
from viz.themed import Picture, glyphs
from viz.train.line_plots import Curve, LinePlot, line_picture

WIDTH = 2.0  # of A's line [px]


def _plot(
    row: str, title: str, unit: str, smallest: float, component: int | None = None
) -> LinePlot:
    name = row if component is None else f"{row}_{component}"
    curve = Curve(row, BOTH, "B", component=component, with_reference=True)
    return LinePlot(f"compared_{name}", title, unit, (curve,), component is None, smallest)


COMPARED_PLOTS = (
    _plot("rod_force", "Rod force, compression +", "kN", 0.1),
    _plot("side_thrust", "Side thrust, major side +", "kN", 0.05),
    _plot("crank_torque", "Crank torque", "Nm", 1.0, 0),
    _plot("acceleration", "Piston acceleration", "km_s2", 0.01),
    _plot("cylinder_pressure", "Cylinder pressure", "bar", 0.1),
    _plot("displacement", "Piston travel from TDC", "mm", 0.1),
    _plot("free_force", "Free force, lateral", "N", 1.0, 0),
    _plot("free_force", "Free force, vertical", "N", 1.0, 1),
    _plot("free_moment", "Free moment, pitching", "Nm", 1.0, 0),
    _plot("free_moment", "Free moment, yawing", "Nm", 1.0, 1),
    _plot("free_moment", "Free moment, rolling", "Nm", 1.0, 2),
)
MAIN_PLOTS = ("compared_rod_force", "compared_side_thrust", "compared_crank_torque_0",
         "compared_acceleration")  # fmt: skip


def compared_pictures() -> list[Picture]:
    """Return the empty figures, A's line strong enough to be read beside B's."""
    pictures = [line_picture(plot) for plot in COMPARED_PLOTS]
    for picture in pictures:
        for line in glyphs(picture.figure, Line):
            if f"line_color={REFERENCE.role}" in line.tags:
                line.line_width = WIDTH
    return pictures
