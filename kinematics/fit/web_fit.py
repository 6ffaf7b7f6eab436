"""Whether oil drilling, chamfer and pocket leave the web enough metal.

Reference: plane geometry in the throw's plane.
"""

import math

from kinematics.design.design import Design
from kinematics.errors import DesignError
from kinematics.fit.fit_check import (
    DOES_NOT_FIT,
    FITS,
    PURPOSE,
    FitCheck,
    FitQuestion,
    by_clearance,
    drawn,
    length,
    mm,
)
from kinematics.mechanics.part_shapes import OilDrilling, PartGeometry
from kinematics.shaft.web_misfits import web_misfits

LEAST_WALL = 0.25  # over an oil drilling's diameter

OIL_WALL = FitQuestion(
    "oil_wall", "Web wall over oil drilling", "crank_throw.oil_bore_mm", "mm",
    "distance of the drilling's axis from fillets, chamfer and pocket − d/2 ≥ d/4\n"
    "d oil bore, straight from the middle of the main to the top of the pin",
    "plane geometry; a wall of a quarter of the bore: common practice, no source")  # fmt: skip
CUTS = FitQuestion(
    "web_cuts", "Chamfer and pocket of the web", "shaft.web_chamfer_depth_mm", "mm",
    "what chamfer and pocket leave ≥ journal and fillet", "plane geometry")  # fmt: skip


def oil_wall(design: Design) -> FitCheck:
    """Check the metal between the oil drilling and the web's surfaces [m].

    Reference: plane geometry; a quarter of the drilling: common practice, no source.
    """
    throw = design.needed("crank_throw", PURPOSE)
    if throw.oil_bore <= 0:
        raise DesignError("crank_throw.oil_bore_mm", "is 0: there is no drilling")
    parts = drawn(design)
    axis = parts.oil_drillings[0]
    walls = _distances(parts, axis, throw.pin_fillet, throw.journal_fillet)
    name = min(walls, key=lambda each: walls[each])
    wall, least = walls[name] - throw.oil_bore / 2, LEAST_WALL * throw.oil_bore
    outcome = by_clearance(wall, least)
    found = (
        f"breaks into the {name} by {length(-wall)}"
        if outcome == DOES_NOT_FIT
        else f"leaves {length(wall)} of wall at the {name}"
    )
    return FitCheck(
        OIL_WALL, outcome, f"The oil drilling of {length(throw.oil_bore)} {found}.",
        f"oil drilling breaks into the {name}", wall, least, at_least=True,
        values=f"{mm(walls[name])} − {mm(throw.oil_bore)}/2 = {mm(wall)} mm, minimum "
        f"{mm(least)} mm",
    )  # fmt: skip


def web_cuts_clear(design: Design) -> FitCheck:
    """Check that chamfer and pocket leave journals, fillets and outline whole.

    Reference: as of `web_misfits`.
    """
    for group in ("shaft", "crank_throw", "big_end", "main_bearing"):
        design.needed(group, PURPOSE)
    found = web_misfits(design)
    if not found:
        return FitCheck(CUTS, FITS, "Chamfer and pocket leave journals, fillets and outline whole.")
    pocket = found[0].startswith("The web's pocket")
    brief = "web's pocket" if pocket else "web's chamfer"
    return FitCheck(CUTS, DOES_NOT_FIT, " ".join(found), f"{brief} cuts into what it must leave")


def _distances(
    parts: PartGeometry, axis: OilDrilling, pin_fillet: float, journal_fillet: float
) -> dict[str, float]:
    """Return the distances of a drilling's axis from what surrounds it in the web [m]."""
    web, middle = parts.web, parts.web.z[0]
    at_main, at_pin = middle - web.thickness / 2, middle + web.thickness / 2
    run, rise = axis.to_z - axis.from_z, axis.to_height - axis.from_height
    size = math.hypot(run, rise)

    def above(z: float, height: float) -> float:
        """Return how far a point lies above the drilling's axis, square to it [m]."""
        return ((height - axis.from_height) * run - (z - axis.from_z) * rise) / size

    main, pin = parts.main_journal.diameter / 2, parts.crankpin.diameter / 2
    found = {
        "main journal's fillet": above(at_main - journal_fillet, main + journal_fillet)
        - journal_fillet,
        "crankpin's fillet": -above(
            at_pin + pin_fillet, parts.crank_radius - pin - pin_fillet
        ) - pin_fillet,
    }  # fmt: skip
    end, start = web.chamfer_end, web.chamfer_start
    if start < parts.crank_radius + web.pin_end_radius:
        found["web's chamfer"] = min(above(at_main, start), above(at_pin, end))
    if web.pocket_radius > 0:
        low = web.pocket_height - web.pocket_radius
        found["web's pocket"] = above(at_main + web.pocket_depth, low)
    return found
