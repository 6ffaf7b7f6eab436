"""What colours the solids: loads over projected area, and the allowable of each.

The browser has the loads as gas and inertia; a term's factor turns a row as it shows it into a
shown pressure. A load is the size of its components, each a sum of terms.
"""

from typing import Any

from kinematics.design.allowables import LimitName, allowable
from kinematics.design.design import Design
from kinematics.design.design_parts import PistonPinSize
from kinematics.units import shown_unit

Term = tuple[
    str, int | None, float
]  # row of the scene, its component, factor [1/m² in shown units]


def solid_results(design: Design) -> list[dict[str, Any]]:
    """Return a result for each kind of body whose area the design gives, in shown units."""
    found: list[dict[str, Any]] = []
    if design.big_end is not None:
        terms = _vector("big_end_crank", design.big_end.projected_area)
        found.append(_result(design, "crankpin", "big_end_specific_load", terms))
    if design.main_bearing is not None:
        terms = _vector("main_block", design.main_bearing.projected_area)
        found.append(_result(design, "main journal", "main_specific_load", terms))
    if design.piston_pin is not None:
        terms = _pin_terms(design.piston_pin, design.piston.assembly_mass)
        found.append(_result(design, "piston pin", "small_end_pressure", terms))
    return found


def _vector(row: str, area: float) -> list[list[Term]]:
    """Return the terms of a load with two components."""
    factor = _factor("kN") / area
    return [[(row, 0, factor)], [(row, 1, factor)]]


def _pin_terms(pin: PistonPinSize, mass: float) -> list[list[Term]]:
    """Return the terms of the force between pin and rod: gas less the piston's inertia, side."""
    area = pin.outer_diameter * pin.small_end_width
    force, acceleration = _factor("kN") / area, _factor("km_s2") / area
    return [
        [("gas_force", None, force), ("acceleration", None, -mass * acceleration)],
        [("side_thrust", None, force)],
    ]


def _factor(unit: str) -> float:
    """Return what turns a shown value into shown pressures times m² (or per kg)."""
    return shown_unit(unit).factor / shown_unit("MPa").factor


def _result(
    design: Design, kind: str, key: LimitName, components: list[list[Term]]
) -> dict[str, Any]:
    """Return a result: the rung's key, the load's components and the allowable."""
    pressure = shown_unit("MPa")
    return {
        "kind": kind,
        "rung": key,
        "components": components,
        "unit": pressure.symbol,
        "allowable": pressure.from_si(allowable(design.limits, key).value),
    }
