"""The table of grooved films: beside direct solutions, its slopes, limits, range and size."""

import math
from importlib.resources import files

import numpy as np
import pytest

from kinematics import DesignError
from kinematics.array import Array
from kinematics.film.film_model import JournalPlaces
from kinematics.film.groove_map import (
    GrooveFactors,
    GrooveMap,
    groove_directions,
    groove_map,
    groove_table,
    packed,
    parted_over_plain,
    plain_numbers,
    unpacked,
)
from kinematics.film.grooved_reynolds import GroovedGrid, GroovedShell
from tests.kinematics.film.unit_places import unit_places

SHELLS = [(0.32, 0.2, math.pi), (0.2, 0.1, math.radians(150)), (0.5, 0.3, math.radians(210))]


def factors(table: GrooveMap, at: JournalPlaces, direction: Array) -> GrooveFactors:
    return table.factors(table.place(at, direction))


@pytest.mark.parametrize(
    ("shell", "half", "largest"), [(SHELLS[0], 0.01, 0.03), (*SHELLS[1:2], 0.02, 0.15),
                                   (*SHELLS[2:], 0.03, 0.15)],
)  # fmt: skip
def test_mobility_is_that_of_direct_solutions(shell, half, largest):
    """At places, loads and shells between the table's, of the direct solution's size.

    Half of the places are nearer than the first bound. Between the table's arcs the groove's
    farther end stands elsewhere, which few places feel, by up to 15 %; films stay within 2 %.
    """
    table, draw = groove_map((shell,)), np.random.default_rng(3)
    apart = []
    for _ in range(24):
        size, direction = 1 - math.exp(-draw.uniform(0.1, 4)), draw.uniform(-math.pi, math.pi)
        turn = draw.uniform(-0.6, 0.6)
        grids = [
            GroovedGrid(GroovedShell(*shell), size, direction, cells)
            for cells in ((96, 4, 12), (48, 2, 6))
        ]
        fine, coarse = (grid.solve(np.array([math.cos(turn), math.sin(turn)])) for grid in grids)
        lead = -fine.load_angle
        xi, eta = np.array([size * math.cos(lead)]), np.array([size * math.sin(lead)])
        found = factors(table, unit_places(xi[None], eta[None]), np.array([[direction - lead]]))
        plain = plain_numbers(shell[0], xi, eta)
        scale = math.exp(float(found.log[0, 0]))
        along = scale * plain.along[0]
        ahead = scale * (plain.ahead[0] + float(found.turn[0, 0]) * plain.along[0])
        expected = fine.mobility + (fine.mobility - coarse.mobility) / 3
        apart.append(np.hypot(along - expected[0], ahead - expected[1]) / np.hypot(*expected))
    assert np.median(apart) < half
    assert max(apart) < largest


def test_far_from_the_groove_it_is_plain_and_within_it_parted():
    shell = SHELLS[0]
    table, size = groove_map((shell,)), np.array([[0.97]])
    zero = 0 * size
    away = factors(table, unit_places(size, zero), zero + math.pi)
    assert float(away.log[0, 0]) == pytest.approx(0, abs=0.02)
    assert float(away.turn[0, 0]) == pytest.approx(0, abs=0.05)
    within = factors(table, unit_places(size, zero), zero)
    lands = parted_over_plain(shell[0], shell[1], size[0], zero[0])
    # the two ends of the arc leave a tenth of the logarithm at loads right in the middle
    assert float(within.log[0, 0]) == pytest.approx(math.log(lands[0]), rel=0.12)


def test_slopes_are_the_differences_of_the_factors():
    table, step, draw = groove_map((SHELLS[0],)), 1e-6, np.random.default_rng(5)
    size, lead = draw.uniform(0.1, 0.98, (1, 200)), draw.uniform(-3, 3, (1, 200))
    xi, eta = size * np.cos(lead), size * np.sin(lead)
    direction = draw.uniform(-3, 3, (1, 200))
    found = factors(table, unit_places(xi, eta), direction)
    for over, (dx, dy) in enumerate(((step, 0.0), (0.0, step))):
        up = factors(table, unit_places(xi + dx, eta + dy), direction)
        down = factors(table, unit_places(xi - dx, eta - dy), direction)
        for slopes, name in ((found.log_slopes, "log"), (found.turn_slopes, "turn")):
            difference = (getattr(up, name) - getattr(down, name)) / (2 * step)
            off = np.abs(slopes[over] - difference) / (1 + np.abs(difference))
            assert np.median(off) < 1e-6  # straight between points: corners alone differ
            assert np.quantile(off, 0.9) < 1e-3


def test_turn_is_half_the_slope_of_the_logarithm():
    """Velocity is the gradient of a potential over the load, at a fixed place of the journal."""
    table, step = groove_map((SHELLS[0],)), 0.02
    draw = np.random.default_rng(7)
    size, lead = draw.uniform(0.2, 0.9, (1, 100)), draw.uniform(-2, 2, (1, 100))
    place = draw.uniform(-math.pi, math.pi, (1, 100))  # the eccentricity's direction

    def with_lead(lead):
        at = unit_places(size * np.cos(lead), size * np.sin(lead))
        return factors(table, at, place - lead)

    turn = with_lead(lead).turn
    difference = (with_lead(lead - step).log - with_lead(lead + step).log) / (4 * step)
    assert np.median(np.abs(turn - difference)) < 0.01
    np.testing.assert_allclose(turn, difference, atol=0.2)


def test_directions_run_from_the_middle_over_the_end_to_opposite():
    found = groove_directions(np.array([-1.0, 0.0, 1.0]), math.radians(140))
    np.testing.assert_allclose(found, [0, math.radians(70), math.pi], atol=1e-12)


def test_a_shell_outside_the_table_is_refused():
    assert not groove_table().holds(0.32, 0.9, math.pi)
    with pytest.raises(DesignError, match="groove_arc"):
        groove_map(((0.32, 0.9, math.pi),))


def test_packing_loses_half_a_step_at_most():
    values = np.random.default_rng(1).uniform(-2, 2, (2, 3, 4))
    np.testing.assert_allclose(unpacked(packed(values, 0.01), 0.01), values, atol=0.00501)


def test_the_shipped_tables_are_small():
    folder = files("kinematics.film")
    sizes = [len((folder / name).read_bytes()) for name in ("film_map.npz", "groove_map.npz")]
    assert sum(sizes) <= 2_000_000
