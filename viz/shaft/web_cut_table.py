"""What chamfer and pocket take off one web, as a table of the shaft's page."""

from kinematics import Design
from kinematics.design.shaft_throw import shaft_density, web_parts
from kinematics.mechanics.web_lightening import WebSolid
from viz.number_words import as_drawn, axis
from viz.shaft.shaft_table import Cell, Table

WEB_NOTES = (
    "Web lightening: each cut where it is, by integration over its slices; % of the flat web. "
    "Centre: along the shaft, from the web's face at the crankpin. Stiffness and nominal stress "
    "leave the cuts out: the webs are softer than computed.",
)


def web_cut_table(design: Design) -> Table:
    """Return the flat web, what is removed and what is left; DesignError where sizes lack."""
    parts, density = web_parts(design), shaft_density(design)
    rows = [_row("Flat web", parts.flat, parts.flat, density)]
    for name, cut in (("Chamfer", parts.chamfer), ("Pocket", parts.pocket)):
        if cut.volume > 0:
            rows.append(_row(name, cut * -1.0, parts.flat, density))
    if parts.relief:
        even = parts.left * (parts.relief / (1 - parts.relief))
        rows.append(_row("Even share", even * -1.0, parts.flat, density))
    rows.append(_row("Web", parts.left, parts.flat, density))
    head = (
        "One web", axis("Mass", "g"), "%", axis("Static moment", "kg_mm"), "%",
        axis("Inertia", "kg_mm2"), "%", axis("Centre", "mm"),
    )  # fmt: skip
    return Table("Web lightening", head, tuple(rows), len(rows) - 1)


def _row(name: str, solid: WebSolid, flat: WebSolid, density: float) -> tuple[Cell, ...]:
    cells: list[Cell] = [name]
    for attribute, unit in (("volume", "g"), ("first", "kg_mm"), ("polar", "kg_mm2")):
        amount, whole = getattr(solid, attribute), getattr(flat, attribute)
        cells.append(float(as_drawn(density * amount, unit)))
        cells.append(100 * amount / whole if whole else None)
    return (*cells, float(as_drawn(solid.middle, "mm")))
