"""The crank train as solids: the shaft's bodies, and one of each part that its cylinders share.

Source: elementary geometry; the places of the parts as of `slider_crank`.
"""

from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.mechanics.part_shapes import BlockShape, PartGeometry
from kinematics.mechanics.slider_crank import SliderCrank, pose, posed_motion
from kinematics.shaft.part_geometry import part_geometry
from kinematics.solid.crankshaft_solid import SolidPart, crankshaft_solids
from kinematics.solid.mesh import Mesh, joined, with_rotation
from kinematics.solid.piston_solid import pin_solid, piston_solid, ring_solids
from kinematics.solid.rod_solid import cap_solid, rod_solid
from kinematics.solid.simple_solids import revolved
from kinematics.train.cylinder_pressure import slider_crank

ON_PISTON = ("piston", "rings", "piston pin")  # in the piston's frame; others in the rod's


@dataclass(frozen=True, slots=True, eq=False)
class TrainSolids:
    """The solids of a design [m]; the parts of a cylinder once, by name, in their own frames.

    A piston's origin is on the bore's axis at the pin's height, a rod's the big end's centre;
    `bore` stands about a cylinder's axis from the crank's axis.
    """

    parts: PartGeometry
    crankshaft: tuple[SolidPart, ...]
    per_cylinder: dict[str, Mesh]
    bore: Mesh


def train_solids(design: Design) -> TrainSolids:
    """Return all solids of a design.

    Reference: elementary geometry.
    """
    parts = part_geometry(design)
    piston, rod, pin = parts.piston, parts.rod, parts.crankpin.diameter
    meshes = {
        "piston": piston_solid(piston, rod, parts.pin_offset),
        "rings": ring_solids(piston),
        "piston pin": pin_solid(piston, parts.pin_offset),
        "rod": rod_solid(rod, piston, pin),
        "rod cap": cap_solid(rod, pin),
    }
    return TrainSolids(parts, crankshaft_solids(design), meshes, _bore(parts.block))


def assembled(design: Design, crank_angle: float = 0.0) -> tuple[SolidPart, ...]:
    """Return every part in its place at a crank angle [rad], as the engine stands.

    Cylinder 1 leans by its bank angle; the crank angle counts from its axis.

    Reference: plane geometry of the slider-crank.
    """
    solids = train_solids(design)
    parts = solids.parts
    turned = crank_angle + parts.cylinders[0].bank_angle
    found = [
        SolidPart(part.name, part.kind, part.number, part.mesh.turned(turned))
        for part in solids.crankshaft
    ]
    crank = slider_crank(design.cylinder)
    for number, place in enumerate(parts.cylinders, 1):
        own = turned + parts.throws[place.throw - 1].angle - place.bank_angle
        piston, rod = _places(crank, own)
        along = np.array([0.0, 0.0, -place.z])
        for name, mesh in solids.per_cylinder.items():
            upright = mesh.moved(*(piston if name in ON_PISTON else rod))
            posed = upright.moved(with_rotation(place.bank_angle), along)
            found.append(SolidPart(f"{name} {number}", name, number, posed))
    return tuple(found)


def _places(crank: SliderCrank, angle: float) -> tuple[tuple[Array, Array], tuple[Array, Array]]:
    """Return matrix and shift of a piston and of a rod at their throw's angle from the axis."""
    motion = posed_motion(crank, pose(crank, np.array(angle)))
    height = crank.top - float(motion.displacement)
    big_end = crank.crank_radius * np.array([np.sin(angle), np.cos(angle), 0.0])
    return (
        (np.eye(3), np.array([0.0, height, 0.0])),
        (with_rotation(-float(motion.rod_angle)), big_end),
    )


def as_one(parts: tuple[SolidPart, ...]) -> Mesh:
    """Return parts as one mesh.

    Reference: by definition.
    """
    return joined(part.mesh for part in parts)


def _bore(block: BlockShape) -> Mesh:
    """Return a cylinder's wall with the chamber's roof about y, the crank's axis at 0 [m]."""
    inner, outer = block.bore / 2, block.bore / 2 + block.wall_thickness
    return revolved(np.array([
        (inner, block.bore_bottom), (outer, block.bore_bottom),
        (outer, block.deck_height), (inner, block.deck_height),
    ]))  # fmt: skip
