"""How a body of the shaft comes to its mass and inertia: the formula with the values put in."""

import math
from typing import Any

from kinematics import Design
from kinematics.design.shaft_throw import shaft_density, web_area
from kinematics.shaft.shaft_geometry import Body
from kinematics.units import shown_unit
from viz.number_words import operand, with_unit


def body_formula(shape: dict[str, Any], body: Body, design: Design) -> list[str]:
    """Return a body's mass and its inertia as sentences; `shape` is of `shaft_scene`."""
    density = shaft_density(design)
    mass, inertia = {
        "round": _round, "web": _web, "sector": _sector, "drilling": _drilling,
    }[shape["form"]](shape, body, design)  # fmt: skip
    substitution = mass.replace("ρ ·", f"{with_unit(density, 'kg_m3', 4)} ·")
    return [
        f"m = {substitution} = {with_unit(body.mass, 'g')}{_relief(shape, design)}",
        f"J = {inertia} = {with_unit(body.inertia, 'kg_mm2')}",
    ]


def _relief(shape: dict[str, Any], design: Design) -> str:
    relief = 0.0 if design.shaft is None else design.shaft.web_relief
    return (
        f", {operand(100 * relief)} % relief taken off" if shape["form"] == "web" and relief else ""
    )


def _in(length: float) -> str:
    return operand(shown_unit("mm").from_si(length))


def _round(shape: dict[str, Any], body: Body, _: Design) -> tuple[str, str]:
    outer, bore, offset = (_in(diameter) for diameter in _diameters(shape))
    unit = shown_unit("mm").symbol
    mass = f"ρ π/4 (D² − d²) l = ρ · π/4 · ({outer}² − {bore}²) · {_in(body.length)} {unit}³"
    inner = f"({outer}² + {bore}²)/8"
    if shape["offset"] == 0:
        return mass, f"m (D² + d²)/8 = m · {inner} {unit}²"
    return mass, f"m ((D² + d²)/8 + r²) = m · ({inner} + {offset}²) {unit}²"


def _diameters(shape: dict[str, Any]) -> tuple[float, float, float]:
    return 2 * shape["radius"], 2 * shape["bore"], shape["offset"]


def _web(_: dict[str, Any], body: Body, design: Design) -> tuple[str, str]:
    unit = shown_unit("mm")
    area, gyration = web_area(design).area, math.sqrt(body.inertia / body.mass)
    mass = f"ρ A t = ρ · {operand(area / unit.factor**2)} · {_in(body.length)} {unit.symbol}³"
    return mass, f"m k² = m · {_in(gyration)}² {unit.symbol}²"


def _sector(shape: dict[str, Any], body: Body, _: Design) -> tuple[str, str]:
    outer, inner = _in(shape["outer_radius"]), _in(shape["inner_radius"])
    angle, unit = operand(math.degrees(shape["half_angle"])), shown_unit("mm").symbol
    size = f"{angle}° · ({outer}² − {inner}²) · {_in(body.length)} {unit}³"
    return f"ρ α (R² − r²) t = ρ · {size}", f"m (R² + r²)/2 = m · ({outer}² + {inner}²)/2 {unit}²"


def _drilling(shape: dict[str, Any], body: Body, design: Design) -> tuple[str, str]:
    bore = design.needed("crank_throw", "the oil drillings").oil_bore
    low, high = shape["from_height"], shape["to_height"]
    length, unit = math.hypot(shape["to_z"] - shape["from_z"], high - low), shown_unit("mm").symbol
    mass = f"−ρ π/4 d² s = −ρ · π/4 · {_in(bore)}² · {_in(length)} {unit}³"
    heights = f"({_in(low)}² + {_in(low)} · {_in(high)} + {_in(high)}²)/3"
    return mass, f"m (h₁² + h₁h₂ + h₂²)/3 = m · {heights} {unit}²"
