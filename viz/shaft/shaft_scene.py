"""What the browser needs to draw the shaft: its bodies with their shapes, as plain JSON.

Lengths in m, angles in rad from throw 1 in the sense of rotation, z to the rear. Where a design
lacks the dimensions that give weight, shapes come by usual proportions and have no numbers.
"""

import cmath
import dataclasses
import math
from collections.abc import Iterator
from typing import Any

from kinematics import Design
from kinematics.mechanics.part_shapes import PartGeometry, ShaftEnd, WebShape
from kinematics.shaft.part_geometry import part_geometry
from kinematics.shaft.shaft_geometry import Body, Shaft
from viz.number_words import format_number, with_unit
from viz.shaft.shaft_formulas import body_formula


def shaft_scene(design: Design, shaft: Shaft | None) -> dict[str, Any]:
    """Return bodies and what the views are fitted to."""
    parts = part_geometry(design)
    numbers = {} if shaft is None else {body.name: body for body in shaft.bodies}
    bodies = [
        body | _numbers(numbers.get(body["name"]), shaft, body["shape"], design)
        for body in _shapes(design, parts)
        if shaft is None or body["name"] in numbers
    ]
    return {
        "name": design.name,
        "weighed": shaft is not None,
        "front": parts.nose.z,
        "rear": parts.flange.z + parts.flange.length,
        "reach": _reach(parts),
        "crank_radius": parts.crank_radius,
        "throws": [{"z": throw.z, "angle": throw.angle} for throw in parts.throws],
        "bodies": sorted(bodies, key=lambda body: body["z"]),
        "misfits": list(parts.misfits),
    }


def _reach(parts: PartGeometry) -> float:
    """Return the greatest distance of a body from the shaft's axis [m]."""
    pin_end = parts.crank_radius + parts.web.pin_end_radius
    weights = [weight.outer_radius for weight in parts.counterweights]
    return max(pin_end, parts.web.hub_radius, parts.flange.diameter / 2, *weights)


def _numbers(
    body: Body | None, shaft: Shaft | None, shape: dict[str, Any], design: Design
) -> dict[str, Any]:
    """Return a body's numbers in words with their formulas, and its shares of the whole."""
    if body is None or shaft is None:
        return {}
    shares = {"mass": body.mass / shaft.mass, "inertia": body.inertia / shaft.inertia}
    moment, angle = abs(body.moment), math.degrees(cmath.phase(body.moment)) % 360
    centred = moment < 1e-12
    return {
        "share": shares,
        "formula": body_formula(shape, body, design),
        "share_words": {
            name: f"{format_number(100 * share, 3)} %" for name, share in shares.items()
        },
        "words": {
            "mass": with_unit(body.mass, "g"),
            "inertia": with_unit(body.inertia, "kg_mm2"),
            "moment": "none, it is centred" if centred
            else f"{with_unit(moment, 'kg_mm')} at {format_number(angle, 3)}°",
        },
    }  # fmt: skip


def _shapes(design: Design, parts: PartGeometry) -> Iterator[dict[str, Any]]:
    throw = design.crank_throw
    pin_bore, main_bore = (0.0, 0.0) if throw is None else (throw.pin_bore, throw.journal_bore)
    for name, end in (("nose", parts.nose), ("flange", parts.flange)):
        yield _end(name, end)
    mains, pins, web = parts.main_journal, parts.crankpin, parts.web
    for number, z in enumerate(mains.z, 1):
        yield _body(f"main {number}", "main journal", 0, z, mains.length, 0.0,
                    _round(mains.diameter, main_bore, 0.0))  # fmt: skip
    for t, place in enumerate(parts.throws, 1):
        yield _body(f"crankpin {t}", "crankpin", t, place.z, pins.length, place.angle,
                    _round(pins.diameter, pin_bore, parts.crank_radius))  # fmt: skip
    for number, z in enumerate(web.z, 1):
        t = (number + 1) // 2
        yield _body(
            f"web {number}",
            "web",
            t,
            z,
            web.thickness,
            parts.throws[t - 1].angle,
            _web(web, to_pin=1 if number % 2 else -1),
        )
    yield from _weights(parts)
    yield from _drillings(parts)


def _web(web: WebShape, to_pin: int) -> dict[str, Any]:
    """Return a web's shape; `to_pin` is 1 where its pin is at its rear, -1 at its front."""
    shape = dataclasses.asdict(web)
    del shape["z"]
    return {"form": "web", "to_pin": to_pin} | shape


def _weights(parts: PartGeometry) -> Iterator[dict[str, Any]]:
    for weight in parts.counterweights:
        angle = parts.throws[weight.throw - 1].angle + weight.angle
        yield _body(f"counterweight {weight.web}", "counterweight", weight.throw, weight.z,
                    weight.thickness, angle,
                    {"form": "sector", "inner_radius": weight.inner_radius,
                     "outer_radius": weight.outer_radius, "half_angle": weight.half_angle,
                     "fits": weight.fits})  # fmt: skip


def _drillings(parts: PartGeometry) -> Iterator[dict[str, Any]]:
    for drilling in parts.oil_drillings:
        yield _body(f"oil drilling {drilling.throw}", "oil drilling", drilling.throw,
                    (drilling.from_z + drilling.to_z) / 2, drilling.to_z - drilling.from_z,
                    parts.throws[drilling.throw - 1].angle,
                    {"form": "drilling", "diameter": drilling.diameter, "from_z": drilling.from_z,
                     "from_height": drilling.from_height, "to_z": drilling.to_z,
                     "to_height": drilling.to_height})  # fmt: skip


def _end(name: str, end: ShaftEnd) -> dict[str, Any]:
    middle = end.z + end.length / 2
    return _body(name, name, 0, middle, end.length, 0.0, _round(end.diameter, 0.0, 0.0))


def _round(diameter: float, bore: float, offset: float) -> dict[str, Any]:
    return {"form": "round", "radius": diameter / 2, "bore": bore / 2, "offset": offset}


def _body(
    name: str, kind: str, throw: int, z: float, length: float, angle: float, shape: dict[str, Any]
) -> dict[str, Any]:
    return {
        "name": name, "kind": kind, "throw": throw, "z": z, "length": length, "angle": angle,
        "shape": shape,
    }  # fmt: skip
