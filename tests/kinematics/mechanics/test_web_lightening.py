"""Chamfer and pocket of a web against meshes and layers cut by general geometry libraries."""

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
import trimesh
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry.polygon import orient

from kinematics.mechanics.web_lightening import (
    WebCuts,
    WebPlate,
    WebSolid,
    chamfer_cut,
    flat_web,
    pocket_cut,
    pocket_wall,
    web_chord,
)
from kinematics.mechanics.web_outline import web_outline

ROUND = 1440  # corners of a circle
LAYERS = 400  # along the shaft
FEW = settings(max_examples=15, deadline=None)
PLATE = WebPlate(0.035, 0.0275, 0.039, 0.020)  # m, m, m, m
plates = st.builds(
    WebPlate, st.floats(0.03, 0.06), st.floats(0.02, 0.06), st.floats(0.035, 0.08),
    st.floats(0.01, 0.03),
)  # fmt: skip


def hull_of(plate: WebPlate) -> shapely.Polygon:
    discs = [
        shapely.Point(0, y).buffer(radius, quad_segs=ROUND // 4)
        for y, radius in ((0, plate.main_radius), (plate.crank_radius, plate.pin_radius))
    ]
    return shapely.union_all(discs).convex_hull


def flat(plate: WebPlate) -> WebSolid:
    outline = web_outline(plate.main_radius, plate.pin_radius, plate.crank_radius)
    return flat_web(outline, plate.thickness)


def of_mesh(solid: trimesh.Trimesh) -> WebSolid:
    """Return a mesh's volume integrals; its z counts from the face at the pin."""
    solid.density = 1.0
    x, y, z = solid.center_mass
    polar = solid.moment_inertia[2, 2] + solid.volume * (x**2 + y**2)
    return WebSolid(solid.volume, solid.volume * y, polar, solid.volume * z)


def of_ring(ring: shapely.LinearRing) -> np.ndarray:
    """Return area, first and polar moment of a ring by Green's theorem, signed by its sense."""
    x, y = np.array(ring.coords).T
    cross = x[:-1] * y[1:] - x[1:] * y[:-1]
    square = x[:-1] ** 2 + x[:-1] * x[1:] + x[1:] ** 2 + y[:-1] ** 2 + y[:-1] * y[1:] + y[1:] ** 2
    return np.array(
        [cross.sum() / 2, (cross * (y[:-1] + y[1:])).sum() / 6, (cross * square).sum() / 12]
    )


def by_layers(plate: WebPlate, cuts: WebCuts) -> WebSolid:
    """Return a lightened web as layers across the shaft, each clipped and pierced by shapely."""
    hull, total, along = hull_of(plate), np.zeros(3), 0.0
    pocket = shapely.Point(0, cuts.pocket_height).buffer(
        cuts.pocket_diameter / 2, quad_segs=ROUND // 4
    )
    floor = plate.thickness - cuts.pocket_depth
    bounds = np.linspace(0, plate.thickness, LAYERS + 1)
    if 0 < floor < plate.thickness:
        bounds = np.unique(np.append(bounds, floor))
    for low, high in pairwise(bounds):
        s = (low + high) / 2
        section = hull
        if cuts.chamfer_depth > 0:
            top = cuts.chamfer_start(plate) + (plate.thickness - s) / math.tan(cuts.chamfer_angle)
            section = section.intersection(shapely.box(-1, -1, 1, top))
        if cuts.pocket_diameter > 0 and s > floor:
            section = section.difference(pocket)
        for piece in getattr(section, "geoms", [section]):
            turned = orient(piece)
            found = sum(of_ring(ring) for ring in (turned.exterior, *turned.interiors))
            total += found * (high - low)
            along += found[0] * (high - low) * s
    return WebSolid(*total, along)


def near(found: WebSolid, expected: WebSolid, rel: float, whole: WebSolid) -> None:
    """Each within a share of the whole web's."""
    for name in ("volume", "polar", "along"):
        size = rel * getattr(whole, name)
        assert getattr(found, name) == pytest.approx(getattr(expected, name), abs=size), name
    size = rel * math.sqrt(whole.volume * whole.polar)
    assert found.first == pytest.approx(expected.first, abs=size)


def test_a_chamfer_takes_more_moment_than_volume():
    """A 45° chamfer of 9.7 % of the volume takes 38.8 % of the moment and 27.4 % of the inertia.

    As recomputed by another program to the digits shown.
    """
    cut, whole = chamfer_cut(PLATE, WebCuts(0.025, math.radians(45))), flat(PLATE)
    assert 100 * cut.volume / whole.volume == pytest.approx(9.7, abs=0.05)
    assert 100 * cut.first / whole.first == pytest.approx(38.8, abs=0.1)
    assert 100 * cut.polar / whole.polar == pytest.approx(27.4, abs=0.1)


@FEW
@given(plates, st.floats(0.05, 0.6), st.floats(math.radians(20), math.radians(70)))
def test_a_chamfered_web_is_a_mesh_cut_by_a_plane(plate, share, angle):
    cuts = WebCuts(chamfer_depth=share * plate.tip, chamfer_angle=angle)
    solid = trimesh.creation.extrude_polygon(hull_of(plate), plate.thickness)
    start = [0, cuts.chamfer_start(plate), plate.thickness]
    inward = [0, -math.sin(angle), -math.cos(angle)]
    kept = trimesh.intersections.slice_mesh_plane(solid, inward, start, cap=True)
    whole = flat(plate)
    near(whole + chamfer_cut(plate, cuts) * -1.0, of_mesh(kept), 3e-5, whole)


@FEW
@given(
    plates, st.floats(0.0, 0.5), st.floats(math.radians(20), math.radians(70)),
    st.floats(0.1, 1.0), st.floats(0.1, 0.95), st.floats(0.0, 1.0),
)  # fmt: skip
def test_a_web_with_chamfer_and_pocket_is_its_layers(plate, share, angle, wide, deep, place):
    bare = WebCuts(pocket_height=place * plate.crank_radius)
    cuts = WebCuts(
        chamfer_depth=share * plate.tip, chamfer_angle=angle,
        pocket_diameter=2 * wide * pocket_wall(plate, bare), pocket_depth=deep * plate.thickness,
        pocket_height=bare.pocket_height,
    )  # fmt: skip
    whole = flat(plate)
    left = whole + chamfer_cut(plate, cuts) * -1.0 + pocket_cut(plate, cuts) * -1.0
    near(left, by_layers(plate, cuts), 3e-5, whole)


def test_a_pocket_alone_is_a_disc():
    cuts = WebCuts(pocket_diameter=0.02, pocket_depth=0.005, pocket_height=0.04)
    cut, volume = pocket_cut(PLATE, cuts), math.pi * 0.01**2 * 0.005
    assert cut.volume == pytest.approx(volume, rel=1e-12)
    assert cut.first == pytest.approx(volume * 0.04, rel=1e-12)
    assert cut.polar == pytest.approx(volume * (0.01**2 / 2 + 0.04**2), rel=1e-12)
    assert cut.middle == pytest.approx(0.0175, rel=1e-12)


def test_a_pocket_in_what_the_chamfer_took_removes_nothing():
    cuts = WebCuts(0.04, math.radians(60), 0.01, 0.002, 0.055)
    assert pocket_cut(PLATE, cuts).volume == 0
    assert pocket_cut(PLATE, WebCuts(0.0, math.pi / 4, 0.01, 0.002, 0.055)).volume > 0


def test_a_chamfer_of_a_strip_is_a_wedge():
    """Between two straight cheeks: a triangle δ·b/2 whose centre is a third from its base."""
    plate = WebPlate(0.05, 0.05, 0.2, 0.02)
    upper, lower = (
        chamfer_cut(plate, WebCuts(depth, math.pi / 4)) for depth in (0.15, 0.15 + 1e-6)
    )
    assert (lower.volume - upper.volume) / 1e-6 == pytest.approx(0.1 * 0.02, rel=1e-4)
    slope = (lower.along - upper.along) / (lower.volume - upper.volume)
    assert slope == pytest.approx(0.01, rel=1e-4)


def test_no_depth_removes_nothing():
    for cuts in (WebCuts(), WebCuts(pocket_diameter=0.02), WebCuts(pocket_depth=0.01)):
        assert chamfer_cut(PLATE, cuts) == pocket_cut(PLATE, cuts) == WebSolid(0, 0, 0, 0)


def test_a_chamfer_deeper_than_the_web_takes_all_of_it():
    cut, whole = chamfer_cut(PLATE, WebCuts(1.0, math.radians(80))), flat(PLATE)
    for name in ("volume", "first", "polar", "along"):
        assert getattr(cut, name) == pytest.approx(getattr(whole, name), rel=1e-12)


@FEW
@given(plates, st.floats(-1, 1))
def test_a_chord_is_the_hull_s(plate, share):
    low = min(-plate.main_radius, plate.crank_radius - plate.pin_radius)
    height = low + (0.5 + 0.49 * share) * (plate.tip - low)
    line = shapely.LineString([(-1, height), (1, height)]).intersection(hull_of(plate))
    assert web_chord(plate, np.array([height]))[0] == pytest.approx(line.length, abs=2e-6)


@FEW
@given(plates, st.floats(-0.5, 1.5))
def test_a_pocket_s_wall_is_the_distance_from_the_edge(plate, share):
    height = share * plate.crank_radius
    at, hull = shapely.Point(0, height), hull_of(plate)
    assume(hull.contains(at))
    cuts = WebCuts(pocket_diameter=0.01, pocket_depth=0.004, pocket_height=height)
    wall = hull.exterior.distance(at) - 0.005
    assert pocket_wall(plate, cuts) == pytest.approx(wall, abs=2e-6)
