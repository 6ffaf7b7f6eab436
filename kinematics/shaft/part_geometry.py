"""Shapes and places of all parts, for every view that draws them.

What the design gives is taken from it; the rest are proportions to the bore and to the journals
(common practice, no source), so a picture shows what could be built, not what will be. Lengths
in m, angles in rad, static moments in kg·m. Heights count along a cylinder's axis from the
crank's axis, z along the crank from its middle to the rear.
"""

import math
from collections import Counter
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

from kinematics.design.design import Counterweight, Design
from kinematics.design.design_parts import STEEL_DENSITY
from kinematics.design.shaft_throw import counterweight_unbalance, web_cuts, web_ends
from kinematics.mechanics.part_shapes import (
    BlockShape,
    CounterweightShape,
    CylinderPlace,
    JournalShape,
    OilDrilling,
    PartGeometry,
    PistonShape,
    RodShape,
    ShaftEnd,
    ThrowPlace,
    WebShape,
)
from kinematics.mechanics.web_lightening import WebCuts, WebPlate
from kinematics.shaft.web_misfits import web_misfits
from kinematics.train.balance import throw_positions
from kinematics.train.cylinder_pressure import slider_crank
from kinematics.units import in_words

_FILLETS = 1.06  # length of a journal over the width of its shell
_LEAST = 0.02  # least thickness and journal length, over throw spacing
_SECTOR_HALF_ANGLE = math.radians(60)  # of a counterweight that is free to choose
_mm = partial(in_words, key="mm", digits=4)


@dataclass(frozen=True, slots=True)
class _Practice:
    """Proportions to the bore (common practice, no source)."""

    compression_height: float
    crown_thickness: float
    skirt_length: float
    pin_diameter: float
    pin_bore: float  # over the pin's diameter
    ring_grooves: tuple[tuple[float, float], ...]
    bowl_diameter: float = 0.0
    bowl_depth: float = 0.0


_PETROL = _Practice(0.37, 0.075, 0.22, 0.25, 0.6, ((0.055, 0.014), (0.105, 0.014), (0.15, 0.03)))
_DIESEL = _Practice(
    0.50, 0.115, 0.28, 0.34, 0.5, ((0.1, 0.022), (0.165, 0.02), (0.22, 0.03)), 0.58, 0.13
)


def part_geometry(design: Design) -> PartGeometry:
    """Return the shapes and places of all parts of a design."""
    train = slider_crank(design.cylinder)
    piston = _piston(design)
    crankpin, mains, web = _shaft(design)
    rod = _rod(design, crankpin)
    block = _block(design, piston, mains, train.top, train.bottom)
    room = train.bottom - piston.skirt_length - 0.02 * piston.diameter
    weights = tuple(_counterweight(weight, design, web, room) for weight in design.counterweights)
    throws = tuple(
        ThrowPlace(z, angle)
        for z, angle in zip(crankpin.z, design.layout.throw_angles, strict=True)
    )
    nose, flange = _shaft_ends(design, mains)
    return PartGeometry(
        crank_radius=train.crank_radius,
        pin_offset=train.pin_offset,
        top=train.top,
        bottom=train.bottom,
        piston=piston,
        rod=rod,
        crankpin=crankpin,
        main_journal=mains,
        web=web,
        counterweights=weights,
        oil_drillings=_oil_drillings(train.crank_radius, crankpin, mains),
        throws=throws,
        cylinders=_cylinders(design, throws, rod.big_end_width),
        block=block,
        nose=nose,
        flange=flange,
        given=_given(design),
        misfits=_misfits(design, rod, crankpin, mains, web, weights, room),
    )


def _piston(design: Design) -> PistonShape:
    """Return the piston; its skirt is as long as given, whatever it meets at BDC."""
    given, bore = design.piston, design.cylinder.bore
    practice = _practice(design)
    boss = 0.68 * practice.pin_diameter * bore
    usual = max(practice.skirt_length * bore, boss)
    return PistonShape(
        diameter=0.998 * bore,
        compression_height=given.compression_height or practice.compression_height * bore,
        crown_form="bowl" if practice.bowl_depth else "flat",
        bowl_diameter=practice.bowl_diameter * bore,
        bowl_depth=practice.bowl_depth * bore,
        crown_thickness=practice.crown_thickness * bore,
        wall_thickness=0.05 * bore,
        skirt_length=usual if given.skirt_length is None else given.skirt_length,
        skirt_width=0.56 * bore,
        ring_grooves=tuple((at * bore, height * bore) for at, height in practice.ring_grooves),
        ring_depth=0.04 * bore,
        boss_radius=boss,
        pin_diameter=practice.pin_diameter * bore,
        pin_length=0.74 * bore,
        pin_bore=practice.pin_bore * practice.pin_diameter * bore,
    )


