"""Direct solutions with an open groove: their limits, symmetry, potential and a closed form."""

import math

import numpy as np
import pytest

from kinematics import DesignError
from kinematics.film.grooved_reynolds import GroovedGrid, GroovedShell
from kinematics.film.reynolds_film import solve_film

HALF = GroovedShell(0.35, 0.2, math.pi)


def unit(angle):
    return np.array([math.cos(angle), math.sin(angle)])


@pytest.mark.parametrize("eccentricity", [0.0, 0.6, 0.95])
def test_a_groove_of_no_arc_is_a_plain_shell(eccentricity):
    grid = GroovedGrid(GroovedShell(0.35, 0.2, 0.01), eccentricity, math.pi, (96, 3, 9))
    for angle in (0.0, 1.0):
        own = grid.solve(unit(angle))
        plain = solve_film(eccentricity, unit(angle), 0.35)
        np.testing.assert_allclose(own.force, plain.force, rtol=0.01, atol=0.01 * own.force.max())
        assert own.peak_over_mean == pytest.approx(plain.peak_over_mean, rel=0.01)
        assert own.side_flow == pytest.approx(plain.side_flow, rel=0.01)


@pytest.mark.parametrize("eccentricity", [0.0, 0.6, 0.95])
def test_a_groove_all_round_makes_two_lands(eccentricity):
    """3 %: a land has nine cells, whose second-order error is so large."""
    shell = GroovedShell(0.35, 0.2, 2 * math.pi - 0.01)
    grid = GroovedGrid(shell, eccentricity, math.pi, (96, 3, 9))
    own = grid.solve(unit(0.5))
    land = solve_film(eccentricity, unit(0.5), 0.14)
    np.testing.assert_allclose(own.force, 2 * land.force, rtol=0.03)


def test_a_narrow_shell_is_the_short_bearing_by_its_arcs():
    """Pressure at each angle alone: ∫ 2 B³/H³ (V·n)⁺ n over arcs, B³ smaller where parted.

    2 %: cells, and a width of pressure at the groove's ends of the order of the land.
    """
    eccentricity, direction, share, ratio = 0.5, 1.2, 0.3, 0.01
    own = GroovedGrid(GroovedShell(ratio, share, math.pi), eccentricity, direction, (400, 4, 12))
    angle = np.linspace(-math.pi, math.pi, 200_001)
    normal = np.stack((np.cos(angle), np.sin(angle)))
    grooved = np.cos(angle + direction) > 0
    cubes = np.where(grooved, 2 * ((1 - share) * ratio) ** 3, (2 * ratio) ** 3)
    for turn in (0.3, 2.0, 4.0):
        velocity = unit(turn)
        pressed = np.clip(velocity @ normal, 0, None) * cubes
        pressed = pressed / (1 - eccentricity * np.cos(angle)) ** 3
        expected = np.trapezoid(normal * pressed, angle)
        np.testing.assert_allclose(own.solve(velocity).force, expected, rtol=0.02)


def test_the_mirror_image_has_the_mirrored_force():
    one = GroovedGrid(HALF, 0.8, 1.0).solve(unit(0.7))
    other = GroovedGrid(HALF, 0.8, -1.0).solve(unit(-0.7))
    np.testing.assert_allclose(one.force * [1, -1], other.force, rtol=1e-9)
    assert one.side_flow == pytest.approx(other.side_flow, rel=1e-9)
    assert math.remainder(one.peak_angle + other.peak_angle, 2 * math.pi) == pytest.approx(0)


@pytest.mark.parametrize("direction", [0.3, 1.5, 2.6])
def test_force_is_the_gradient_of_a_potential(direction):
    """Force over velocity is symmetric, so that mobility ahead follows from that along."""
    grid, step = GroovedGrid(HALF, 0.85, direction, (64, 2, 6)), 1e-3

    def force(velocity):
        film = grid.solve(velocity)
        return film.force * np.hypot(*velocity)

    at = unit(0.9)
    right, up = np.array([step, 0.0]), np.array([0.0, step])
    across = (force(at + up) - force(at - up))[0] / (2 * step)
    along = (force(at + right) - force(at - right))[1] / (2 * step)
    assert across == pytest.approx(along, rel=1e-3)


def test_a_groove_only_softens_and_a_wider_one_more():
    along = [solve_film(0.9, unit(0.2), 0.35).mobility]
    sizes = [float(np.hypot(*along[0]))]
    for share in (0.1, 0.2, 0.4):
        film = GroovedGrid(GroovedShell(0.35, share, math.pi), 0.9, 0.2).solve(unit(0.2))
        sizes.append(float(np.hypot(*film.mobility)))
    assert sizes == sorted(sizes)
    assert sizes[1] > 3 * sizes[0]


def test_the_groove_and_the_sides_have_no_pressure_and_none_is_below_ambient():
    grid = GroovedGrid(HALF, 0.9, 0.5)
    film = grid.solve(unit(0.0))
    assert (film.pressure >= 0).all()
    assert (film.pressure[grid.in_groove, : grid.grooved_cells] == 0).all()
    assert film.pressure[grid.in_groove, grid.grooved_cells :].max() > 0


@pytest.mark.parametrize(
    ("shell", "field"),
    [((0.0, 0.2, 1.0), "width_ratio"), ((0.3, 1.0, 1.0), "groove_share"), ((0.3, 0.2, 7), "arc")],
)
def test_impossible_shells_are_refused(shell, field):
    with pytest.raises(DesignError, match=field):
        GroovedShell(*shell)
