"""A throw's stiffness against another mesh and another program's elements.

Tetrahedra with ten nodes by gmsh, assembled by scikit-fem: a check where the extra `tools` is
installed, left out elsewhere. Both meshes are coarse and come from above, so they agree better
than either is right.
"""

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.sparse.linalg import spsolve

from kinematics.throw.throw_shape import ThrowShape
from kinematics.throw.throw_solid import POISSON, Fineness, end_stiffness

gmsh = pytest.importorskip("gmsh")
skfem = pytest.importorskip("skfem")
from skfem.helpers import ddot, sym_grad, trace  # noqa: E402

THROW = ThrowShape(1.436, 1.231, 0.513, 1.795, 1.410, 0.795, 0.667)
SIDE = 0.17


def quarter_mesh() -> "skfem.MeshTet2":
    """The quarter x ≥ 0, z ≥ 0 of the throw."""
    shape, cad = THROW, gmsh.model.occ
    main, pin = shape.main_width / 2, shape.pin_width / 2
    face, top = shape.pin_length / 2, shape.half_length
    lean = math.asin((main - pin) / shape.crank_radius)
    web = face + shape.web_thickness

    def disc(y: float, diameter: float, low: float, high: float) -> tuple[int, int]:
        return 3, cad.addCylinder(0, y, low, 0, 0, high - low, diameter / 2)

    corner = [
        cad.addPoint(sign * radius * math.cos(lean), y + radius * math.sin(lean), face)
        for sign, y, radius in ((1, 0, main), (1, 1, pin), (-1, 1, pin), (-1, 0, main))
    ]
    sides = [cad.addLine(corner[k], corner[(k + 1) % 4]) for k in range(4)]
    plate = cad.addPlaneSurface([cad.addCurveLoop(sides)])
    solid = cad.extrude([(2, plate)], 0, 0, shape.web_thickness)
    slab = next(one for one in solid if one[0] == 3)
    parts = [disc(0, 2 * main, face, web), disc(1, 2 * pin, face, web),
             disc(1, shape.pin_diameter, 0, face),
             disc(0, shape.main_diameter, web, top)]  # fmt: skip
    whole, _ = cad.fuse([slab], parts)
    box = 3, cad.addBox(0, -3, -1, 3, 6, 5)
    cad.intersect(whole, [box])
    cad.synchronize()
    gmsh.option.setNumber("Mesh.MeshSizeMax", SIDE)
    gmsh.option.setNumber("Mesh.MeshSizeMin", SIDE / 2)
    gmsh.model.mesh.generate(3)
    gmsh.model.mesh.setOrder(2)
    tags, place, _ = gmsh.model.mesh.getNodes()
    number = np.zeros(int(tags.max()) + 1, dtype=int)
    number[tags] = np.arange(len(tags))
    kinds, _, nodes = gmsh.model.mesh.getElements(3)
    ten = number[nodes[list(kinds).index(11)]].reshape(-1, 10).T
    used, ten = np.unique(ten, return_inverse=True)
    order = [0, 1, 2, 3, 4, 5, 6, 7, 9, 8]  # gmsh numbers the last two sides the other way
    return skfem.MeshTet2(place.reshape(-1, 3).T[:, used], ten.reshape(10, -1)[order])


def test_tetrahedra_give_the_same_stiffness() -> None:
    gmsh.initialize()
    gmsh.option.setNumber("General.Terminal", 0)
    try:
        mesh = quarter_mesh()
    finally:
        gmsh.finalize()
    basis = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementTetP2()))
    lame, shear = POISSON / ((1 + POISSON) * (1 - 2 * POISSON)), 1 / (2 * (1 + POISSON))

    @skfem.BilinearForm
    def energy(u, v, _):
        strain, other = sym_grad(u), sym_grad(v)
        return 2 * shear * ddot(strain, other) + lame * trace(strain) * trace(other)

    stiffness = energy.assemble(basis).tocsr()
    place, axis = basis.doflocs, np.zeros(basis.N, dtype=int)
    for k in range(3):
        axis[basis.split_indices()[k]] = k
    on_top = np.abs(place[2] - THROW.half_length) < 1e-6

    def moved(*motions: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.stack([np.where(on_top, m[axis, np.arange(basis.N)], 0) for m in motions], axis=1)

    def part(plane: tuple[int, ...], middle: tuple[int, ...], motion):
        held = on_top | ((np.abs(place[0]) < 1e-6) & np.isin(axis, plane))
        held |= (np.abs(place[2]) < 1e-6) & np.isin(axis, middle)
        free, shift = ~held, motion.copy()
        shift[free] = -spsolve(stiffness[free][:, free], (stiffness @ motion)[free]).reshape(
            free.sum(), -1
        )
        return shift.T @ (stiffness @ shift)

    x, y, none, one = place[0], place[1], np.zeros(basis.N), np.ones(basis.N)
    plane = part((0,), (2,), moved(np.array([none, none, one]), np.array([none, none, y])))
    across = part((1, 2), (2,), moved(np.array([none, none, -x])))
    twist = part((1, 2), (0, 1), moved(np.array([-y, x, none]), np.array([one, none, none])))
    ours = end_stiffness(THROW, Fineness(0.15, layers=3, ring=0.0))
    assert plane[1, 1] - plane[0, 1] ** 2 / plane[0, 0] == pytest.approx(
        ours.free_in_plane, rel=0.02
    )
    assert across[0, 0] == pytest.approx(ours.across, rel=0.02)
    assert twist[0, 0] - twist[0, 1] ** 2 / twist[1, 1] == pytest.approx(
        ours.free_torsion, rel=0.01
    )
