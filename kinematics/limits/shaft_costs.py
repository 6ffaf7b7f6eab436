"""What a change costs: derivatives of the shaft's mass, inertia, loads and bending by each input.

Every input is moved a little to both sides, all else as it is; a bore of nothing is opened by
10 mm instead. Where a design gives its throws'
unbalance, a changed dimension changes it by as much as the dimensions say.
"""

import dataclasses
import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from kinematics.design.design import Design
from kinematics.design.design_field import group_field
from kinematics.design.shaft_throw import (
    counterweight_unbalance,
    throw_unbalance_by_size,
    web_cuts,
)
from kinematics.errors import DesignError
from kinematics.limits.crank_criteria import CrankParts
from kinematics.one_line import one_line, quantity
from kinematics.shaft.shaft_geometry import running_gear, shaft_geometry
from kinematics.train.balance import order_amplitudes
from kinematics.train.cycle import RigidTrain

SIZES = (
    "main_bearing.diameter_mm", "big_end.diameter_mm", "layout.throw_spacing_mm",
    "crank.web_offset_mm", "cylinder.stroke_mm", "crank_throw.web_thickness_mm",
    "crank_throw.pin_bore_mm", "crank_throw.journal_bore_mm", "crank_throw.oil_bore_mm",
    "shaft.web_main_end_mm", "shaft.web_pin_end_mm", "shaft.web_chamfer_depth_mm",
    "shaft.web_chamfer_angle_deg", "shaft.web_pocket_diameter_mm", "shaft.web_pocket_depth_mm",
    "shaft.web_pocket_offset_mm", "shaft.web_relief_percent",
    "shaft.flange_diameter_mm", "torsion.nose_diameter_mm",
)  # fmt: skip
STEP = 1e-3  # of an input, relative
FIRST_BORE = 0.01  # [m]: a bore of nothing is opened so far, for its slope begins at zero
POINTS = 360  # of the cycle: the peaks' slopes change by less than 1 %
GRAMS = ("piston", "small end", "big end", "counterweight")


@dataclass(frozen=True, slots=True)
class ShaftNumbers:
    """What an input may change, of the whole shaft at a speed."""

    mass: float  # of the bare shaft [kg]
    inertia: float  # with rods and pistons [kg·m²]
    main_load: float  # peak of the worst main [N]
    web_bending: float  # alternating nominal stress of the worst web [Pa]
    free_force: float  # largest amplitude of any order [N]
    free_moment: float  # largest amplitude of any order, pitching or yawing [N·m]

    def __repr__(self) -> str:
        return one_line(
            self,
            f"mass {quantity(self.mass, 'kg')}",
            f"inertia {quantity(self.inertia, 'kg_mm2')}",
            f"main load {quantity(self.main_load, 'kN')}",
            f"web bending {quantity(self.web_bending, 'MPa')}",
        )


@dataclass(frozen=True, slots=True)
class Cost:
    """What one more unit [SI] of an input changes, in the units of `ShaftNumbers` per SI unit."""

    key: str  # of a field of the design, or one of `GRAMS`
    label: str
    slopes: ShaftNumbers

    def __repr__(self) -> str:
        slopes = self.slopes
        return one_line(
            self,
            self.key,
            f"mass {slopes.mass:.4g} kg",
            f"main load {slopes.main_load:.4g} N per SI unit",
        )


def shaft_numbers(design: Design, speed: float) -> ShaftNumbers:
    """Return what is asked of a shaft at a speed [rad/s]; raises DesignError where sizes lack."""
    train, shaft = RigidTrain(design, points=POINTS), shaft_geometry(design)
    size = np.hypot(*np.moveaxis(train.main_block.at(speed), 1, 0))
    turns = design.layout.strokes_per_cycle // 2
    force, moment = train.free.force.at(speed), train.free.moment.at(speed)[:2]
    return ShaftNumbers(
        mass=shaft.mass,
        inertia=shaft.inertia + running_gear(design),
        main_load=float(size.max()),
        web_bending=float(CrankParts(train).web_bending(np.array([speed])).max()),
        free_force=float(np.abs(order_amplitudes(force, turns)).max()),
        free_moment=float(np.abs(order_amplitudes(moment, turns)).max()),
    )


