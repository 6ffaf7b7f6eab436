"""Finite elements of a throw against closed forms of bars, and what any elastic body must do."""

import math

import numpy as np
import pytest

from kinematics.throw.throw_mesh import PlaneMesh, plane_mesh
from kinematics.throw.throw_shape import ThrowShape
from kinematics.throw.throw_solid import (
    POISSON,
    EndStiffness,
    Fineness,
    by_elimination,
    end_parts,
    end_stiffness,
    stacked,
    throw_quarter,
)

THROW = ThrowShape(1.3, 1.1, 0.45, 1.6, 1.3, 0.6, 0.55, journal_bore=0.3, pin_bore=0.25)
COARSE = Fineness(0.3, layers=2, ring=0.0)
SHEAR = 1 / (2 * (1 + POISSON))  # modulus, E being 1


def bar(mesh: PlaneMesh, inside: np.ndarray, half: float, layers: int = 6) -> EndStiffness:
    """A bar of length 2 · half between rigid ends."""
    heights = np.linspace(0, half, 2 * layers + 1)
    return end_parts(stacked(mesh, ((inside, heights),), POISSON), by_elimination)


def round_bar(half: float) -> EndStiffness:
    """A bar of diameter 1."""
    mesh = plane_mesh(ThrowShape(1.0, 0.9, 0.4, 1.2, 1.1, 0.5, 0.5), 0.15)
    return bar(mesh, mesh.in_journal, half)


def square_mesh(cells: int) -> PlaneMesh:
    """The half x ≥ 0 of a square of side 1 about the axis, in six-node triangles."""
    x, y = np.meshgrid(np.linspace(0, 0.5, 2 * cells + 1), np.linspace(-0.5, 0.5, 4 * cells + 1))
    number = np.arange(x.size).reshape(x.shape)
    a, b = number[:-2:2, :-2:2].ravel(), number[:-2:2, 2::2].ravel()
    c, d = number[2::2, 2::2].ravel(), number[2::2, :-2:2].ravel()
    ab, bc = number[:-2:2, 1::2].ravel(), number[1::2, 2::2].ravel()
    cd, da = number[2::2, 1::2].ravel(), number[1::2, :-2:2].ravel()
    ac = number[1::2, 1::2].ravel()
    lower, upper = np.stack((a, b, c, bc, ac, ab)), np.stack((a, c, d, cd, da, ac))
    triangle = np.concatenate((lower, upper), axis=1)
    every = np.ones(triangle.shape[1], dtype=bool)
    return PlaneMesh(np.stack((x.ravel(), y.ravel())), triangle, every, every)


def test_a_round_bar_twists_as_gj_over_l() -> None:
    exact = SHEAR * math.pi / 32 / 3.0
    assert round_bar(1.5).torsion == pytest.approx(exact, rel=0.005)


def test_a_square_bar_twists_by_its_torsion_constant() -> None:
    """0.1406 a⁴ (Timoshenko and Goodier, Theory of Elasticity, from memory).

    The difference of two lengths is free of what the rigid ends hold back.
    """
    mesh = square_mesh(3)
    long, short = (bar(mesh, mesh.in_pin, half, 8).torsion for half in (3.0, 1.5))
    assert 3.0 / (SHEAR * (1 / long - 1 / short)) == pytest.approx(0.1406, rel=0.005)


def test_a_round_bar_bends_as_ei_over_l_and_stretches_as_ea_over_l() -> None:
    long, short = round_bar(3.0), round_bar(1.5)
    for motion, section in (
        ("in_plane", math.pi / 64), ("across", math.pi / 64), ("axial", math.pi / 4)
    ):  # fmt: skip
        softer = 1 / getattr(long, motion) - 1 / getattr(short, motion)
        assert 3.0 / softer == pytest.approx(section, rel=0.005)


@pytest.mark.parametrize("plane", ["shear_in_plane", "shear_across"])
def test_a_cantilever_bends_and_shears(plane: str) -> None:
    """L³/(12 E I) + L/(G A_s) between ends that do not turn, A_s after Cowper, 1966 (memory).

    Rigid ends also hold the bar from thickening, which shortens it a little for bending: by as
    much as its stiffness against a moment alone shows.
    """
    area, second = math.pi / 4, math.pi / 64
    found = round_bar(2.0)
    length = second / found.in_plane
    assert 3.9 < length < 4.0
    sheared = area * 6 * (1 + POISSON) / (7 + 6 * POISSON)
    softness = length**3 / (12 * second) + length / (SHEAR * sheared)
    assert getattr(found, plane) == pytest.approx(1 / softness, rel=0.01)


