"""Webs and sectors against meshes of a general geometry library, closed forms and chords."""

import math

import numpy as np
import pytest
import shapely
import trimesh
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kinematics import DesignError
from kinematics.mechanics.web_outline import PlaneArea, ring_sector, round_end, web_outline

THICKNESS = 0.02
ROUND = 720  # corners of a mesh's circle
FEW = settings(max_examples=25, deadline=None)
radii = st.floats(0.015, 0.09)


def of_mesh(polygon: shapely.Polygon) -> PlaneArea:
    """Return area and moments of a polygon by its extruded mesh's volume integrals."""
    solid = trimesh.creation.extrude_polygon(polygon, THICKNESS)
    solid.density = 1.0
    moved = solid.moment_inertia + solid.volume * (
        np.dot(solid.center_mass, solid.center_mass) * np.eye(3)
        - np.outer(solid.center_mass, solid.center_mass)
    )
    first = solid.volume * solid.center_mass[1]
    return PlaneArea(solid.volume / THICKNESS, first / THICKNESS, moved[2, 2] / THICKNESS)


def near(found: PlaneArea, expected: PlaneArea, rel: float) -> None:
    size = math.sqrt(expected.area)
    assert found.area == pytest.approx(expected.area, rel=rel)
    assert found.first == pytest.approx(expected.first, abs=rel * expected.area * size)
    assert found.polar == pytest.approx(expected.polar, rel=2 * rel)


@FEW
@given(radii, radii, st.floats(0.02, 0.08))
def test_the_hull_of_two_discs_is_that_of_a_mesh(main, pin, crank):
    discs = [
        shapely.Point(0, y).buffer(radius, quad_segs=ROUND // 4)
        for y, radius in ((0, main), (crank, pin))
    ]
    near(web_outline(main, pin, crank), of_mesh(shapely.union_all(discs).convex_hull), 2e-5)


@FEW
@given(radii, st.floats(0.005, 0.06), st.floats(0.1, math.pi / 2))
def test_a_ring_sector_is_that_of_a_mesh(inner, height, half):
    angle = np.linspace(-half, half, ROUND)
    outer = inner + height
    arc = np.stack((np.sin(angle), -np.cos(angle)), axis=1)
    polygon = shapely.Polygon(np.concatenate((outer * arc, inner * arc[::-1])))
    near(ring_sector(inner, outer, half), of_mesh(polygon), 2e-5)


@given(st.floats(0.02, 0.2), st.floats(0.01, 0.2))
def test_a_strip_with_round_ends_by_its_chords(width, radius):
    """∫ (w³/12 + y² w) dy over the chords w(y)."""
    step = math.pi / 4000
    turn = (np.arange(2000) + 0.5) * step
    chord, beyond = width * np.cos(turn), width / 2 * np.sin(turn)
    ends = sum(
        float(((chord**3 / 12 + y**2 * chord) * chord / 2).sum() * step)
        for y in (-beyond, radius + beyond)
    )
    strip = width**3 / 12 * radius + width * radius**3 / 3
    found = web_outline(width / 2, width / 2, radius)
    assert found.polar == pytest.approx(ends + strip, rel=1e-6)
    assert found.area == pytest.approx(width * radius + math.pi / 4 * width**2, rel=1e-12)
    assert found.first == pytest.approx(found.area * radius / 2, rel=1e-12)


def test_a_disc_that_holds_the_other_is_the_web():
    whole = web_outline(0.08, 0.02, 0.04)
    assert whole == PlaneArea(math.pi * 0.08**2, pytest.approx(0, abs=1e-18), math.pi * 0.08**4 / 2)
    about_pin = web_outline(0.02, 0.08, 0.04)
    assert about_pin.area == pytest.approx(math.pi * 0.08**2)
    assert about_pin.first == pytest.approx(0.04 * about_pin.area)
    assert about_pin.polar == pytest.approx(math.pi * 0.08**4 / 2 + 0.04**2 * about_pin.area)


@FEW
@given(radii, st.floats(0.03, 0.08))
def test_it_changes_smoothly_where_one_disc_begins_to_hold_the_other(main, crank):
    pin = main + crank
    below, above = (web_outline(main, pin * (1 + side), crank) for side in (-1e-9, 1e-9))
    near(below, above, 1e-6)


def test_half_a_disc_has_the_textbook_centroid():
    """4R/(3π), e.g. Meriam and Kraige, Statics, table D/3 (from memory)."""
    half = ring_sector(0.0, 0.08, math.pi / 2)
    assert -half.first / half.area == pytest.approx(4 * 0.08 / (3 * math.pi), rel=1e-12)
    assert half.polar == pytest.approx(math.pi * 0.08**4 / 4, rel=1e-12)


def test_a_thin_ring_has_one_radius():
    thin = ring_sector(0.08, 0.0800001, 1.0)
    assert thin.polar / -thin.first == pytest.approx(0.08 / math.sin(1.0), rel=2e-6)


@pytest.mark.parametrize("bad", [0.0, -0.01, math.nan, math.inf])
@pytest.mark.parametrize("place", range(3))
def test_what_is_no_length_is_refused(bad, place):
    sizes = [0.04, 0.03, 0.045]
    sizes[place] = bad
    with pytest.raises(DesignError, match="must be above 0"):
        web_outline(*sizes)


@FEW
@given(main=radii, pin=radii, crank=st.floats(0.02, 0.08))
def test_the_round_end_ends_where_the_hull_leaves_the_disc(main, pin, crank):
    """Just within it nothing stands out of the disc; just beyond it the hull does."""
    assume(abs(main - pin) < 0.95 * crank)
    hull = shapely.union(
        shapely.Point(0, 0).buffer(main, quad_segs=ROUND),
        shapely.Point(0, crank).buffer(pin, quad_segs=ROUND),
    ).convex_hull
    end = round_end(main, pin, crank)
    for angle, stands_out in ((end - 0.05, False), (end + 0.1, True)):
        at = shapely.Point(1.0005 * main * math.sin(angle), -1.0005 * main * math.cos(angle))
        assert hull.contains(at) == stands_out


def test_the_round_end_at_its_limits():
    assert round_end(0.03, 0.03, 0.04) == pytest.approx(math.pi / 2)
    assert round_end(0.09, 0.03, 0.04) == math.pi
    assert round_end(0.03, 0.09, 0.04) == 0.0
