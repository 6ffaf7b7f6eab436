"""A radial hole: its curved entry by the series of the book of integrals, slopes, and refusals."""

import math

import numpy as np
import pytest

from kinematics.balancing.drilled_hole import (
    RadialHole,
    hole_depth,
    hole_mass,
    hole_moment,
    moment_per_depth,
)
from kinematics.errors import DesignError

HOLES = [RadialHole(0.08, 0.012), RadialHole(0.06, 0.03, 7100.0, math.pi),
         RadialHole(0.2, 0.008, point_angle=math.radians(90))]  # fmt: skip
per_hole = pytest.mark.parametrize("hole", HOLES, ids=["pointed", "wide and flat", "right-angled"])


def depths(hole: RadialHole) -> np.ndarray:
    return np.linspace(hole.minimum_depth, hole.most_depth, 60)


@per_hole
def test_mass_grows_by_the_section_and_moment_by_the_radius_too(hole) -> None:
    at = depths(hole)
    metre = hole.density * hole.area
    np.testing.assert_allclose(np.diff(hole_mass(hole, at)), metre * np.diff(at), rtol=1e-9)
    step = 1e-6
    inner = at[1:-1]
    slope = (hole_moment(hole, inner + step) - hole_moment(hole, inner - step)) / (2 * step)
    np.testing.assert_allclose(moment_per_depth(hole, inner), slope, rtol=1e-7)
    assert np.all(slope > 0)


@per_hole
def test_depth_is_the_inverse_of_moment_over_the_whole_range(hole) -> None:
    at = depths(hole)
    np.testing.assert_allclose(hole_depth(hole, hole_moment(hole, at)), at, rtol=1e-9)


@per_hole
def test_the_curved_entry_by_its_series(hole) -> None:
    """Mean of R - √(R² - y²) over a disc of radius a: a²/8R + a⁴/64R³ + 5a⁶/1024R⁵ + …."""
    R, a = hole.face_radius, hole.diameter / 2  # noqa: N806
    missing = hole.minimum_depth + hole.cone_height / 3
    missing -= float(hole_mass(hole, np.array(hole.minimum_depth))) / (hole.density * hole.area)
    series = a**2 / (8 * R) + a**4 / (64 * R**3) + 5 * a**6 / (1024 * R**5)
    assert missing == pytest.approx(series, rel=3 * (a / R) ** 6 + 1e-9)


def test_a_flat_hole_acts_at_its_middle_on_a_large_face() -> None:
    """Centroid R - h/2 - a²/16R for a face much larger than the hole."""
    hole = RadialHole(20.0, 0.01, point_angle=math.pi)
    depth = np.array([0.02])
    arm = hole_moment(hole, depth) / hole_mass(hole, depth)
    assert arm == pytest.approx(20.0 - 0.01 - 0.005**2 / (16 * 20.0), abs=1e-10)


def test_what_is_no_hole_is_refused() -> None:
    hole = HOLES[0]
    for wrong in (-1e-3, 0.0, 0.5 * hole.minimum_depth, 1.01 * hole.most_depth, math.nan):
        for takes in (hole_mass, hole_moment):
            with pytest.raises(DesignError, match="for a hole of"):
                takes(hole, np.array([5e-3, wrong]))
    with pytest.raises(DesignError, match="half the face radius"):
        RadialHole(0.02, 0.011)
    with pytest.raises(DesignError, match="45° to 180°"):
        RadialHole(0.08, 0.01, point_angle=0.1)
    with pytest.raises(DesignError, match="above 0"):
        RadialHole(0.08, 0.01, density=0.0)
