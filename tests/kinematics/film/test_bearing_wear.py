"""Where a load presses: loads whose place is known."""

import math

import numpy as np
import pytest

from kinematics.film.bearing_wear import heaviest_angle, upper_share

ANGLE = np.arange(720) * (2 * math.pi / 720)


def load(place, size=1.0):
    """A load that presses at angles from y in the sense of rotation."""
    return size * np.stack((np.sin(place), np.cos(place)))


@pytest.mark.parametrize("degrees", [0.0, 40.0, 184.0, 300.0])
def test_a_steady_load_presses_where_it_points(degrees):
    steady = load(np.full(720, math.radians(degrees)), 1e3)
    assert math.degrees(heaviest_angle(steady)) == pytest.approx(degrees, abs=1.0)
    assert upper_share(steady) == (1.0 if math.cos(math.radians(degrees)) > 0 else 0.0)


def test_a_load_that_goes_round_presses_both_halves_alike():
    assert upper_share(load(ANGLE + 1e-3)) == pytest.approx(0.5, abs=2e-3)


def test_each_instant_counts_by_its_size():
    up = load(np.zeros(720), 3.0)
    down = load(np.full(720, math.pi), 1.0)
    half = np.where(math.pi > ANGLE, up, down)
    assert upper_share(half) == pytest.approx(0.75, abs=1e-12)


def test_no_load_presses_neither():
    assert upper_share(np.zeros((2, 12))) == 0.5
