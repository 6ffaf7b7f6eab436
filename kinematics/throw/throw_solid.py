"""Stiffness of a throw between its ends by finite elements in space.

Prisms of six-node triangles and three nodes along the shaft: the stiffness of each slab is a sum
of products of a matrix of its section and one of its length. A throw is alike on both sides of
its plane and before and behind its pin's middle, so a quarter is solved four times, and its end
stiffness falls apart into four parts. Both ends are rigid discs.

Source: Zienkiewicz and Taylor, The Finite Element Method, vol. 1, isoparametric elements (from
memory); condensed as by Guyan (from memory).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import sparse  # type: ignore[import-untyped]
from scipy.sparse.linalg import splu  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.one_line import frozen_record
from kinematics.throw.throw_mesh import PlaneMesh, own_slopes, plane_mesh
from kinematics.throw.throw_shape import ThrowShape

# Points and weights of degree 4 on a triangle of area 1/2: Dunavant, Int. J. Numer. Meth. Eng. 21
# (1985) (from memory; a test integrates polynomials with them).
_NEAR, _FAR = 0.445948490915965, 0.091576213509771
_NEAR_WEIGHT, _FAR_WEIGHT = 0.223381589678011 / 2, 0.109951743655322 / 2
X, Y, Z = range(3)
POISSON = 0.2875  # of steel, as of `STEEL_POISSON`
ON_PLANE = 1e-9  # distance from a plane of symmetry, over the throw's size
CROWDING = 0.85  # of layers toward a slab's faces: 0 is even, 1 leaves them no thickness there

Slab = tuple[NDArray[np.bool_], Array]  # triangles and heights of the nodes of layers
Products = list[list[sparse.csr_matrix]]


@dataclass(frozen=True, slots=True)
class EndStiffness:
    """Stiffness of a throw between its ends against their motion relative to each other.

    Moments turn the ends about x across the throw, about y outward and about z along it. An end
    shifts along x or y without turning; for a throw of crank radius and modulus 1 as numbers.
    """

    axial: float  # [N/m] of shifts along z, turns held
    in_plane: float  # [N·m/rad] of turns about x, turns held: pure bending in the throw's plane
    axial_in_plane: float  # [N/rad] between these two
    shear_in_plane: float  # [N/m] of shifts along y
    across: float  # [N·m/rad] of turns about y: pure bending across the throw
    torsion: float  # [N·m/rad] of turns about z, the ends held sideways
    shear_across: float  # [N/m] of shifts along x
    torsion_shear: float  # [N/rad] between these two

    @property
    def free_in_plane(self) -> float:
        """In pure bending with the ends free to move along the shaft [N·m/rad]."""
        return self.in_plane - self.axial_in_plane**2 / self.axial

    @property
    def free_torsion(self) -> float:
        """In torsion with the ends free to move sideways [N·m/rad]."""
        return self.torsion - self.torsion_shear**2 / self.shear_across


@dataclass(frozen=True, slots=True)
class Fineness:
    """How fine a mesh is."""

    side: float  # of the triangles, over the mean diameter of journal and pin
    layers: int = 4  # at least, across each slab
    ring: float = 0.15  # as of `plane_mesh`


@frozen_record
class Quarter:
    """The stiffness of a quarter of a throw, and where its nodes are."""

    stiffness: sparse.csc_matrix  # of 3 freedoms a node, for a modulus of 1
    place: Array  # (3, n)


Solver = Callable[[sparse.csc_matrix, Array], Array]  # shifts (n, m) from stiffness and loads


def end_stiffness(
    shape: ThrowShape,
    fineness: Fineness,
    *,
    poisson: float = POISSON,
    solve: Solver | None = None,
) -> EndStiffness:
    """Return a throw's end stiffness for a modulus of 1; it falls toward a finer mesh's.

    Parameters
    ----------
    solve : of a positive definite system; without, `by_elimination`

    Reference: Zienkiewicz and Taylor, The Finite Element Method, vol. 1 (from memory).
    """
    return end_parts(throw_quarter(shape, fineness, poisson), solve or by_elimination)


def by_elimination(stiffness: sparse.csc_matrix, load: Array) -> Array:
    """Return shifts under loads (n, m), by Gauss's elimination without pivots."""
    factor = splu(
        stiffness,
        permc_spec="MMD_AT_PLUS_A",
        diag_pivot_thresh=0.0,
        options={"SymmetricMode": True},
    )
    shift: Array = factor.solve(load)
    return shift


def throw_quarter(shape: ThrowShape, fineness: Fineness, poisson: float) -> Quarter:
    """Return the stiffness of a throw's quarter: x ≥ 0, from the pin's middle to a main's."""
    size = fineness.side * (shape.main_diameter + shape.pin_diameter) / 2
    mesh = plane_mesh(shape, size, fineness.ring)
    slabs = (
        (mesh.in_pin, shape.pin_length / 2),
        (np.ones_like(mesh.in_pin), shape.web_thickness),
        (mesh.in_journal, shape.journal_length / 2),
    )
    layered = tuple(
        (inside, _layers(thickness, max(fineness.layers, math.ceil(thickness / size))))
        for inside, thickness in slabs
    )
    return stacked(mesh, layered, poisson)


