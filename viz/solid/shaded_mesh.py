"""A solid as it is shaded and outlined: corners with normals, and the edges that are sharp.

Where two triangles meet at more than `CREASE` the corner is two corners, each with a normal of its
own, and the edge between them is drawn.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.solid.mesh import Mesh, distinct

CREASE = math.radians(32)


@dataclass(frozen=True, slots=True, eq=False)
class ShadedMesh:
    """Corners with their normals (n, 3), triangles (m, 3), ends of the sharp edges (k, 2, 3)."""

    corners: Array
    normals: Array
    faces: NDArray[np.int64]
    edges: Array


def shaded_mesh(mesh: Mesh) -> ShadedMesh:
    """Return a mesh with a normal at each corner: of the triangles there that hardly lean."""
    crossed = _crossed(mesh)
    size = np.linalg.norm(crossed, axis=1, keepdims=True)
    flat = crossed / np.maximum(size, 1e-30)
    normals = _corner_normals(mesh, crossed, flat)
    first, place = distinct(np.hstack([mesh.faces.reshape(-1, 1), np.round(normals * 200)]))
    return ShadedMesh(
        mesh.vertices[mesh.faces.ravel()[first]],
        normals[first],
        place.reshape(-1, 3),
        _sharp_edges(mesh, flat),
    )


def _crossed(mesh: Mesh) -> Array:
    """Return each triangle's normal, as long as twice its area (m, 3)."""
    first, second, third = mesh.triangles.transpose(1, 0, 2)
    return np.cross(second - first, third - first)


def _corner_normals(mesh: Mesh, crossed: Array, flat: Array) -> Array:
    """Return a normal for each corner of each triangle (3m, 3)."""
    vertex = mesh.faces.ravel()
    order = np.argsort(vertex, kind="stable")
    _, start, count = np.unique(vertex[order], return_index=True, return_counts=True)
    size = np.repeat(count, count)
    own = np.repeat(order, size)
    within = np.arange(len(own)) - np.repeat(np.cumsum(size) - size, size)
    other = order[np.repeat(np.repeat(start, count), size) + within]
    near = (flat[own // 3] * flat[other // 3]).sum(axis=1) > math.cos(CREASE)
    own, other = own[near], other[near]
    weighed = crossed[other // 3]
    found = np.stack([
        np.bincount(own, weighed[:, axis], minlength=len(vertex)) for axis in range(3)
    ], axis=1)  # fmt: skip
    return found / np.maximum(np.linalg.norm(found, axis=1, keepdims=True), 1e-30)


def _sharp_edges(mesh: Mesh, flat: Array) -> Array:
    """Return the ends of the edges at which two triangles lean (k, 2, 3)."""
    faces = mesh.faces
    edges = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    face = np.tile(np.arange(len(faces)), 3)
    ahead = edges[:, 0] < edges[:, 1]
    ends = np.sort(edges, axis=1)
    key = ends[:, 0] * len(mesh.vertices) + ends[:, 1]
    left, right = (np.flatnonzero(side)[np.argsort(key[side])] for side in (ahead, ~ahead))
    leaning = (flat[face[left]] * flat[face[right]]).sum(axis=1) < math.cos(CREASE)
    return mesh.vertices[ends[left[leaning]]]
