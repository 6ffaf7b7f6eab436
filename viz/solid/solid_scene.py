"""The crank train's solids as one message: a JSON header and rows of 32-bit floats.

What moves together and is coloured alike is one body. The parts of a cylinder are sent once. Each
body has its corners, their normals, the triangles and the ends of its sharp edges.
"""

import json
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kinematics.design.design import Design
from kinematics.shaft.part_geometry import part_geometry
from kinematics.solid.mesh import Mesh, joined
from kinematics.solid.train_solids import TrainSolids, train_solids
from viz.solid.shaded_mesh import shaded_mesh
from viz.solid.solid_results import solid_results
from viz.train.scene import packed

_COLOURED = ("main journal", "crankpin")  # by their results; the rest of the shaft is one body
Body = tuple[str, str, int, tuple[tuple[str, Mesh], ...]]  # name, kind, number, (ink, mesh)


def solid_bytes(design: Design) -> NDArray[np.uint8]:
    """Return the solids of a design [m], with what colours them."""
    solids = train_solids(design)
    blocks: list[NDArray[Any]] = []
    place = 0
    bodies = []
    for name, kind, number, meshes in _bodies(solids):
        pieces = []
        for ink, mesh in meshes:
            shaded = shaded_mesh(mesh)
            piece: dict[str, Any] = {"ink": ink}
            for key in ("corners", "normals", "faces", "edges"):
                row = np.ravel(getattr(shaded, key))
                piece[key] = [place, row.size]
                place += row.size
                blocks.append(row)
            pieces.append(piece)
        bodies.append({"name": name, "kind": kind, "number": number, "pieces": pieces})
    header = {
        "cylinders": design.layout.cylinders,
        "bodies": bodies,
        "results": solid_results(design),
    }
    return packed(json.dumps(header), np.concatenate(blocks))


def solid_source(design: Design) -> tuple[Any, ...]:
    """Return what the solids of a design follow from: where it is equal, they are."""
    throw = design.crank_throw
    bores = None if throw is None else (throw.journal_bore, throw.pin_bore)
    return part_geometry(design), bores, solid_results(design)


def _bodies(solids: TrainSolids) -> list[Body]:
    """Return what is drawn: journals and pins apart, for their colours, the rest joined."""
    found: list[Body] = []
    rest: dict[str, list[Mesh]] = {"steel": [], "steelDark": []}
    for part in solids.crankshaft:
        if part.kind in _COLOURED:
            found.append((part.name, part.kind, part.number, (("steel", part.mesh),)))
        else:
            dark = part.kind == "counterweight"
            rest["steelDark" if dark else "steel"].append(part.mesh)
    whole = tuple((ink, joined(meshes)) for ink, meshes in rest.items() if meshes)
    each = solids.per_cylinder
    found.append(("crankshaft", "crankshaft", 0, whole))
    found.append(
        ("piston", "piston", 0, (("piston", each["piston"]), ("steelDark", each["rings"])))
    )
    found.append(("piston pin", "piston pin", 0, (("steel", each["piston pin"]),)))
    found.append(("rod", "rod", 0, (("rod", each["rod"]),)))
    found.append(("rod cap", "rod cap", 0, (("rod", each["rod cap"]),)))
    found.append(("bore", "bore", 0, (("edge", solids.bore),)))
    return found
