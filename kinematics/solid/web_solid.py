"""A crank web as a solid: its outline row by row in height, with chamfer and pocket.

In its own frame the main axis is z = 0 … thickness from the face at the pin, and the pin is up.

Source: plane geometry; the cuts as of `web_lightening`.
"""

import math

import numpy as np

from kinematics.array import Array
from kinematics.mechanics.part_shapes import WebShape
from kinematics.mechanics.web_lightening import WebPlate, outline_kinks, web_chord
from kinematics.solid.mesh import Mesh, mesh_of
from kinematics.solid.simple_solids import ROUND, swept

_POINT = 1e-4  # half a chord over the radius that is an outline's end


def web_solid(web: WebShape, crank_radius: float) -> Mesh:
    """Return a web [m], the face at the pin at z = 0, that at the main at its thickness.

    Reference: plane geometry.
    """
    plate = WebPlate(web.hub_radius, web.pin_end_radius, crank_radius, web.thickness)
    y = _rows(plate, web)
    half = web_chord(plate, y) / 2
    half[half < _POINT * plate.main_radius] = 0.0
    top = web.thickness - _chamfered(web, y)
    across = np.sqrt(np.maximum(web.pocket_radius**2 - (y - web.pocket_height) ** 2, 0.0))
    across[across < _POINT * web.pocket_radius] = 0.0
    across = np.minimum(across, half)
    floor = np.where(across > 0, np.minimum(top, web.thickness - web.pocket_depth), top)
    zero = np.zeros_like(y)
    face = ((-half, zero), (-across, zero), (across, zero), (half, zero))
    cut = ((half, top), (across, top), (across, floor), (-across, floor), (-across, top))
    outline = (*face, *cut, (-half, top))
    return mesh_of(swept([np.column_stack((x, y, z)) for x, z in outline]))


def _rows(plate: WebPlate, web: WebShape) -> Array:
    """Return the heights at which the surface has corners [m]."""
    turn = np.cos(np.linspace(0, math.pi, ROUND // 2 + 1))
    rows = [plate.main_radius * turn, plate.crank_radius + plate.pin_radius * turn]
    rows.append(web.pocket_height + web.pocket_radius * turn)
    slope = _slope(web)
    rows.append(np.array([web.chamfer_start, web.chamfer_end,
                          web.chamfer_start + web.pocket_depth / slope]))  # fmt: skip
    kinks = np.array(outline_kinks(plate))
    found = np.unique(
        np.clip(np.concatenate([*rows, kinks]), kinks.min(), min(plate.tip, web.chamfer_end))
    )
    return found[np.append(True, np.diff(found) > 1e-7)]


def _slope(web: WebShape) -> float:
    """Return how steep the chamfer is."""
    return web.thickness / max(web.chamfer_end - web.chamfer_start, 1e-12)


def _chamfered(web: WebShape, y: Array) -> Array:
    """Return how deep the chamfer is at heights [m]."""
    return np.clip((y - web.chamfer_start) * _slope(web), 0.0, web.thickness)