def shaft_costs(design: Design, speed: float) -> tuple[Cost, ...]:
    """Return what every dimension and a gram in its places cost, by central differences.

    An input that cannot move to both sides is left out. Raises DesignError where dimensions are
    missing.

    Parameters
    ----------
    speed : at which main loads and moments are taken [rad/s]

    Returns
    -------
    One cost per input: its key and the slopes of mass, inertia and loads, SI per SI.

    Reference: central differences; any book on numerical analysis.

    >>> from kinematics import load_demo, shaft_costs
    >>> design = load_demo("hill_climb_six")
    >>> shaft_costs(design, design.layout.rated_speed)[0]
    Cost(main_bearing.diameter_mm, mass 149.8 kg, main load -2.87e+04 N per SI unit)
    """
    shaft_numbers(design, speed)
    found = [_of_size(design, key, speed) for key in SIZES]
    found += [_of_mass(design, place, speed) for place in GRAMS]
    return tuple(cost for cost in found if cost is not None)


def _of_size(design: Design, key: str, speed: float) -> Cost | None:
    try:
        record, attribute, declared = group_field(design, key)
    except DesignError:
        return None
    value = getattr(record, attribute)
    if value is None or _is_idle(design, key):
        return None
    step = STEP * value or FIRST_BORE
    group = key.partition(".")[0]

    def moved(by: float) -> Design:
        changed = dataclasses.replace(record, **{attribute: value + by})
        return _following(design, dataclasses.replace(design, **{group: changed}))

    slopes = _slopes(moved, 0.0 if value == 0 else -step, step, speed)
    return None if slopes is None else Cost(key, declared.label, slopes)


def _is_idle(design: Design, key: str) -> bool:
    """Tell whether a web's input shapes a cut that the design has not."""
    if design.shaft is None:
        return False
    cuts = web_cuts(design)
    if key == "shaft.web_chamfer_angle_deg":
        return cuts.chamfer_depth == 0
    return key.startswith("shaft.web_pocket") and min(cuts.pocket_diameter, cuts.pocket_depth) == 0


def _following(before: Design, after: Design) -> Design:
    """Return a changed design whose given unbalance has moved as its dimensions say."""
    given = before.crank.throw_unbalance
    if given is None:
        return after
    moved = given + throw_unbalance_by_size(after) - throw_unbalance_by_size(before)
    crank = dataclasses.replace(after.crank, throw_unbalance=max(moved, 0.0))
    return dataclasses.replace(after, crank=crank)


def _of_mass(design: Design, place: str, speed: float) -> Cost | None:
    """Return what a kilogram costs at a place: of every piston, rod end, or counterweight."""
    slopes = _slopes(lambda by: _with_mass(design, place, by), -1e-3, 1e-3, speed)
    return None if slopes is None else Cost(place, f"A mass at {_where(place)}", slopes)


def _where(place: str) -> str:
    return (
        "every counterweight, at the crank radius" if place == "counterweight" else f"each {place}"
    )


def _with_mass(design: Design, place: str, mass: float) -> Design:
    """Return a design with a mass more [kg]; a rod's own moves its centre of gravity."""
    rod, length = design.rod, design.cylinder.rod_length
    if place == "piston":
        piston = dataclasses.replace(
            design.piston, assembly_mass=design.piston.assembly_mass + mass
        )
        return dataclasses.replace(design, piston=piston)
    if place == "counterweight":
        return _with_counterweights(design, mass * design.cylinder.crank_radius)
    at = length if place == "small end" else 0.0
    whole = rod.mass + mass
    centre = (rod.mass * rod.cg_from_big_end + mass * at) / whole
    inertia = rod.inertia_about_cg + rod.mass * mass / whole * (rod.cg_from_big_end - at) ** 2
    heavier = dataclasses.replace(rod, mass=whole, cg_from_big_end=centre, inertia_about_cg=inertia)
    return dataclasses.replace(design, rod=heavier)


def _with_counterweights(design: Design, moment: float) -> Design:
    """Return a design with so much more unbalance [kg·m] in every counterweight it has."""
    weights = tuple(
        dataclasses.replace(
            weight, unbalance=counterweight_unbalance(weight, design) + moment, outer_radius=None
        )
        for weight in design.counterweights
    )
    return dataclasses.replace(design, counterweights=weights)


def _slopes(
    moved: Callable[[float], Design], low: float, high: float, speed: float
) -> ShaftNumbers | None:
    """Return the differences over the step, None where a moved design is refused."""
    try:
        before, after = (shaft_numbers(moved(by), speed) for by in (low, high))
    except DesignError:
        return None
    values = {
        name: (getattr(after, name) - getattr(before, name)) / (high - low)
        for name in ShaftNumbers.__slots__
    }
    if not all(map(math.isfinite, values.values())):
        return None
    return ShaftNumbers(**values)
