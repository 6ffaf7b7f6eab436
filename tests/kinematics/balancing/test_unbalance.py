"""Unbalance as a vector: a hole anywhere told in two planes, senses of angle, bad input."""

import math

import numpy as np
import pytest

from kinematics.balancing.unbalance import (
    MachineScale,
    TwoPlanes,
    in_planes,
    moment_unbalance,
    plane_shares,
    read_off,
    static_unbalance,
    vectors,
)
from kinematics.errors import DesignError

PLANES = TwoPlanes(-0.25, 0.31)
RANDOM = np.random.default_rng(5)


def test_what_stands_in_a_plane_is_all_of_that_plane() -> None:
    np.testing.assert_allclose(plane_shares(PLANES.places, PLANES), np.eye(2), atol=1e-15)
    assert plane_shares(np.array(0.03), PLANES) == pytest.approx([0.5, 0.5], rel=1e-14)
    outside = plane_shares(np.array(0.31 + 0.56), PLANES)
    assert outside == pytest.approx([-1.0, 2.0], rel=1e-14)


def test_sum_and_moment_are_kept_for_parts_anywhere_and_many_cranks() -> None:
    z = RANDOM.uniform(-0.5, 0.5, 7)
    parts = vectors(RANDOM.uniform(0, 1e-3, (4, 7)), RANDOM.uniform(-7, 7, (4, 7)))
    pair = in_planes(parts, z, PLANES)
    assert pair.shape == (4, 2)
    np.testing.assert_allclose(static_unbalance(pair), parts.sum(axis=1), rtol=1e-12)
    for about in (0.0, -0.4):
        expected = (parts * (z - about)).sum(axis=1)
        np.testing.assert_allclose(moment_unbalance(pair, PLANES, about), expected, rtol=1e-11)


def test_zero_sense_and_light_side_by_hand() -> None:
    """The mark lies 90° on; 30° against rotation from it is 60°, its light side 240°."""
    shown = np.array([2.0]), np.radians([30.0])
    quarter = math.radians(90)
    for scale, degrees in (
        (MachineScale(quarter), 120),
        (MachineScale(quarter, against=True), 60),
        (MachineScale(quarter, against=True, shows_light=True), 240),
    ):
        expected = vectors(np.array([2.0]), np.radians([degrees]))
        np.testing.assert_allclose(read_off(scale, *shown), expected, atol=1e-15)


def test_correcting_in_the_wrong_sense_leaves_more_beyond_30_degrees() -> None:
    """2 sin of the angle is left of 1: worse than before from 30° to 150°, nothing at 0, 180°."""
    degrees = np.array([0.0, 29.0, 31.0, 90.0, 149.0, 151.0, 180.0])
    true = read_off(MachineScale(), np.ones(7), np.radians(degrees))
    wrong = read_off(MachineScale(against=True), np.ones(7), np.radians(degrees))
    left = np.abs(true - wrong)
    np.testing.assert_allclose(left, 2 * np.abs(np.sin(np.radians(degrees))), atol=1e-15)
    assert list(left > 1) == [False, False, True, True, True, False, False]


def test_bad_input_is_refused() -> None:
    for front, rear in ((0.1, 0.1), (0.2, 0.1), (0.0, math.inf), (math.nan, 0.1)):
        with pytest.raises(DesignError, match="behind the front plane"):
            TwoPlanes(front, rear)
    with pytest.raises(DesignError, match="finite numbers"):
        read_off(MachineScale(), np.array([1.0, math.nan]), np.zeros(2))
    with pytest.raises(DesignError, match="0 or more"):
        read_off(MachineScale(), np.array([-1e-9]), np.zeros(1))
