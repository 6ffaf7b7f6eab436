"""How a body of the shaft comes to its mass and inertia: the formula with the values put in."""

import math
from typing import Any

from kinematics import Design
from kinematics.design.shaft_throw import shaft_density, web_cuts, web_parts, web_plate
from kinematics.mechanics.web_lightening import WebSolid
from kinematics.shaft.shaft_geometry import Body
from kinematics.units import shown_unit
from viz.number_words import format_number, operand, with_unit


def body_formula(shape: dict[str, Any], body: Body, design: Design) -> list[str]:
    """Return a body's mass and its inertia as sentences; `shape` is of `shaft_scene`."""
    density = shaft_density(design)
    mass, inertia = {
        "round": _round, "web": _web, "sector": _sector, "drilling": _drilling,
    }[shape["form"]](shape, body, design)  # fmt: skip
    substitution = mass.replace("ρ ·", f"{with_unit(density, 'kg_m3', 4)} ·")
    return [
        f"m = {substitution} = {with_unit(body.mass, 'g')}",
        f"J = {inertia} = {with_unit(body.inertia, 'kg_mm2')}",
        *(web_cut_words(design) if shape["form"] == "web" else ()),
    ]


def web_cut_words(design: Design) -> list[str]:
    """Return what chamfer and pocket remove from a flat web, a line for each."""
    parts, plate, cuts = web_parts(design), web_plate(design), web_cuts(design)
    words = []
    if parts.chamfer.volume > 0:
        angle = operand(math.degrees(cuts.chamfer_angle))
        start = _in(cuts.chamfer_start(plate))
        words.append(f"Chamfer {angle}° from {start} {shown_unit('mm').symbol}: "
                     f"{_shares(parts.chamfer, parts.flat)}")  # fmt: skip
    if parts.pocket.volume > 0:
        size = f"{_in(cuts.pocket_diameter)} × {_in(cuts.pocket_depth)}"
        place = f"{_in(cuts.pocket_height)} {shown_unit('mm').symbol}"
        words.append(f"Pocket {size} at {place}: {_shares(parts.pocket, parts.flat)}")
    return words


def _shares(cut: WebSolid, flat: WebSolid) -> str:
    """Return what a cut takes of a flat web, in words."""
    volume, first, polar = (
        f"−{format_number(100 * getattr(cut, name) / getattr(flat, name), 3)} %"
        for name in ("volume", "first", "polar")
    )
    return f"{volume} volume, {first} static moment, {polar} inertia"


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
    parts, gyration = web_parts(design), math.sqrt(body.inertia / body.mass)
    area = parts.flat.volume / body.length
    symbols, numbers = "A t", f"{operand(area / unit.factor**2)} · {_in(body.length)}"
    for cut, symbol in ((parts.chamfer, "V_chamfer"), (parts.pocket, "V_pocket")):
        if cut.volume > 0:
            symbols += f" − {symbol}"
            numbers += f" − {operand(cut.volume / unit.factor**3)}"
    if "−" in symbols:
        symbols, numbers = f"({symbols})", f"({numbers})"
    if parts.relief:
        symbols, numbers = f"{symbols} (1 − e)", f"{numbers} · (1 − {operand(parts.relief)})"
    mass = f"ρ {symbols} = ρ · {numbers} {unit.symbol}³"
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