def _practice(design: Design) -> _Practice:
    """Return the proportions of a diesel's or a petrol engine's piston."""
    diesel = design.pressure.load_control == "mixture" or design.cylinder.compression_ratio >= 14.5
    return _DIESEL if diesel else _PETROL


def _pin_diameter(design: Design) -> float:
    """Return the crankpin's diameter [m]."""
    cylinder = design.cylinder
    if design.big_end:
        return design.big_end.diameter
    return min(0.58 * cylinder.bore, 0.6 * cylinder.rod_length)


def _main_diameter(design: Design) -> float:
    """Return the main journals' diameter [m]."""
    if design.main_bearing:
        return design.main_bearing.diameter
    return 1.15 * _pin_diameter(design)


def _rods_abreast(design: Design) -> int:
    """Return the largest number of rods on one pin."""
    return max(Counter(design.layout.throw_of_cylinder).values())


def _shaft(design: Design) -> tuple[JournalShape, JournalShape, WebShape]:
    """Return crankpins, mains and webs; webs fill what the shells leave on both their sides."""
    spacing, offset = design.layout.throw_spacing, design.crank.web_offset
    big_end, main = design.big_end, design.main_bearing
    to_pin, to_main = 2 * offset, spacing - 2 * offset
    rods = _rods_abreast(design)
    thickness = min(
        to_pin - rods * _FILLETS * big_end.width if big_end else to_pin / 2,
        to_main - _FILLETS * main.width if main else to_main / 2,
        0.35 * design.cylinder.bore,
    )
    if design.crank_throw is not None:
        thickness = design.crank_throw.web_thickness
    thickness = max(thickness, _LEAST * spacing)
    pin_length = max(to_pin - thickness, _LEAST * spacing)
    main_length = max(to_main - thickness, _LEAST * spacing)
    pin_diameter, main_diameter = _pin_diameter(design), _main_diameter(design)
    pin_shell = big_end.width if big_end else pin_length / rods / _FILLETS
    main_shell = main.width if main else main_length / _FILLETS
    z = tuple(float(position) for position in throw_positions(design))
    main_z = (z[0] - spacing / 2, *(middle + spacing / 2 for middle in z))
    web_z = tuple(middle + side * offset for middle in z for side in (-1, 1))
    return (
        JournalShape(pin_diameter, pin_length, pin_shell, z),
        JournalShape(main_diameter, main_length, main_shell, main_z),
        _web(design, WebPlate(*_web_ends(design, main_diameter, pin_diameter),
                              design.cylinder.crank_radius, thickness), web_z),
    )  # fmt: skip


def _web(design: Design, plate: WebPlate, z: tuple[float, ...]) -> WebShape:
    """Return the webs with chamfer and pocket where a throw's dimensions are given."""
    cuts = WebCuts() if design.crank_throw is None else web_cuts(design)
    pocketed = min(cuts.pocket_diameter, cuts.pocket_depth) > 0
    return WebShape(
        plate.thickness,
        plate.main_radius,
        plate.pin_radius,
        z,
        chamfer_start=cuts.chamfer_start(plate),
        chamfer_end=cuts.chamfer_end(plate),
        pocket_radius=cuts.pocket_diameter / 2 if pocketed else 0.0,
        pocket_depth=min(cuts.pocket_depth, plate.thickness) if pocketed else 0.0,
        pocket_height=cuts.pocket_height if pocketed else plate.crank_radius,
    )


def _web_ends(design: Design, main_diameter: float, pin_diameter: float) -> tuple[float, float]:
    """Return the radii of a web's ends: as the shaft's dimensions say, else by its journals."""
    if design.shaft is None or design.crank_throw is None:
        return 0.56 * main_diameter, 0.58 * pin_diameter
    return web_ends(design)


