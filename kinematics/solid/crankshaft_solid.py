"""The crankshaft as solids, one for each body that is weighed, oil drillings apart.

They touch at their faces, as the bodies do. Oil drillings are drawn in no solid, and an even
relief of the webs, which has no place, is left out.

Source: elementary geometry; the bodies as of `shaft_geometry`.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from kinematics.design.design import Design
from kinematics.mechanics.part_shapes import CounterweightShape, PartGeometry
from kinematics.shaft.part_geometry import part_geometry
from kinematics.solid.mesh import Mesh
from kinematics.solid.simple_solids import arc, band, hollow_cylinder
from kinematics.solid.web_solid import web_solid

_MIRRORED = np.diag((1.0, 1.0, -1.0))


@dataclass(frozen=True, slots=True, eq=False)
class SolidPart:
    """A part by its name, of one kind; `number` counts from 1 at the front, 0 for the only one."""

    name: str
    kind: str
    number: int
    mesh: Mesh


def crankshaft_solids(design: Design) -> tuple[SolidPart, ...]:
    """Return the crankshaft's bodies as solids [m], throw 1 up, in the shaft's frame.

    Names and kinds are those of `shaft_geometry`; dimensions that are not given follow the bore.

    Reference: elementary geometry.
    """
    parts = part_geometry(design)
    return (
        *_ends(parts),
        *_journals(design, parts),
        *_pins(design, parts),
        *_webs(parts),
        *(
            _counterweight(weight, parts)
            for weight in parts.counterweights
            if weight.half_angle > 0
        ),
    )


def _ends(parts: PartGeometry) -> Iterator[SolidPart]:
    for name, end in (("nose", parts.nose), ("flange", parts.flange)):
        mesh = hollow_cylinder(end.diameter, 0.0, -end.z - end.length, -end.z)
        yield SolidPart(name, name, 0, mesh)


def _journals(design: Design, parts: PartGeometry) -> Iterator[SolidPart]:
    bore = 0.0 if design.crank_throw is None else design.crank_throw.journal_bore
    shape = parts.main_journal
    for number, z in enumerate(shape.z, 1):
        ends = -z - shape.length / 2, -z + shape.length / 2
        mesh = hollow_cylinder(shape.diameter, bore, *ends)
        yield SolidPart(f"main {number}", "main journal", number, mesh)


def _pins(design: Design, parts: PartGeometry) -> Iterator[SolidPart]:
    bore = 0.0 if design.crank_throw is None else design.crank_throw.pin_bore
    shape = parts.crankpin
    half = shape.length / 2
    pin = hollow_cylinder(shape.diameter, bore, -half, half)
    for number, place in enumerate(parts.throws, 1):
        shift = np.array([0.0, parts.crank_radius, -place.z])
        mesh = pin.shifted(shift).turned(place.angle)
        yield SolidPart(f"crankpin {number}", "crankpin", number, mesh)


def _webs(parts: PartGeometry) -> Iterator[SolidPart]:
    front = web_solid(parts.web, parts.crank_radius)
    rear = Mesh(front.vertices @ _MIRRORED, front.faces[:, ::-1])
    half = parts.web.thickness / 2
    for number, z in enumerate(parts.web.z, 1):
        mesh, face = (front, -half) if number % 2 else (rear, half)
        shift = np.array([0.0, 0.0, face - z])
        angle = parts.throws[(number - 1) // 2].angle
        mesh = mesh.shifted(shift).turned(angle)
        yield SolidPart(f"web {number}", "web", number, mesh)


def _counterweight(weight: CounterweightShape, parts: PartGeometry) -> SolidPart:
    """Return the ring sector, at the pin where its angle is 0."""
    ends = math.pi / 2 - weight.half_angle, math.pi / 2 + weight.half_angle
    half = weight.thickness / 2
    mesh = band(arc(weight.outer_radius, *ends), arc(weight.inner_radius, *ends),
                -weight.z - half, -weight.z + half)  # fmt: skip
    turned = mesh.turned(parts.throws[weight.throw - 1].angle + weight.angle)
    return SolidPart(f"counterweight {weight.web}", "counterweight", weight.web, turned)