def stacked(mesh: PlaneMesh, slabs: tuple[Slab, ...], poisson: float) -> Quarter:
    """Return the stiffness of slabs: of some triangles of one mesh (e,) each, and heights.

    Reference: Zienkiewicz and Taylor, The Finite Element Method, vol. 1 (from memory).
    """
    start, parts = 0.0, []
    heights: list[Array] = [np.zeros(1)]
    for inside, layers in slabs:
        height = start + layers
        parts.append((_section(mesh, inside), _along(height), sum(map(len, heights)) - 1))
        heights.append(height[1:])
        start = height[-1]
    levels = np.concatenate(heights)
    used = np.zeros((len(levels), mesh.node.shape[1]), dtype=bool)
    for section, along, first in parts:
        used[first : first + along[0][0].shape[0]] |= section[0][0].diagonal() > 0
    number = np.where(used, np.cumsum(used).reshape(used.shape) - 1, -1)
    unknowns = 3 * int(used.sum())
    total = sparse.csc_matrix((unknowns, unknowns))
    for section, along, first in parts:
        own = number[first : first + along[0][0].shape[0]]
        total = total + _numbered(_slab(section, along, poisson), own, unknowns)
    level, node = np.nonzero(used)
    return Quarter(total.tocsc(), np.stack((*mesh.node[:, node], levels[level])))


def _layers(thickness: float, layers: int) -> Array:
    """Return heights of the nodes of layers across a slab, thinner toward its faces."""
    share = np.linspace(0, 1, layers + 1)
    share = share - CROWDING * np.sin(2 * math.pi * share) / (2 * math.pi)
    ends = thickness * share
    return np.insert(ends, np.arange(1, layers + 1), (ends[1:] + ends[:-1]) / 2)


def _section(mesh: PlaneMesh, inside: NDArray[np.bool_]) -> Products:
    """Return ∫ a_k b_l over part of the mesh: k, l none (0), along x (1), along y (2)."""
    triangle = mesh.triangle[:, inside]
    value, slope, weight = _triangle_points(mesh.node[:, triangle])
    bases = np.stack((np.broadcast_to(value[..., None], slope[0].shape), *slope))  # (3, 6, q, e)
    row, column = np.repeat(triangle, 6, axis=0), np.tile(triangle, (6, 1))
    nodes = mesh.node.shape[1]
    return [
        [
            sparse.csr_matrix(
                (np.einsum("aqe,bqe,qe->abe", first, second, weight).reshape(36, -1).ravel(),
                 (row.ravel(), column.ravel())), shape=(nodes, nodes))
            for second in bases
        ]
        for first in bases
    ]  # fmt: skip


def _triangle_points(corner: Array) -> tuple[Array, Array, Array]:
    """Return shape functions (6, q), their slopes (2, 6, q, e) and weights (q, e)."""
    b = np.array([_NEAR, _NEAR, 1 - 2 * _NEAR, _FAR, _FAR, 1 - 2 * _FAR])
    c = np.array([_NEAR, 1 - 2 * _NEAR, _NEAR, _FAR, 1 - 2 * _FAR, _FAR])
    a = 1 - b - c
    value = np.stack((a * (2 * a - 1), b * (2 * b - 1), c * (2 * c - 1), 4 * b * c, 4 * c * a,
                      4 * a * b))  # fmt: skip
    own = own_slopes(np.stack((b, c)))
    jacobian = np.einsum("kaq,lae->klqe", own, corner)  # dx_l / dξ_k
    area = jacobian[0, 0] * jacobian[1, 1] - jacobian[0, 1] * jacobian[1, 0]
    inverse = np.stack((np.stack((jacobian[1, 1], -jacobian[0, 1])),
                        np.stack((-jacobian[1, 0], jacobian[0, 0])))) / area  # fmt: skip
    slope = np.einsum("lkqe,kaq->laqe", inverse, own)
    weights = np.repeat((_NEAR_WEIGHT, _FAR_WEIGHT), 3)
    return value, slope, weights[:, None] * area