def _rod(design: Design, crankpin: JournalShape) -> RodShape:
    """Return the rod; its big end is split obliquely where it would not pass the bore."""
    bore, length = design.cylinder.bore, design.cylinder.rod_length
    small = min(0.7 * _practice(design).pin_diameter * bore, 0.25 * length)
    bolt, bolt_offset, half_breadth = _bolts(design, crankpin.diameter)
    width = crankpin.shell_width
    return RodShape(
        length=length,
        small_end_outer_radius=small,
        small_end_width=min(0.25 * bore, 1.2 * width),
        big_end_outer_radius=0.64 * crankpin.diameter,
        big_end_half_breadth=half_breadth,
        big_end_width=width,
        cap_split_angle=math.radians(40) if 2 * half_breadth > bore else 0.0,
        bolt_offset=bolt_offset,
        bolt_diameter=bolt,
        bolt_top=0.42 * crankpin.diameter,
        bolt_bottom=-0.5 * crankpin.diameter,
        shank_breadth_small_end=1.35 * small,
        shank_breadth_big_end=min(1.35 * small + 0.08 * length, 1.1 * crankpin.diameter),
        shank_width=0.75 * width,
        flange_breadth=0.24 * small,
        web_width=0.25 * width,
    )


def _bolts(design: Design, pin_diameter: float) -> tuple[float, float, float]:
    """Return a rod bolt's diameter, its axis from the rod's and half the breadth over bosses."""
    bolts = design.rod_bolts
    usual = min(0.1 * design.cylinder.bore, 0.17 * pin_diameter)
    bolt, boss = (usual, 0.95 * usual) if bolts is None else (bolts.diameter, bolts.boss / 2)
    offset = 0.55 * pin_diameter + 0.62 * bolt
    if bolts is not None and bolts.spacing is not None:
        offset = bolts.spacing / 2
    return bolt, offset, offset + boss


def _block(
    design: Design, piston: PistonShape, mains: JournalShape, top: float, bottom: float
) -> BlockShape:
    cylinder = design.cylinder
    between = (bore_pitch(design) - cylinder.bore) / 2
    return BlockShape(
        bore=cylinder.bore,
        wall_thickness=min(0.06 * cylinder.bore, max(between, 0.01 * cylinder.bore)),
        deck_height=top + piston.compression_height,
        chamber_height=(top - bottom) / (cylinder.compression_ratio - 1),
        bore_bottom=bottom - 0.45 * piston.skirt_length,
        bulkhead_width=mains.shell_width,
        bulkhead_half_breadth=0.5 * mains.diameter + 0.3 * cylinder.bore,
        bulkhead_bottom=-0.5 * mains.diameter - 0.2 * cylinder.bore,
    )


def bore_pitch(design: Design) -> float:
    """Return the least distance [m] of neighbours in a bank; a lone cylinder has two bores'."""
    layout = design.layout
    throws_by_bank: dict[float, list[int]] = {}
    for bank, throw in zip(layout.bank_angle, layout.throw_of_cylinder, strict=True):
        throws_by_bank.setdefault(round(bank, 6), []).append(throw)
    steps = [
        (second - first) * layout.throw_spacing
        for throws in map(sorted, throws_by_bank.values())
        for first, second in pairwise(throws)
    ]
    return min(steps, default=2 * design.cylinder.bore)


def _counterweight(
    weight: Counterweight, design: Design, web: WebShape, room: float
) -> CounterweightShape:
    """Return the sector: as given; else at its usual angle if that fits, wider, or half a ring.

    A weight that even half a ring up to `room` [m] cannot hold keeps its moment and is said
    not to fit.
    """
    inner, shaft = web.hub_radius, design.shaft
    density = STEEL_DENSITY if design.crank_material is None else design.crank_material.density
    usual = _SECTOR_HALF_ANGLE if shaft is None else shaft.counterweight_half_angle
    if shaft is not None and shaft.counterweight_radius is not None:
        room = min(room, shaft.counterweight_radius)
    unbalance = counterweight_unbalance(weight, design)
    moment = unbalance / (2 / 3 * density * web.thickness)  # (Ro³ - Ri³) sin α
    outer = math.cbrt(inner**3 + moment / math.sin(usual))
    widest = math.cbrt(inner**3 + moment)
    outer = max(min(outer, room), widest, 1.15 * inner)
    if weight.outer_radius is not None:
        outer = max(weight.outer_radius, widest)
    share = moment / (outer**3 - inner**3) if outer > inner else 0.0
    return CounterweightShape(
        web=weight.web,
        throw=(weight.web + 1) // 2,
        z=web.z[weight.web - 1],
        thickness=web.thickness,
        unbalance=unbalance,
        angle=weight.angle,
        inner_radius=inner,
        outer_radius=outer,
        half_angle=math.asin(min(share, 1.0)),
        fits=outer <= room * (1 + 1e-9),
    )


