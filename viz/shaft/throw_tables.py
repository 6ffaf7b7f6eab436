"""A throw's stiffness by bars, surface and a solution of its own, beside one another."""

from kinematics.design.solid_throw import SolidThrow
from kinematics.throw.throw_solution import ThrowSolution
from kinematics.throw.throw_surface import MOTIONS, ThrowStiffness
from viz.number_words import as_drawn, axis, format_number
from viz.shaft.shaft_table import Cell, Table
from viz.throw_words import stiffness_words

HEAD = "Stiffness of a throw between mid mains"
WORDS = {
    "in_plane": "Bending in the plane of the throw",
    "across": "Bending across the throw",
    "torsion": "Torsion",
}


def throw_table(solid: SolidThrow, solved: ThrowSolution | None) -> Table:
    """Return the table; what has not been solved or is outside the surface stays empty."""
    columns = (solid.bars, solid.stiffness, None if solved is None else solved.stiffness)
    rows = tuple((WORDS[name], *(_cell(column, name) for column in columns)) for name in MOTIONS)
    titles = ("Bars and flat webs", "Surface", "This throw")
    return Table(HEAD, ("Motion", *(axis(title, "kNm_rad") for title in titles)), rows)


def throw_notes(solid: SolidThrow, solved: ThrowSolution | None) -> tuple[str, ...]:
    """Return the error of the surface, and that of the mesh where the throw has been solved."""
    if solved is None:
        return (stiffness_words(solid),)
    error = format_number(100 * solved.mesh_error, 2)
    return (
        stiffness_words(solid),
        "This throw: finite elements on two meshes, extrapolated to endless fineness; the finer "
        f"mesh differs from that by {error} % at most.",
    )


def _cell(column: ThrowStiffness | None, name: str) -> Cell:
    return None if column is None else float(as_drawn(getattr(column, name), "kNm_rad"))