def test_a_linear_field_strains_every_element_alike() -> None:
    """The patch test: no force at inner nodes, and the energy of a constant strain."""
    mesh = plane_mesh(THROW, 0.3)
    heights = np.array([0.0, 0.1, 0.2, 0.35, 0.5])
    body = stacked(mesh, ((np.ones_like(mesh.in_pin), heights),), POISSON)
    slope = np.array([[0.3, -0.2, 0.5], [0.1, 0.4, -0.6], [0.7, 0.2, -0.1]])
    force = body.stiffness @ (slope @ body.place).T.ravel()
    x, y, z = body.place
    inner = (x > 1e-9) & (z > 0) & (z < 0.5) & (np.hypot(x, y) < 0.6)
    assert inner.sum() > 20
    assert np.abs(force.reshape(-1, 3)[inner]).max() < 1e-12 * np.abs(force).max() * len(force)
    strain = (slope + slope.T) / 2
    lame = POISSON / ((1 + POISSON) * (1 - 2 * POISSON))
    density = lame * np.trace(strain) ** 2 / 2 + SHEAR * np.sum(strain**2)
    energy = (slope @ body.place).T.ravel() @ force / 2
    volume = energy / density
    stretched = np.outer([0, 0, 1], [0, 0, 1])
    field = (stretched @ body.place).T.ravel()
    along = field @ (body.stiffness @ field) / (lame + 2 * SHEAR)
    assert volume == pytest.approx(along, rel=1e-9)


def test_six_rigid_motions_have_no_energy() -> None:
    quarter = throw_quarter(THROW, COARSE, POISSON)
    x, y, z = quarter.place
    none, one = np.zeros_like(x), np.ones_like(x)
    strained = np.stack((x, none, none), axis=-1).ravel()
    scale = strained @ (quarter.stiffness @ strained)
    for motion in ((one, none, none), (none, one, none), (none, none, one),
                   (none, -z, y), (z, none, -x), (-y, x, none)):  # fmt: skip
        moved = np.stack(motion, axis=-1).ravel()
        assert abs(moved @ (quarter.stiffness @ moved)) < 1e-10 * scale


def test_the_stiffness_is_symmetric() -> None:
    stiffness = throw_quarter(THROW, COARSE, POISSON).stiffness
    assert abs(stiffness - stiffness.T).max() < 1e-12 * abs(stiffness).max()


def test_a_throw_without_radius_is_a_stepped_shaft() -> None:
    """Bending and torsion of bars in series; a small step hardly softens its neighbours."""
    pin, journal, web = 0.96, 1.0, 1.1
    shape = ThrowShape(journal, pin, 0.6, web, web, 3.0, 3.0, crank_radius=1e-3)
    found = end_stiffness(shape, Fineness(0.25, layers=3, ring=0.0))
    bars = 3.0 / journal**4 + 3.0 / pin**4 + 2 * 0.6 / web**4
    bending, twist = math.pi / 64, SHEAR * math.pi / 32
    assert found.free_in_plane == pytest.approx(bending / bars, rel=0.015)
    assert found.across == pytest.approx(bending / bars, rel=0.015)
    assert found.free_torsion == pytest.approx(twist / bars, rel=0.015)


def test_stiffness_falls_with_a_finer_mesh_and_grows_with_the_cube_of_size() -> None:
    coarse, fine = (end_stiffness(THROW, mesh) for mesh in (COARSE, Fineness(0.25, layers=3)))
    big = ThrowShape(*(2 * getattr(THROW, name) for name in ThrowShape.__slots__))
    doubled = end_stiffness(big, COARSE)
    for motion in ("in_plane", "across", "torsion"):
        assert getattr(fine, motion) < getattr(coarse, motion)
        assert getattr(doubled, motion) == pytest.approx(8 * getattr(coarse, motion), rel=1e-6)


def test_areas_of_the_mesh_are_those_of_the_circles() -> None:
    mesh = plane_mesh(THROW, 0.15)
    quarter = stacked(mesh, ((mesh.in_journal, np.array([0.0, 0.5, 1.0])),), POISSON)
    field = np.stack((0 * quarter.place[0], 0 * quarter.place[0], quarter.place[2]), axis=-1)
    lame = POISSON / ((1 + POISSON) * (1 - 2 * POISSON))
    area = field.ravel() @ (quarter.stiffness @ field.ravel()) / (lame + 2 * SHEAR)
    assert area == pytest.approx(math.pi / 8 * (1.3**2 - 0.3**2), rel=1e-3)
