"""A crank web as the balancing card draws it: its outline, and the edges of chamfer and pocket.

Lengths are parts of a radius, heights from the main axis toward the pin, half widths from the line
between the two; both sides are alike.
"""

from typing import Any

import numpy as np

from kinematics.array import Array
from kinematics.mechanics.part_shapes import WebShape
from kinematics.mechanics.web_lightening import WebPlate, web_chord

STEPS = 49  # heights of the outline


def web_sketch(shape: WebShape, crank_radius: float, web: int, radius: float) -> dict[str, Any]:
    """Return outline, chamfer and pocket of web number `web`, counted from 1 at the front.

    `outline` is a list of [half width, height]; `chamfer` such a point for each of its edges on
    the web's faces, and `pocket` its height and radius, None where there is none. Both are cut
    from the face at the main journal, which on a throw's rear web is `behind` from the front.
    """
    plate = WebPlate(shape.hub_radius, shape.pin_end_radius, crank_radius, shape.thickness)
    top = min(plate.tip, shape.chamfer_end)
    turn = np.pi * (1 - np.arange(STEPS) / (STEPS - 1))  # more points at both round ends
    low = min(-plate.main_radius, crank_radius - plate.pin_radius)
    height = low + (top - low) * (1 + np.cos(turn)) / 2
    edges = np.array([at for at in (shape.chamfer_start, shape.chamfer_end) if at < plate.tip])
    pocket = [shape.pocket_height / radius, shape.pocket_radius / radius]
    return {
        "outline": _points(plate, height, radius),
        "chamfer": _points(plate, edges, radius),
        "pocket": pocket if shape.pocket_radius > 0 else None,
        "behind": web % 2 == 0,
    }


def _points(plate: WebPlate, height: Array, radius: float) -> list[list[float]]:
    half = web_chord(plate, height) / 2
    return np.round(np.stack((half, height), axis=-1) / radius, 5).tolist()
