"""The share of the shear that a ruptured film has: limits, integrals, and the solved film."""

import math

import numpy as np
import pytest

from kinematics.array import Array
from kinematics.film.film_friction import filled_share
from kinematics.film.film_model import JournalPlaces
from kinematics.film.reynolds_film import ReynoldsFilm, solve_film


def share_of(size: float, turn: float, place: float = 0.4) -> float:
    """At an eccentricity ratio, the velocity turned from it; any place gives the same."""
    at, velocity = (
        (np.array([[length * math.cos(angle)]]), np.array([[length * math.sin(angle)]]))
        for length, angle in ((size, place), (1.0, place + turn))
    )
    one = np.ones((1, 1))
    return float(filled_share(JournalPlaces(*at, one, one, one), velocity)[0, 0])


@pytest.mark.parametrize("size", [0.0, 0.3, 0.8, 0.99])
def test_a_steady_load_keeps_the_half_before_the_thinnest_film(size):
    """Half of 2π/√(1 - ε²), and of what streamers of h_min fill behind: π/((1 + ε)√(1 - ε²))."""
    assert share_of(size, -math.pi / 2) == pytest.approx((2 + size) / (2 + 2 * size), rel=1e-12)


def test_a_journal_that_leaves_its_thin_film_keeps_it_full():
    """Velocity away from the thinnest film: behind the end of the pressed half it only narrows."""
    assert share_of(0.7, math.pi) == pytest.approx(share_of(0.7, -math.pi), rel=1e-12)
    assert share_of(0.7, 0.999 * math.pi / 2) == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize("size", [0.05, 0.6, 0.97])
@pytest.mark.parametrize("turn", np.linspace(-3.1, 3.1, 9))
@pytest.mark.parametrize("place", [0.0, 2.0])
def test_the_integrals_are_those_of_a_fine_sum(size, turn, place):
    end = turn + math.pi / 2
    behind = end + (np.arange(200_000) + 0.5) / 200_000 * math.pi
    gap, left = 1 - size * np.cos(behind), 1 - size * math.cos(end)
    lost = math.pi * np.maximum(1 / gap - left / gap**2, 0).mean()
    expected = 1 - lost * math.sqrt(1 - size**2) / (2 * math.pi)
    assert share_of(size, turn, place) == pytest.approx(expected, abs=1e-7)


def test_without_a_load_nothing_ruptures():
    at = JournalPlaces(*(np.array([[value]]) for value in (0.5, 0.2, 1.0, 0.0, 0.0)))
    assert filled_share(at, (np.zeros((1, 1)), np.zeros((1, 1)))) == [[1.0]]


def solved_share(film: ReynoldsFilm) -> float:
    """The same of a film solved in two dimensions, each row's streamers followed round."""
    grid = film.grid
    gap: Array = grid.film(grid.angle)
    filling = np.ones(film.filled.shape)
    for column, filled in enumerate(film.filled.T):
        left = math.inf
        for place in (*range(len(gap)), *range(len(gap))):
            left = gap[place] if filled[place] else left
            filling[place, column] = 1.0 if filled[place] else min(1.0, left / gap[place])
    cells = np.outer(np.diff(grid.angle_faces), np.diff(grid.width_faces))
    return float((filling / gap[:, None] * cells).sum() / (cells / gap[:, None]).sum())


@pytest.mark.parametrize("size", [0.3, 0.8, 0.95])
@pytest.mark.parametrize("turn", [-90, -60, -20, 20])
@pytest.mark.parametrize(("width_ratio", "within"), [(0.2, 0.03), (0.4, 0.06), (0.65, 0.09)])
def test_the_solved_film_ruptures_a_little_later(size, turn, width_ratio, within):
    """Never earlier; the wider the bearing, the later (Swift and Stieber's condition)."""
    turned = math.radians(turn)
    velocity = np.array([math.cos(turned), math.sin(turned)])
    found = solved_share(solve_film(size, velocity, width_ratio, cells=(96, 8)))
    assert 0 <= found - share_of(size, turned) < within
