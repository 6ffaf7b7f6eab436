"""Balance quality: shares that add up, limits inside and outside the planes, bad input."""

import math

import numpy as np
import pytest

from kinematics.balancing.balance_quality import (
    GRADES,
    PlaneTolerance,
    check_residual,
    named_grade,
    permissible_eccentricity,
    permissible_unbalance,
    plane_tolerance,
)
from kinematics.balancing.unbalance import TwoPlanes
from kinematics.errors import DesignError

PLANES = TwoPlanes(-0.3, 0.3)


@pytest.mark.parametrize("centre", np.linspace(-0.3, 0.3, 13))
def test_inside_the_planes_the_shares_are_the_whole_and_held_to_limits(centre) -> None:
    shared = plane_tolerance(1.0, centre, PLANES)
    assert shared.front + shared.rear == pytest.approx(1.0, rel=1e-14)
    assert 0.3 <= shared.front <= 0.7
    if abs(centre) <= 0.12:  # a limit is met at a fifth of the span from the middle
        assert shared.front == pytest.approx((0.3 - centre) / 0.6, rel=1e-14)


def test_either_side_of_the_middle_mirrors() -> None:
    for centre in (0.05, 0.2, 0.4):
        ahead, behind = (plane_tolerance(1.0, side * centre, PLANES) for side in (-1, 1))
        assert ahead.amounts == pytest.approx(behind.amounts[::-1], rel=1e-14)


def test_outside_the_planes_the_nearer_one_has_up_to_1_3_of_the_whole() -> None:
    assert plane_tolerance(1.0, 0.36, PLANES).amounts == pytest.approx([0.3, 1.1], rel=1e-14)
    assert plane_tolerance(1.0, 0.54, PLANES).amounts == pytest.approx([0.4, 1.3], rel=1e-14)


def test_unbalance_is_mass_times_eccentricity_and_falls_with_speed() -> None:
    for row in GRADES:
        eccentricity = permissible_eccentricity(row.speed, 700.0)
        assert eccentricity * 700.0 == pytest.approx(row.speed, rel=1e-14)
        whole = permissible_unbalance(row.speed, 24.0, 700.0)
        assert whole == pytest.approx(24.0 * eccentricity, rel=1e-14)
        assert permissible_unbalance(row.speed, 24.0, 1400.0) == pytest.approx(whole / 2, rel=1e-14)


def test_names_say_the_speed_in_millimetres_a_second() -> None:
    for row in GRADES:
        assert float(row.name[1:]) == pytest.approx(1e3 * row.speed, rel=1e-12)
        assert named_grade(row.name) is row


def test_only_the_row_that_was_misquoted_is_from_memory() -> None:
    recalled = [row.name for row in GRADES if row.origin.confidence != "published"]
    assert recalled == ["G1600"]
    assert named_grade("G1600").inherent == "balanced"


def test_many_readings_are_checked_at_once() -> None:
    tolerance = PlaneTolerance(PLANES, 2e-4, 4e-4)
    readings = np.array([[1e-4, 4e-4j], [2e-4j, -4e-4], [2.1e-4, 0]])
    check = check_residual(readings, PLANES, tolerance)
    assert check.ratio == pytest.approx(np.array([[0.5, 1], [1, 1], [1.05, 0]]), rel=1e-12)
    assert list(check.within) == [True, True, False]


@pytest.mark.parametrize("wrong", [0.0, -1.0, math.inf, math.nan])
def test_what_is_not_above_zero_is_refused(wrong) -> None:
    for field, values in (("grade", (wrong, 1.0, 1.0)), ("mass", (1.0, wrong, 1.0)),
                          ("speed", (1.0, 1.0, wrong))):  # fmt: skip
        with pytest.raises(DesignError, match="above 0") as refused:
            permissible_unbalance(*values)
        assert refused.value.field == field
    with pytest.raises(DesignError, match="above 0"):
        PlaneTolerance(PLANES, 1e-4, wrong)
