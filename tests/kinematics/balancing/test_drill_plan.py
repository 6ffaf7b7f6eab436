"""Drilling plans: within tolerance with few holes, against a search of all pairs, and refusals."""

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kinematics import DesignError
from kinematics.balancing.balance_quality import plane_tolerance
from kinematics.balancing.drill_plan import drill_plan, removed
from kinematics.balancing.drill_sites import DrilledHole, Drilling, DrillSite
from kinematics.balancing.drilled_hole import RadialHole, hole_mass, hole_moment
from kinematics.balancing.unbalance import TwoPlanes

PLANES = TwoPlanes(-0.28, 0.28)
TOLERANCE = plane_tolerance(350e-6, 0.0, PLANES)
SITES = tuple(
    DrillSite(web, z, 0.068, math.radians(low), math.radians(low + 120), 0.020,
              (0.008, 0.010, 0.012), 0.016, 0.003)
    for web, z, low in ((1, -0.26, 120), (2, -0.22, 120), (3, -0.17, 0), (4, -0.12, 0),
                        (5, -0.07, 240), (6, -0.02, 240), (7, 0.02, 240), (8, 0.07, 240),
                        (9, 0.12, 0), (10, 0.17, 0), (11, 0.22, 120), (12, 0.26, 120))
)  # fmt: skip
residuals = st.tuples(st.floats(0, 900e-6), st.floats(0, 360), st.floats(0, 900e-6),
                      st.floats(0, 360))  # fmt: skip


def residual(front, front_angle, rear, rear_angle):
    return np.array([front, rear]) * np.exp(1j * np.radians([front_angle, rear_angle]))


@settings(max_examples=25, deadline=None)
@given(residuals)
def test_a_plan_keeps_all_its_promises(reading):
    before = residual(*reading)
    plan = drill_plan(before, TOLERANCE, SITES)
    left = before + removed(plan.holes, PLANES)
    np.testing.assert_allclose(plan.after, left, atol=1e-15)
    if plan.feasible:
        assert np.all(np.abs(left) <= TOLERANCE.amounts * (1 + 1e-9))
        assert len(plan.holes) <= 4
    else:
        assert plan.holes == ()
        assert plan.why
    for hole in plan.holes:
        site = hole.site
        assert 0 < hole.depth <= site.most_depth + 1e-12
        assert hole.depth / 1e-4 == pytest.approx(round(hole.depth / 1e-4), abs=1e-6)
        into = (hole.angle - site.angle_low) % (2 * math.pi)
        assert into <= site.angle_high - site.angle_low + 1e-9
        metal = RadialHole(site.radius, hole.diameter)
        assert hole.moment == pytest.approx(float(hole_moment(metal, np.array(hole.depth))))
        assert hole.mass == pytest.approx(float(hole_mass(metal, np.array(hole.depth))))
    for one, other in itertools.combinations(plan.holes, 2):
        if one.site.web == other.site.web:
            apart = abs(math.remainder(one.angle - other.angle, 2 * math.pi))
            end = one.site.radius - one.site.most_depth
            assert 2 * end * math.sin(apart / 2) > (one.diameter + other.diameter) / 2


def test_within_tolerance_there_is_nothing_to_drill():
    plan = drill_plan(residual(100e-6, 10, 50e-6, 200), TOLERANCE, SITES)
    assert plan.feasible
    assert plan.holes == ()
    assert "nothing to drill" in plan.why


