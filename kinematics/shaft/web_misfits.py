"""Where a web's chamfer or pocket runs into what it must leave, in words."""

from functools import partial

from kinematics.design.design import Design
from kinematics.design.shaft_throw import web_cuts, web_plate
from kinematics.mechanics.web_lightening import pocket_wall
from kinematics.units import in_words

_SAME = 1e-9  # [m]: lengths that agree but for rounding
_mm = partial(in_words, key="mm", digits=4)


def web_misfits(design: Design) -> tuple[str, ...]:
    """Return a sentence for each; none where the design lacks a throw's dimensions."""
    if None in (design.shaft, design.crank_throw, design.big_end, design.main_bearing):
        return ()
    return (*_chamfer(design), *_pocket(design))


def _chamfer(design: Design) -> list[str]:
    plate, cuts, throw = web_plate(design), web_cuts(design), design.needed("crank_throw", "webs")
    if cuts.chamfer_depth <= 0:
        return []
    found = []
    pin = plate.crank_radius + design.needed("big_end", "webs").diameter / 2 + throw.pin_fillet
    main = design.needed("main_bearing", "webs").diameter / 2 + throw.journal_fillet
    start, end = cuts.chamfer_start(plate), cuts.chamfer_end(plate)
    if end < pin - _SAME:
        found.append(
            f"The web's chamfer reaches its face at the crankpin {_mm(end)} from the shaft's axis; "
            f"pin and fillet need {_mm(pin)}."
        )
    if start < main - _SAME:
        found.append(
            f"The web's chamfer starts {_mm(start)} from the shaft's axis; main journal and "
            f"fillet need {_mm(main)}."
        )
    return found


def _pocket(design: Design) -> list[str]:
    plate, cuts, throw = web_plate(design), web_cuts(design), design.needed("crank_throw", "webs")
    if min(cuts.pocket_diameter, cuts.pocket_depth) <= 0:
        return []
    found = []
    main = design.needed("main_bearing", "webs").diameter / 2 + throw.journal_fillet
    low = cuts.pocket_height - cuts.pocket_diameter / 2
    if low < main - _SAME:
        found.append(
            f"The web's pocket comes within {_mm(max(low, 0.0))} of the shaft's axis; main journal "
            f"and fillet need {_mm(main)}."
        )
    if pocket_wall(plate, cuts) <= 0:
        found.append("The web's pocket breaks out of the web's outline.")
    if cuts.pocket_depth >= plate.thickness:
        found.append(
            f"The web's pocket, {_mm(cuts.pocket_depth)} deep, goes through the web of "
            f"{_mm(plate.thickness)}."
        )
    return found
