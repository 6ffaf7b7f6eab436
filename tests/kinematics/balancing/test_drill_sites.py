"""Faces to drill: walls that are kept, the grid of angles, and which holes exclude each other."""

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from kinematics.balancing.drill_sites import (
    Drilling,
    DrillSite,
    candidates,
    families,
    grid,
    overlaps,
)
from kinematics.errors import DesignError

STEP = math.radians(5)
FACE = DrillSite(3, 0.05, 0.07, math.radians(100), math.radians(220), 0.020,
                 (0.008, 0.010, 0.012), 0.018, 0.003)  # fmt: skip
DISC = replace(FACE, angle_low=0.0, angle_high=2 * math.pi)


def test_the_grid_is_whole_steps_from_throw_1_and_never_one_place_twice() -> None:
    found = np.degrees(grid(FACE, STEP))
    np.testing.assert_allclose(found, np.arange(100, 221, 5), atol=1e-9)
    assert len(grid(DISC, STEP)) == 72
    assert len(grid(replace(DISC, angle_high=9.0), STEP)) == 72
    assert len(grid(replace(DISC, angle_low=0.01, angle_high=0.01 + 2 * math.pi), STEP)) == 72
    narrow = replace(FACE, angle_low=math.radians(101), angle_high=math.radians(103))
    assert np.degrees(grid(narrow, STEP)) == pytest.approx([102])


def test_every_hole_keeps_its_wall_to_the_ends_of_the_face_at_any_depth() -> None:
    own = candidates([FACE], Drilling())
    bottom = FACE.radius - FACE.most_depth
    for angle, drills in zip(own.angle, own.drills, strict=True):
        nearer = min(angle - FACE.angle_low, FACE.angle_high - angle)
        widest = drills[-1].hole.diameter
        assert bottom * math.sin(nearer) >= widest / 2 + FACE.minimum_wall - 1e-9
        wider = [one for one in FACE.diameters if one > widest]
        if wider:  # the next drill would break the wall
            assert bottom * math.sin(nearer) < wider[0] / 2 + FACE.minimum_wall


def test_candidates_span_their_drills_in_whole_steps_of_depth() -> None:
    own = candidates([DISC], Drilling(depth_step=0.25e-3))
    assert len(own) == 72
    assert np.all(own.least < own.most)
    for one in own.drills[0]:
        for depth in (one.minimum_depth, one.most_depth):
            assert depth / 0.25e-3 == pytest.approx(round(depth / 0.25e-3), abs=1e-9)
        assert one.hole.minimum_depth <= one.minimum_depth < one.hole.minimum_depth + 0.25e-3
    small, _, large = own.drills[0]
    assert own.least[0] == small.least
    assert own.most[0] == large.most


def test_drills_with_a_gap_between_them_are_places_of_their_own() -> None:
    """Shallow faces: the deepest 4 mm hole takes less than the shallowest of 14 mm."""
    shallow = replace(DISC, diameters=(0.004, 0.0135), most_depth=0.002)
    both = families(shallow, Drilling())
    assert [len(one) for one in both] == [1, 1]
    assert both[0][-1].most < both[1][0].least
    assert [len(one) for one in families(DISC, Drilling())] == [3]


def test_holes_that_overlap_and_only_those_exclude_each_other() -> None:
    """Against every pair, over the turn's end and between two faces of one web."""
    faces = [DISC, replace(DISC, web=4, angle_low=1.0, angle_high=2.5),
             replace(DISC, web=4, angle_low=2.5, angle_high=4.0)]  # fmt: skip
    own = candidates(faces, Drilling())
    together = np.zeros((len(own), len(own)), dtype=bool)
    for row in overlaps(own):
        together |= np.outer(row, row)
    count = 0
    for i, j in itertools.combinations(range(len(own)), 2):
        apart = abs(math.remainder(own.angle[i] - own.angle[j], 2 * math.pi))
        meet = own.web[i] == own.web[j] and apart < own.clearance[i] + own.clearance[j] - 1e-8
        assert together[i, j] == meet
        count += meet
    assert count > len(own)  # there was something to find


def test_neighbours_keep_the_wall_where_they_are_nearest() -> None:
    own = candidates([DISC], Drilling())
    bottom = DISC.radius - DISC.most_depth
    half = own.clearance[0]
    assert 2 * bottom * math.sin(half) == pytest.approx(0.012 + DISC.minimum_wall, rel=1e-12)


@pytest.mark.parametrize(
    ("change", "field"),
    [({"diameters": (0.0141,)}, "diameters"), ({"angle_high": 1.0}, "angle_high"),
     ({"most_depth": 0.065}, "most_depth"), ({"radius": -0.07}, "radius"),
     ({"minimum_wall": -1e-3}, "minimum_wall"), ({"z": math.nan}, "z"),
     ({"diameters": ()}, "diameters"), ({"diameters": (-0.01,)}, "diameter")],
)  # fmt: skip
def test_a_face_that_cannot_be_is_refused(change, field) -> None:
    with pytest.raises(DesignError) as refused:
        replace(FACE, **change)
    assert refused.value.field == field
    assert refused.value.message


def test_steps_of_depth_that_cannot_be_are_refused() -> None:
    with pytest.raises(DesignError, match="depth_step"):
        Drilling(depth_step=0.0)
