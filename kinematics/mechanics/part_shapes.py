"""What a part's shape is, for every view that draws it: the records of `part_geometry`.

Lengths in m, angles in rad, static moments in kg·m.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PistonShape:
    """A piston and its pin; ring grooves are (distance from the crown, height)."""

    diameter: float
    compression_height: float  # from the pin's centre to the crown
    crown_form: str  # "flat" or "bowl"
    bowl_diameter: float
    bowl_depth: float
    crown_thickness: float
    wall_thickness: float
    skirt_length: float  # below the pin's centre
    skirt_width: float  # along the crank
    ring_grooves: tuple[tuple[float, float], ...]
    ring_depth: float
    boss_radius: float
    pin_diameter: float
    pin_length: float
    pin_bore: float


@dataclass(frozen=True, slots=True)
class RodShape:
    """A rod; breadths lie in the plane of motion, widths along the crank."""

    length: float
    small_end_outer_radius: float
    small_end_width: float
    big_end_outer_radius: float
    big_end_half_breadth: float  # over the bolts' bosses
    big_end_width: float
    cap_split_angle: float  # through the big end's centre; 0 is square to the rod
    bolt_offset: float  # of a bolt's axis from the rod's
    bolt_diameter: float
    bolt_top: float  # from the split toward the small end
    bolt_bottom: float  # negative, in the cap
    shank_breadth_small_end: float
    shank_breadth_big_end: float
    shank_width: float
    flange_breadth: float  # of the I-section
    web_width: float


@dataclass(frozen=True, slots=True)
class JournalShape:
    """Crankpins or main journals; `shell_width` is the bearing's, `z` of each middle."""

    diameter: float
    length: float
    shell_width: float
    z: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class WebShape:
    """Webs, two a throw: the hull of a circle about the mains and one about the pin.

    Heights count from the main axis toward the pin. The chamfer is a plane from `chamfer_start`, on
    the face at the main, to `chamfer_end`, on the face at the pin; both above the web where none.
    """

    thickness: float
    hub_radius: float
    pin_end_radius: float
    z: tuple[float, ...]
    chamfer_start: float
    chamfer_end: float
    pocket_radius: float
    pocket_depth: float
    pocket_height: float


@dataclass(frozen=True, slots=True)
class CounterweightShape:
    """A ring sector of steel, as thick as its web, whose static moment is the unbalance."""

    web: int  # from 1 at the front
    throw: int
    z: float
    thickness: float
    unbalance: float
    angle: float  # of its middle from its own pin
    inner_radius: float
    outer_radius: float
    half_angle: float
    fits: bool  # under the piston at BDC


@dataclass(frozen=True, slots=True)
class OilDrilling:
    """A straight drilling in the throw's plane, from the front main to the pin's surface."""

    throw: int
    diameter: float
    from_z: float
    from_height: float
    to_z: float
    to_height: float


@dataclass(frozen=True, slots=True)
class ThrowPlace:
    """Where a throw stands."""

    z: float
    angle: float  # from throw 1


@dataclass(frozen=True, slots=True)
class CylinderPlace:
    """Where a cylinder stands; rods on one pin stand side by side about their throw's z."""

    z: float
    throw: int  # from 1
    bank_angle: float  # from vertical


@dataclass(frozen=True, slots=True)
class BlockShape:
    """What guides the train; `chamber_height` is the clearance volume spread over the bore."""

    bore: float
    wall_thickness: float
    deck_height: float
    chamber_height: float
    bore_bottom: float  # height of the bore's lower end
    bulkhead_width: float
    bulkhead_half_breadth: float
    bulkhead_bottom: float


@dataclass(frozen=True, slots=True)
class ShaftEnd:
    """A cylinder at an end of the crank, from z to z + length."""

    z: float
    diameter: float
    length: float


@dataclass(frozen=True, slots=True)
class PartGeometry:
    """All parts; `given` names the fields that the design gives, `misfits` what collides."""

    crank_radius: float
    pin_offset: float
    top: float  # height of the piston pin at TDC
    bottom: float  # and at BDC
    piston: PistonShape
    rod: RodShape
    crankpin: JournalShape
    main_journal: JournalShape
    web: WebShape
    counterweights: tuple[CounterweightShape, ...]
    oil_drillings: tuple[OilDrilling, ...]
    throws: tuple[ThrowPlace, ...]
    cylinders: tuple[CylinderPlace, ...]
    block: BlockShape
    nose: ShaftEnd
    flange: ShaftEnd
    given: tuple[str, ...]
    misfits: tuple[str, ...]