def _oil_drillings(
    radius: float, crankpin: JournalShape, mains: JournalShape
) -> tuple[OilDrilling, ...]:
    """Return one drilling a throw, from the middle of its front main to the top of its pin."""
    diameter = 0.1 * crankpin.diameter
    height = radius + crankpin.diameter / 2
    return tuple(
        OilDrilling(throw, diameter, main_z, 0.0, z, height)
        for throw, (main_z, z) in enumerate(zip(mains.z, crankpin.z, strict=False), start=1)
    )


def _cylinders(
    design: Design, throws: tuple[ThrowPlace, ...], rod_width: float
) -> tuple[CylinderPlace, ...]:
    """Return the cylinders; those of one throw side by side, in the order of their numbers."""
    layout = design.layout
    abreast, placed = Counter(layout.throw_of_cylinder), Counter[int]()
    places = []
    for throw, bank in zip(layout.throw_of_cylinder, layout.bank_angle, strict=True):
        aside = (placed[throw] - (abreast[throw] - 1) / 2) * rod_width * (1 + (_FILLETS - 1) / 2)
        placed[throw] += 1
        places.append(CylinderPlace(throws[throw - 1].z + aside, throw, bank))
    return tuple(places)


def _shaft_ends(design: Design, mains: JournalShape) -> tuple[ShaftEnd, ShaftEnd]:
    """Return the nose and the flywheel flange, as given or by the mains' diameter."""
    front, rear = mains.z[0] - mains.length / 2, mains.z[-1] + mains.length / 2
    nose, nose_diameter = 0.9 * mains.diameter, 0.62 * mains.diameter
    flange, flange_diameter = 0.25 * mains.diameter, 1.45 * mains.diameter
    if design.shaft is not None:
        flange, flange_diameter = design.shaft.flange_thickness, design.shaft.flange_diameter
        if design.torsion is not None:
            nose, nose_diameter = design.torsion.nose_length, design.torsion.nose_diameter
    return ShaftEnd(front - nose, nose_diameter, nose), ShaftEnd(rear, flange_diameter, flange)


def _given(design: Design) -> tuple[str, ...]:
    """Return the fields, by path, that hold a dimension of the design."""
    fields = ["crank_radius", "pin_offset", "rod.length", "block.bore", "throws.angle", "throws.z"]
    fields += ["web.z", "cylinders.bank_angle", "counterweights.unbalance", "counterweights.angle"]
    if design.big_end:
        fields += ["crankpin.diameter", "crankpin.shell_width", "rod.big_end_width"]
    if design.main_bearing:
        fields += ["main_journal.diameter", "main_journal.shell_width", "block.bulkhead_width"]
    return tuple(fields)


def _misfits(
    design: Design,
    rod: RodShape,
    crankpin: JournalShape,
    mains: JournalShape,
    web: WebShape,
    weights: tuple[CounterweightShape, ...],
    room: float,
) -> tuple[str, ...]:
    """Return a sentence for each pair of parts that cannot both be there; lengths in mm."""
    bore, pitch = design.cylinder.bore, bore_pitch(design)
    rods, least = _rods_abreast(design), _LEAST * design.layout.throw_spacing
    found = []
    if pitch <= bore:
        found.append(f"Bores of {_mm(bore)} overlap at a pitch of {_mm(pitch)}.")
    axial = design.crank.web_offset, design.layout.throw_spacing / 2 - design.crank.web_offset
    if web.thickness <= least or min(axial) < web.thickness / 2 + least / 2:
        found.append(
            f"Webs have no room between the shells: pins need {_mm(rods * crankpin.shell_width)}, "
            f"mains {_mm(mains.shell_width)} of the throw spacing, "
            f"{_mm(design.layout.throw_spacing)}, at a web offset of {_mm(axial[0])}."
        )
    if rod.big_end_outer_radius + rod.small_end_outer_radius >= rod.length:
        found.append(f"The rod of {_mm(rod.length)} is too short for its two ends.")
    if 2 * rod.big_end_outer_radius > bore:
        found.append(
            f"The big end, about {_mm(2 * rod.big_end_outer_radius)} broad, does not pass "
            f"the bore of {_mm(bore)}."
        )
    if room < web.hub_radius:
        found.append(f"The piston reaches the webs at BDC: {_mm(room)} from the crank's axis.")
    found += [
        f"The counterweight on web {weight.web} reaches {_mm(weight.outer_radius)} in steel, "
        f"the piston at BDC leaves {_mm(room)}."
        for weight in weights
        if not weight.fits
    ]
    return (*found, *web_misfits(design))
