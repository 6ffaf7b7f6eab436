"""A throw's dimensions as the design gives them, and the unbalance that follows from them.

Positive toward the pin, counterweights apart.
"""

import math
from dataclasses import replace

from kinematics.design.design import Counterweight, Design
from kinematics.errors import DesignError
from kinematics.mechanics.web_outline import PlaneArea, ring_sector, web_outline
from kinematics.torsion.shaft_stiffness import CrankThrow
from kinematics.units import in_words

PURPOSE = "the shaft's weight"


def shaft_throw(design: Design, purpose: str = PURPOSE) -> CrankThrow:
    """Return a throw's dimensions; pin and journal have the length that the webs leave.

    Raises DesignError where groups are missing or the webs leave nothing.
    """
    size = design.needed("crank_throw", purpose)
    thickness, to_pin = size.web_thickness, 2 * design.crank.web_offset
    to_main = design.layout.throw_spacing - to_pin
    if not thickness < (room := min(to_pin, to_main)):
        raise DesignError(
            "crank_throw.web_thickness_mm",
            f"must be less than {in_words(room, 'mm', 4)} for web offset and throw spacing to "
            f"leave a crankpin and a main journal (got {in_words(thickness, 'mm')})",
        )
    return CrankThrow(
        journal_diameter=design.needed("main_bearing", purpose).diameter,
        journal_length=to_main - thickness,
        pin_diameter=design.needed("big_end", purpose).diameter,
        pin_length=to_pin - thickness,
        web_thickness=thickness,
        web_width=size.web_width,
        crank_radius=design.cylinder.crank_radius,
        journal_bore=size.journal_bore,
        pin_bore=size.pin_bore,
    )


def web_ends(design: Design) -> tuple[float, float]:
    """Return the radii of a web's round ends about main and pin [m]."""
    width = design.needed("crank_throw", PURPOSE).web_width
    shaft = design.shaft
    ends = (None, None) if shaft is None else (shaft.web_main_end, shaft.web_pin_end)
    main, pin = (width / 2 if end is None else end / 2 for end in ends)
    return main, pin


def web_area(design: Design) -> PlaneArea:
    """Return a web's outline less its relief.

    Reference: statics of plane areas; the outline as of `web_outline`.
    """
    relief = 0.0 if design.shaft is None else design.shaft.web_relief
    return web_outline(*web_ends(design), design.cylinder.crank_radius) * (1 - relief)


def shaft_density(design: Design, purpose: str = PURPOSE) -> float:
    """Return the density of the shaft's steel [kg/m³]."""
    density: float = design.needed("crank_material", purpose).density
    return density


def pin_mass(throw: CrankThrow, density: float) -> float:
    """Return a crankpin's mass [kg].

    Reference: ring and disc about an axis, from geometry.
    """
    section = math.pi / 4 * (throw.pin_diameter**2 - throw.pin_bore**2)
    return density * section * throw.pin_length


def throw_unbalance_by_size(design: Design) -> float:
    """Return the static moment of a pin and its two webs about the shaft's axis [kg·m].

    Raises DesignError where dimensions are missing.

    Reference: statics of plane areas; the outline as of `web_outline`.
    """
    throw, density = shaft_throw(design), shaft_density(design)
    webs = 2 * density * throw.web_thickness * web_area(design).first
    return pin_mass(throw, density) * throw.crank_radius + webs


def throw_unbalance(design: Design) -> float:
    """Return the static moment of one throw [kg·m]: as given, else from geometry."""
    given = design.crank.throw_unbalance
    return throw_unbalance_by_size(design) if given is None else given


def sector_by_size(weight: Counterweight, design: Design) -> PlaneArea | None:
    """Return a counterweight's ring sector, None where its radius and angle are not given.

    Reference: static moment of a ring sector, as of `ring_sector`.
    """
    if weight.outer_radius is None or weight.half_angle is None:
        return None
    return ring_sector(web_ends(design)[0], weight.outer_radius, weight.half_angle)


def counterweight_unbalance(weight: Counterweight, design: Design) -> float:
    """Return a counterweight's static moment [kg·m]: as given, else from geometry.

    Reference: static moment of a ring sector, as of `ring_sector`.
    """
    if weight.unbalance is not None:
        return weight.unbalance
    sector = sector_by_size(weight, design)
    assert sector is not None  # a counterweight without either is refused as it is made
    thickness: float = design.needed("crank_throw", PURPOSE).web_thickness
    return -shaft_density(design) * thickness * sector.first


def settled_counterweights(design: Design) -> tuple[Counterweight, ...]:
    """Return the counterweights of a design, those that follow from their size with a moment."""
    return tuple(
        replace(weight, unbalance=counterweight_unbalance(weight, design))
        for weight in design.counterweights
    )
