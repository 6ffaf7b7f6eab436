"""Simple solids: what a closed outline sweeps, turned, drawn along an axis or given row by row.

All come of one thing: a closed outline whose every corner follows a line of as many points.

Source: elementary geometry.
"""

import math
from itertools import pairwise

import numpy as np

from kinematics.array import Array
from kinematics.solid.mesh import Mesh, mesh_of

ROUND = 64  # corners of a full circle


def circle(radius: float) -> Array:
    """Return a closed circle's corners (n, 2) [m], the last the first, from +x anticlockwise.

    Reference: plane geometry.
    """
    return arc(radius, 0.0, 2 * math.pi)


def arc(radius: float, start: float, end: float) -> Array:
    """Return an arc's corners (n, 2) [m] between two angles from +x [rad].

    Reference: plane geometry.
    """
    count = max(3, math.ceil(abs(end - start) / (2 * math.pi) * ROUND - 1e-9)) + 1
    angle = np.linspace(start, end, count)
    return np.column_stack((np.cos(angle), np.sin(angle))) * radius


def swept(lines: list[Array]) -> Array:
    """Return the surface of a closed outline whose corners follow lines, each (n, 3) [m].

    The first and last outlines are left open unless the lines' ends meet. Triangles (m, 3, 3).

    Reference: elementary geometry.
    """
    return np.concatenate([_strip(a, b) for a, b in pairwise([*lines, lines[0]])])


def band(outer: Array, inner: Array, low: float, high: float) -> Mesh:
    """Return what lies between two lines (n, 2) [m] and two heights z [m].

    Closed lines make a ring, others a sector.

    Reference: elementary geometry.
    """
    lines = [
        np.column_stack((line, np.full(len(line), z)))
        for line, z in ((inner, low), (outer, low), (outer, high), (inner, high))
    ]
    surface = [swept(lines)]
    if not np.allclose(outer[0], outer[-1]):
        surface += [_quad(*(line[0] for line in lines[::-1])), _quad(*(line[-1] for line in lines))]
    return mesh_of(np.concatenate(surface))


def hollow_cylinder(diameter: float, bore: float, low: float, high: float) -> Mesh:
    """Return a cylinder about z between two heights [m]; a bore of 0 is none.

    Reference: elementary geometry.
    """
    return band(circle(diameter / 2), circle(bore / 2), low, high)


def revolved(profile: Array) -> Mesh:
    """Return a closed profile (k, 2) of radius and height [m] turned about y.

    Reference: elementary geometry.
    """
    turn = circle(1.0)
    return mesh_of(
        swept([
            np.column_stack((radius * turn[:, 0], np.full(len(turn), y), radius * turn[:, 1]))
            for radius, y in profile
        ])
    )  # fmt: skip


def block_of(low: Array, high: Array) -> Mesh:
    """Return the solid between two outlines of four corners, each (4, 3) [m].

    Reference: elementary geometry.
    """
    lines = [np.stack((below, above)) for below, above in zip(low, high, strict=True)]
    ends = [_quad(*low[::-1]), _quad(*high)]
    return mesh_of(np.concatenate([swept(lines), *ends]))


def _strip(first: Array, second: Array) -> Array:
    """Return the triangles between two lines of as many points."""
    a, b = first[:-1], second[:-1]
    on_a, on_b = first[1:], second[1:]
    return np.concatenate((np.stack((a, b, on_b), axis=1), np.stack((a, on_b, on_a), axis=1)))


def _quad(a: Array, b: Array, c: Array, d: Array) -> Array:
    return np.array([[a, b, c], [a, c, d]])
