"""A solid as the triangles of its surface, and what follows from them by the divergence theorem.

Frame: x to the right and y up as seen from the front, z toward the front, so right-handed; z is the
negative of a place along the shaft. The surface is closed and its triangles turn anticlockwise as
seen from outside. Closed surfaces that touch may stand in one mesh.

Source: any book on vector analysis; moments of a tetrahedron with a corner in the origin.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.one_line import one_line

_SAME = 9  # decimals [m] to which corners are one
_Z_TO_Y = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]])


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """Corners (n, 3) [m] and triangles (m, 3) of their numbers."""

    vertices: Array
    faces: NDArray[np.int64]

    def __repr__(self) -> str:
        return one_line(self, f"{len(self.vertices)} corners", f"{len(self.faces)} triangles")

    @property
    def triangles(self) -> Array:
        """Corners of each triangle (m, 3, 3) [m].

        Reference: by definition.
        """
        return self.vertices[self.faces]

    @property
    def volume(self) -> float:
        """Volume within [m³].

        Reference: divergence theorem.
        """
        return float(self._tetrahedra().sum())

    @property
    def first_moment(self) -> Array:
        """Static moments about the planes through the origin (3,) [m⁴].

        Reference: divergence theorem.
        """
        return self._tetrahedra() @ self.triangles.sum(axis=1) / 4

    @property
    def polar(self) -> float:
        """Polar moment about the z axis [m⁵].

        Reference: divergence theorem; a tetrahedron's second moments, V/20 (Σ vᵢvᵢ + (Σ vᵢ)²).
        """
        across = self.triangles[:, :, :2]
        squares = (across**2).sum(axis=(1, 2)) + (across.sum(axis=1) ** 2).sum(axis=1)
        return float(self._tetrahedra() @ squares / 20)

    def moved(self, rotation: Array, shift: Array) -> "Mesh":
        """Return it turned by a matrix (3, 3), then shifted (3,) [m].

        Reference: by definition.
        """
        return Mesh(self.vertices @ rotation.T + shift, self.faces)

    def shifted(self, shift: Array) -> "Mesh":
        """Return it shifted (3,) [m].

        Reference: by definition.
        """
        return Mesh(self.vertices + shift, self.faces)

    def upright(self) -> "Mesh":
        """Return it with its z axis turned to y.

        Reference: plane geometry.
        """
        return self.moved(_Z_TO_Y, np.zeros(3))

    def turned(self, angle: float) -> "Mesh":
        """Return it turned about the shaft's axis with the crank's rotation [rad].

        Reference: plane geometry; clockwise as seen from the front.
        """
        return self.moved(with_rotation(angle), np.zeros(3))

    def _tetrahedra(self) -> Array:
        """Return the signed volume between the origin and each triangle (m,) [m³]."""
        first, second, third = self.triangles.transpose(1, 0, 2)
        return (first * np.cross(second, third)).sum(axis=1) / 6


def with_rotation(angle: float) -> Array:
    """Return the matrix (3, 3) that turns with the crank [rad], clockwise from the front.

    Reference: plane geometry.
    """
    sin, cos = np.sin(angle), np.cos(angle)
    return np.array([[cos, sin, 0.0], [-sin, cos, 0.0], [0.0, 0.0, 1.0]])


def mesh_of(triangles: Array) -> Mesh:
    """Return triangles (m, 3, 3) [m] as a mesh: corners in one place are one, outside is outward.

    Triangles without area are left out; all must turn alike.

    Reference: by definition.
    """
    corners = triangles.reshape(-1, 3)
    first, number = distinct(np.round(corners, _SAME) + 0.0)
    faces = number.reshape(-1, 3)
    real = (
        (faces[:, 0] != faces[:, 1]) & (faces[:, 1] != faces[:, 2]) & (faces[:, 2] != faces[:, 0])
    )
    found = Mesh(corners[first], faces[real])
    return found if found.volume > 0 else Mesh(found.vertices, found.faces[:, ::-1])


def distinct(rows: Array) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return where each distinct row of (n, k) stands first, and each row's number among them.

    Reference: by definition.
    """
    number = np.zeros(len(rows), np.int64)
    for column in rows.T:
        values, place = np.unique(column, return_inverse=True)
        _, number = np.unique(number * len(values) + place, return_inverse=True)
    _, first = np.unique(number, return_index=True)
    return first, number


def joined(meshes: Iterable[Mesh]) -> Mesh:
    """Return meshes as one; each stays a closed surface of its own.

    Reference: by definition.
    """
    parts = list(meshes)
    starts = np.cumsum([0, *(len(part.vertices) for part in parts)])
    return Mesh(
        np.concatenate([part.vertices for part in parts]),
        np.concatenate([part.faces + start for part, start in zip(parts, starts, strict=False)]),
    )
