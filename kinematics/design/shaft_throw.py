"""A throw's dimensions as the design gives them, and the unbalance that follows from them.

Positive toward the pin, counterweights apart.
"""

from dataclasses import dataclass, replace

from kinematics.design.design import Counterweight, Design
from kinematics.errors import DesignError
from kinematics.mechanics.round_area import round_area
from kinematics.mechanics.web_lightening import (
    WebCuts,
    WebPlate,
    WebSolid,
    chamfer_cut,
    flat_web,
    pocket_cut,
)
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


def web_plate(design: Design) -> WebPlate:
    """Return a web before it is lightened."""
    thickness: float = design.needed("crank_throw", PURPOSE).web_thickness
    return WebPlate(*web_ends(design), design.cylinder.crank_radius, thickness)


def web_cuts(design: Design) -> WebCuts:
    """Return a web's chamfer and pocket."""
    shaft = design.shaft
    if shaft is None:
        return WebCuts()
    return WebCuts(
        chamfer_depth=shaft.web_chamfer_depth,
        chamfer_angle=shaft.web_chamfer_angle,
        pocket_diameter=shaft.web_pocket_diameter,
        pocket_depth=shaft.web_pocket_depth,
        pocket_height=design.cylinder.crank_radius + shaft.web_pocket_offset,
    )


def is_lightened(design: Design) -> bool:
    """Return whether anything is cut from the webs."""
    cuts = web_cuts(design)
    pocketed = min(cuts.pocket_diameter, cuts.pocket_depth) > 0
    even = 0.0 if design.shaft is None else design.shaft.web_relief
    return cuts.chamfer_depth > 0 or pocketed or even > 0


@dataclass(frozen=True, slots=True)
class WebParts:
    """A web as a flat plate and what is cut from it; `relief` is a further even share."""

    flat: WebSolid
    chamfer: WebSolid
    pocket: WebSolid  # what the chamfer has left of it
    relief: float

    @property
    def left(self) -> WebSolid:
        """The web as it is.

        Reference: statics, parts taken from a whole.
        """
        return (self.flat + self.chamfer * -1.0 + self.pocket * -1.0) * (1 - self.relief)


def web_parts(design: Design) -> WebParts:
    """Return a web's plate and its cuts.

    Reference: statics; the outline as of `web_outline`, the cuts as of `web_lightening`.
    """
    plate, cuts = web_plate(design), web_cuts(design)
    outline = web_outline(plate.main_radius, plate.pin_radius, plate.crank_radius)
    return WebParts(
        flat_web(outline, plate.thickness),
        chamfer_cut(plate, cuts),
        pocket_cut(plate, cuts),
        0.0 if design.shaft is None else design.shaft.web_relief,
    )


def shaft_density(design: Design, purpose: str = PURPOSE) -> float:
    """Return the density of the shaft's steel [kg/m³]."""
    density: float = design.needed("crank_material", purpose).density
    return density


def pin_mass(throw: CrankThrow, density: float) -> float:
    """Return a crankpin's mass [kg].

    Reference: ring and disc about an axis, from geometry.
    """
    section = round_area(throw.pin_diameter, throw.pin_bore)
    return density * section * throw.pin_length


def throw_unbalance_by_size(design: Design) -> float:
    """Return the static moment of a pin and its two webs about the shaft's axis [kg·m].

    Raises DesignError where dimensions are missing.

    Reference: statics; webs as of `web_parts`.
    """
    throw, density = shaft_throw(design), shaft_density(design)
    webs = 2 * density * web_parts(design).left.first
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