def pairs_that_do(before, sites):
    """Whether one hole, or two, of any drill at every depth of half a millimetre suffice."""
    ways = []
    for site in sites:
        for diameter in site.diameters:
            metal = RadialHole(site.radius, diameter)
            depths = np.arange(math.ceil(metal.minimum_depth / 5e-4), 33) * 5e-4
            for degrees in range(0, 360, 5):
                into = (math.radians(degrees) - site.angle_low) % (2 * math.pi)
                half = (diameter / 2 + site.minimum_wall) / (site.radius - site.most_depth)
                if half < into < site.angle_high - site.angle_low - half:
                    for depth, moment in zip(depths, hole_moment(metal, depths), strict=True):
                        hole = DrilledHole(site, math.radians(degrees), diameter, depth,
                                           float(moment), 0.0)  # fmt: skip
                        ways.append(removed([hole], PLANES))
    ways = np.array(ways)
    one = np.abs(before + ways) <= TOLERANCE.amounts
    if one.all(axis=1).any():
        return 1
    step = ways[::3]  # every third is enough to find a pair where there is room for one
    for way in step:
        if (np.abs(before + way + step) <= TOLERANCE.amounts).all(axis=1).any():
            return 2
    return 3


@pytest.mark.parametrize(
    "reading", [(300e-6, 150, 60e-6, 20), (420e-6, 35, 380e-6, 160), (500e-6, 300, 450e-6, 60)]
)
def test_a_search_of_all_holes_finds_no_fewer(reading):
    before = residual(*reading)
    plan = drill_plan(before, TOLERANCE, SITES)
    assert plan.feasible
    assert len(plan.holes) <= pairs_that_do(before, SITES)


def test_the_lightest_takes_no_more_than_the_fewest():
    before = residual(420e-6, 35, 380e-6, 160)
    fewest, lightest = (drill_plan(before, TOLERANCE, SITES, aim=aim) for aim in
                        ("fewest", "lightest"))  # fmt: skip
    assert lightest.feasible
    assert lightest.mass <= fewest.mass * (1 + 1e-6)


def test_what_cannot_be_done_says_why_and_what_would_help():
    plan = drill_plan(residual(5e-3, 35, 4e-3, 160), TOLERANCE, SITES[:2], most_holes=1)
    assert not plan.feasible
    assert "times permissible" in plan.why
    assert plan.reach.ratio > 1
    nowhere = drill_plan(residual(5e-3, 35, 4e-3, 160), TOLERANCE, ())
    assert "No place for a hole" in nowhere.why


def test_help_that_is_told_helps_and_help_that_is_not_does_not():
    before = residual(1200e-6, 150, 60e-6, 20)
    plan = drill_plan(before, TOLERANCE, SITES[:2], most_holes=1)
    assert not plan.feasible
    assert [one.split(",")[0] for one in plan.helps] == [
        "more holes",
        "deeper holes",
        "a larger drill",
    ]
    deeper = [replace(site, most_depth=1.5 * site.most_depth) for site in SITES[:2]]
    narrow = [replace(site, diameters=(0.004, 0.005, 0.006)) for site in SITES[:2]]
    assert drill_plan(before, TOLERANCE, SITES[:2], most_holes=3).feasible
    assert drill_plan(before, TOLERANCE, deeper, most_holes=1).feasible
    assert not drill_plan(before, TOLERANCE, narrow, most_holes=1).feasible


@pytest.mark.parametrize(
    ("wrong", "words"),
    [({"residual": np.zeros(3)}, "two finite vectors"),
     ({"residual": np.array([math.nan, 0])}, "two finite vectors"),
     ({"aim": "best"}, "must be one of fewest, lightest"), ({"most_holes": 0}, "1 to 12")],
)  # fmt: skip
def test_nonsense_is_refused(wrong, words):
    given_ = {"residual": residual(4e-4, 0, 4e-4, 0)} | wrong
    with pytest.raises(DesignError, match=words):
        drill_plan(given_.pop("residual"), TOLERANCE, SITES, **given_)


def test_sites_and_steps_that_cannot_be_are_refused():
    with pytest.raises(DesignError, match=r"0\.1° to 90°"):
        Drilling(angle_step=0.0)
    with pytest.raises(DesignError, match="must name at least one drill"):
        DrillSite(1, 0.0, 0.07, 0.0, 2.0, 0.02, (), 0.01, 0.003)
    with pytest.raises(DesignError, match="thickness less a wall"):
        DrillSite(1, 0.0, 0.07, 0.0, 2.0, 0.02, (0.016,), 0.01, 0.003)
