"""What would help: cases whose remedy is known, each told one carried out; and known splits."""

import math
from dataclasses import replace

import numpy as np
import pytest

from kinematics.balancing.balance_quality import PlaneTolerance
from kinematics.balancing.drill_plan import drill_plan, removed
from kinematics.balancing.drill_sites import Drilling, DrillSite
from kinematics.balancing.drilled_hole import RadialHole, hole_moment
from kinematics.balancing.unbalance import TwoPlanes

PLANES = TwoPlanes(-0.3, 0.3)
TOLERANCE = PlaneTolerance(PLANES, 60e-6, 60e-6)
FACE = DrillSite(6, 0.0, 0.08, math.radians(-30), math.radians(30), 0.020, (0.010,), 0.012, 0.003)
DEEPEST = float(hole_moment(RadialHole(0.08, 0.010), np.array(0.012)))


def static(size, degrees):
    """Half in each plane: an unbalance in the middle."""
    return size / 2 * np.exp(1j * np.radians(degrees)) * np.ones(2)


def test_one_hole_that_is_not_enough_wants_more_deeper_or_wider_ones() -> None:
    before = static(1.4 * DEEPEST, 0)
    plan = drill_plan(before, TOLERANCE, [FACE], most_holes=1)
    assert not plan.feasible
    assert plan.reach.ratio == pytest.approx(0.2 * DEEPEST / 60e-6, rel=0.02)  # 0.4 by two planes
    words = " / ".join(plan.helps)
    for remedy in ("more holes, up to 3", "deeper holes", "a larger drill"):
        assert remedy in words
    assert "all round" not in words
    assert drill_plan(before, TOLERANCE, [FACE], most_holes=3).feasible
    deeper = replace(FACE, most_depth=0.018)
    assert drill_plan(before, TOLERANCE, [deeper], most_holes=1).feasible
    wider = replace(FACE, diameters=(0.010, 0.0135))
    assert drill_plan(before, TOLERANCE, [wider], most_holes=1).feasible


def test_a_face_that_looks_the_wrong_way_wants_holes_all_round() -> None:
    before = static(0.8 * DEEPEST, 180)
    plan = drill_plan(before, TOLERANCE, [FACE])
    assert not plan.feasible
    assert plan.reach.ratio == pytest.approx(0.4 * DEEPEST / 60e-6, rel=0.02)  # best untouched
    assert plan.helps == ("faces all round on the same webs",)
    round_about = replace(FACE, angle_low=0.0, angle_high=2 * math.pi)
    assert drill_plan(before, TOLERANCE, [round_about]).feasible


def test_an_unbalance_of_one_plane_alone_wants_a_face_near_that_plane() -> None:
    before = np.array([0.8 * DEEPEST * np.exp(1j * np.radians(75)), 0])
    plan = drill_plan(before, TOLERANCE, [FACE])
    assert not plan.feasible
    assert "a further face toward 75°, near the front plane" in plan.helps
    near = replace(FACE, web=7, z=-0.3, angle_low=math.radians(45), angle_high=math.radians(105))
    assert drill_plan(before, TOLERANCE, [FACE, near]).feasible


def test_an_unbalance_too_small_for_the_drill_wants_a_smaller_one() -> None:
    """The shallowest hole takes more than both planes may differ by."""
    shallowest = float(hole_moment(RadialHole(0.08, 0.010), np.array(0.001)))
    tight = PlaneTolerance(PLANES, 0.1 * shallowest, 0.1 * shallowest)
    before = static(0.4 * shallowest, 0)
    plan = drill_plan(before, tight, [FACE])
    assert not plan.feasible
    assert plan.reach.ratio <= 1  # a part of a hole would do
    assert "the shallowest hole removes too much" in plan.why
    assert "a smaller drill, half as wide" in plan.helps
    smaller = replace(FACE, diameters=(0.005, 0.010))
    assert drill_plan(before, tight, [smaller]).feasible


def test_a_split_onto_two_allowed_angles_is_that_of_the_sines() -> None:
    """U at θ on t1, t2: U sin(t2 - θ) / sin(t2 - t1) and U sin(θ - t1) / sin(t2 - t1)."""
    size, tight = 1000e-6, PlaneTolerance(PLANES, 12e-6, 12e-6)
    large = replace(FACE, diameters=(0.012,), most_depth=0.018)
    faces = [
        replace(large, web=web, angle_low=math.radians(mid - 20), angle_high=math.radians(mid + 20))
        for web, mid in ((5, 0), (8, 60))
    ]
    only = Drilling(angle_step=math.radians(60))
    plan = drill_plan(static(size, 20), tight, faces, only)
    assert plan.feasible
    assert np.degrees([hole.angle for hole in plan.holes]) == pytest.approx([0, 60])
    found = [hole.moment for hole in plan.holes]
    slack = 2 * 12e-6 / math.sin(math.radians(60))
    assert found == pytest.approx([742.227e-6, 394.931e-6], abs=slack)


@pytest.mark.parametrize("aim", ["fewest", "lightest"])
def test_depths_in_coarse_steps_still_keep_the_tolerance(aim) -> None:
    """Steps of 1 mm are worth a fifth of the tolerance each way; every hole brings its own."""
    random = np.random.default_rng(8)
    coarse = Drilling(depth_step=1e-3)
    disc = replace(FACE, angle_low=0.0, angle_high=2 * math.pi)
    faces = [replace(disc, web=1, z=-0.25), replace(disc, web=12, z=0.25)]
    wide = PlaneTolerance(PLANES, 120e-6, 120e-6)
    done = 0
    for _ in range(8):
        size, angle = random.uniform(2e-4, 7e-4, 2), random.uniform(0, 2 * np.pi, 2)
        before = size * np.exp(1j * angle)
        plan = drill_plan(before, wide, faces, coarse, aim=aim)
        done += plan.feasible
        if plan.feasible:
            left = before + removed(plan.holes, PLANES)
            assert np.all(np.abs(left) <= wide.amounts)
            for hole in plan.holes:
                assert hole.depth * 1e3 == pytest.approx(round(hole.depth * 1e3), abs=1e-9)
    assert done >= 6


def test_the_same_reading_has_the_same_plan() -> None:
    before = np.array([3e-4, 2e-4]) * np.exp(1j * np.array([0.2, -0.3]))
    first, again = (drill_plan(before, TOLERANCE, [FACE, replace(FACE, web=9, z=0.2)])
                    for _ in range(2))  # fmt: skip
    assert first.holes == again.holes
    assert first.why == again.why