def _along(height: Array) -> Products:
    """Return ∫ p q along layers of three nodes; an index of 1 is the slope's."""
    length = height[2::2] - height[:-2:2]
    mass = np.array([[4, 2, -1], [2, 16, 2], [-1, 2, 4]]) / 30
    slopes = np.array([[7, -8, 1], [-8, 16, -8], [1, -8, 7]]) / 3
    mixed = np.array([[-3, 4, -1], [-4, 0, 4], [1, -4, 3]]) / 6  # value of row, slope of column
    start = 2 * np.arange(len(length))
    index = start[:, None] + np.arange(3)
    row, column = np.repeat(index, 3, axis=1), np.tile(index, 3)

    def joined(unit: Array, scale: Array) -> sparse.csr_matrix:
        data = scale[:, None] * unit.ravel()
        return sparse.csr_matrix((data.ravel(), (row.ravel(), column.ravel())),
                                 shape=(len(height),) * 2)  # fmt: skip

    one = np.ones_like(length)
    return [[joined(mass, length), joined(mixed, one)], [joined(mixed.T, one),
            joined(slopes, 1 / length)]]  # fmt: skip


def _slab(section: Products, along: Products, poisson: float) -> sparse.coo_matrix:
    """Return a slab's stiffness for a modulus of 1: all freedoms along x, then y, then z."""
    shear = 1 / (2 * (1 + poisson))
    lame = poisson / ((1 + poisson) * (1 - 2 * poisson))

    def product(k: int, l: int) -> sparse.csr_matrix:
        """∫ of the slope along k times the slope along l."""
        of_section = section[0 if k == Z else k + 1][0 if l == Z else l + 1]
        return sparse.kron(along[int(k == Z)][int(l == Z)], of_section, format="csr")

    slopes = {(k, l): product(k, l) for k in range(3) for l in range(k, 3)}
    slopes |= {(l, k): upper.T for (k, l), upper in slopes.items()}
    laplace = shear * (slopes[X, X] + slopes[Y, Y] + slopes[Z, Z])
    blocks = [[lame * slopes[i, j] + shear * slopes[j, i] for j in range(3)] for i in range(3)]
    for i in range(3):
        blocks[i][i] = blocks[i][i] + laplace
    return sparse.bmat(blocks, format="coo")


def _numbered(
    slab: sparse.coo_matrix, number: NDArray[np.intp], unknowns: int
) -> sparse.csc_matrix:
    """Return a slab's stiffness in the freedoms of the whole, three a node."""
    flat = number.ravel()
    row, column = (3 * flat[at % flat.size] + at // flat.size for at in (slab.row, slab.col))
    held = (flat[slab.row % flat.size] >= 0) & (flat[slab.col % flat.size] >= 0)
    entries = (slab.data[held], (row[held], column[held]))
    return sparse.csc_matrix(entries, shape=(unknowns, unknowns))


def end_parts(quarter: Quarter, solve: Solver) -> EndStiffness:
    """Return the end stiffness: four solutions, each with its own symmetry.

    Reference: Guyan's condensation to the motions of a rigid end (from memory).
    """
    x, y, z = quarter.place
    top = np.nonzero(z == z.max())[0]
    none, one = np.zeros(len(top)), np.ones(len(top))
    about_x, about_y = (none, none, y[top]), (none, none, -x[top])
    about_z = (-y[top], x[top], none)
    cases = (
        ((X,), (Z,), ((none, none, one), about_x)),
        ((X,), (X, Y), ((none, one, none),)),
        ((Y, Z), (Z,), (about_y,)),
        ((Y, Z), (X, Y), (about_z, (one, none, none))),
    )
    plane, shear, across, twist = (
        _part(quarter, _held(quarter, on_plane, at_middle), top, np.array(motions), solve)
        for on_plane, at_middle, motions in cases
    )
    return EndStiffness(
        axial=plane[0, 0],
        in_plane=plane[1, 1],
        axial_in_plane=plane[0, 1],
        shear_in_plane=shear[0, 0],
        across=across[0, 0],
        torsion=twist[0, 0],
        shear_across=twist[1, 1],
        torsion_shear=twist[0, 1],
    )


def _held(
    quarter: Quarter, on_plane: tuple[int, ...], at_middle: tuple[int, ...]
) -> NDArray[np.bool_]:
    """Return which freedoms (n, 3) the planes of symmetry hold, by axis."""
    held = np.zeros((quarter.place.shape[1], 3), dtype=bool)
    for place, axes in ((quarter.place[0], on_plane), (quarter.place[2], at_middle)):
        held[np.ix_(np.abs(place) < ON_PLANE * quarter.place.max(), axes)] = True
    return held


def _part(
    quarter: Quarter,
    held: NDArray[np.bool_],
    top: NDArray[np.intp],
    motions: Array,
    solve: Solver,
) -> Array:
    """Return the stiffness against motions (m, 3, t) of the end's nodes, (m, m)."""
    held[top] = True
    free = np.nonzero(~held.ravel())[0]
    moved = np.zeros((*held.shape, len(motions)))
    moved[top] = motions.transpose(2, 1, 0)
    moved = moved.reshape(held.size, -1)
    stiffness = quarter.stiffness
    moved[free] = -solve(stiffness[free][:, free], (stiffness @ moved)[free])
    condensed: Array = moved.T @ (stiffness @ moved)
    return condensed
