"""What the oil groove of the mains does to their films, in words: size, model, range and error."""

import math

from kinematics.design.design_bearings import MainBearing
from kinematics.film.groove_map import groove_table
from kinematics.film.grooved_film import main_bears_as_plain
from viz.number_words import format_short, with_unit

GROOVE_SOURCE = (
    "Table of solutions of Reynolds' equation with the groove open, two lands beside it (B. J. "
    "Hamrock, S. R. Schmid and B. O. Jacobson, Fundamentals of Fluid Film Lubrication, 2nd ed., "
    "2004, from memory)"
)
GROOVE_FORMULA = (
    "open groove: ln M = (1 − s)·ln M_plain + s·ln M_lands, s tabled by place, load and groove"
)
# on the load cycles of the demos, with arcs that are the table's own and others
TABLE_ERROR = "minimum films within 2 % of direct solutions"


def has_partial_groove(size: MainBearing) -> bool:
    """Return whether a groove goes part of the way round and is counted.

    Reference: as of `grooved_film`.
    """
    return size.groove_arc > 0 and not size.is_parted and not main_bears_as_plain(size)


def groove_words(size: MainBearing) -> str:
    """Return what groove the mains have and how it counts, in a sentence; "" for a hole."""
    if size.groove_arc == 0:
        return ""
    arc, width = format_short(math.degrees(size.groove_arc), 3), with_unit(size.groove, "mm", 3)
    if size.is_parted:
        return f"Open groove all round, {width} wide: two lands share the load."
    at = f", middle at {format_short(math.degrees(size.groove_angle), 3)}° from the top"
    where = "" if size.groove_angle == 0 else at
    words = f"Open groove over {arc}°, {width} wide{where}"
    if main_bears_as_plain(size):
        return f"{words}: outside the table, counted as a plain shell; the film is thinner."
    return f"{words}: at supply pressure, a land on each side."


def groove_range() -> str:
    """Return what shells the table of grooved films holds, and how near it is."""
    table = groove_table()
    ends = [
        f"{format_short(float(axis[0]) * factor, 3)} to {format_short(float(axis[-1]) * factor, 3)}"
        for axis, factor in (
            (table.width_ratio, 1.0),
            (table.groove_share, 100.0),
            (table.arc, 180 / math.pi),
        )
    ]
    return (
        f"Groove by a table of direct solutions in two dimensions (L/D {ends[0]}, groove "
        f"{ends[1]} % of the width, arc {ends[2]}°; {TABLE_ERROR})."
    )
