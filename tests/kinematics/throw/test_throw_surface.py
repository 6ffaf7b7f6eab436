"""The surface of a throw's stiffness: its error on throws that it was not fitted to."""

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import load_design, solid_throw
from kinematics.throw.throw_shape import ThrowShape
from kinematics.throw.throw_solid import Fineness, end_stiffness
from kinematics.throw.throw_solution import solve_throw
from kinematics.throw.throw_surface import (
    MOTIONS,
    RATIOS,
    bar_stiffness,
    scaled_coordinates,
    shape_of_ratios,
    throw_ratios,
    throw_surface,
)

HELD_BACK = Path(__file__).with_name("held_back_throws.csv")
SIZES = tuple(name for name in ThrowShape.__slots__ if name != "crank_radius")
MIDDLE = np.array([1.35, 0.85, 0.45, 1.3, 1.3, 0.6, 0.6, 0.2, 0.2])


def held_back() -> list[tuple[ThrowShape, np.ndarray]]:
    """Throws of radius 1 and modulus 1, solved by `solve_throw` and not fitted to."""
    with HELD_BACK.open(newline="") as file:
        return [
            (ThrowShape(*(float(row[name]) for name in SIZES)),
             np.array([float(row[name]) for name in MOTIONS]))
            for row in csv.DictReader(file)
        ]  # fmt: skip


def test_its_error_is_what_it_misses_of_throws_held_back() -> None:
    surface, found = throw_surface(), []
    for shape, solved in held_back():
        read = surface.stiffness(shape, 1.0)
        found.append(np.array([getattr(read, name) for name in MOTIONS]) / solved - 1)
    assert len(found) >= 90
    np.testing.assert_allclose(found, surface.held_back, atol=1e-5)
    assert np.median(np.abs(found)) == pytest.approx(surface.error()[0], rel=1e-3)
    assert np.abs(found).max() == pytest.approx(surface.error()[1], rel=1e-3)


def test_its_error_meets_what_it_was_made_for() -> None:
    median, worst = throw_surface().error()
    assert median < 0.03
    assert worst < 0.08


def test_a_throw_held_back_is_solved_again_alike() -> None:
    shape, solved = held_back()[57]  # of the fewest points
    again = solve_throw(shape, 1.0).stiffness
    # sizes of nine digits move the mesh's points, and with them its error, by so much
    assert [getattr(again, name) for name in MOTIONS] == pytest.approx(solved, rel=1e-3)


def test_slopes_are_differences() -> None:
    """Of the logarithm, along a coordinate's own ratio and turned into the coordinate's."""
    surface, step = throw_surface(), 1e-5
    slopes = surface.slopes(shape_of_ratios(MIDDLE))

    def at(ratios: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        shape = shape_of_ratios(ratios)
        read, bars = surface.stiffness(shape, 1.0), bar_stiffness(shape, 1.0)
        log = [math.log(getattr(read, name) / getattr(bars, name)) for name in MOTIONS]
        return np.array(log), scaled_coordinates(ratios[None], surface.low, surface.high)[0]

    for place in range(len(MIDDLE)):
        aside = step * np.eye(len(MIDDLE))[place]
        (above, high), (below, low) = at(MIDDLE + aside), at(MIDDLE - aside)
        np.testing.assert_allclose(slopes @ (high - low), above - below, rtol=1e-3, atol=1e-10)


def test_stiffness_grows_with_modulus_and_the_cube_of_size() -> None:
    surface, shape = throw_surface(), shape_of_ratios(MIDDLE)
    big = ThrowShape(*(0.04 * getattr(shape, name) for name in ThrowShape.__slots__))
    one, other = surface.stiffness(shape, 1.0), surface.stiffness(big, 2e11)
    for motion in MOTIONS:
        assert getattr(other, motion) == pytest.approx(
            2e11 * 0.04**3 * getattr(one, motion), rel=1e-12
        )


def test_ratios_come_back_from_their_shape() -> None:
    np.testing.assert_allclose(throw_ratios(shape_of_ratios(MIDDLE)), MIDDLE, rtol=1e-12)


@pytest.mark.parametrize("place", range(9))
def test_a_ratio_outside_is_named_with_what_was_sampled(place: int) -> None:
    surface, ratios = throw_surface(), MIDDLE.copy()
    assert surface.outside(shape_of_ratios(ratios)) == ()
    ratios[place] = 1.1 * surface.high[place]
    (words,) = surface.outside(shape_of_ratios(ratios))
    assert words.startswith(RATIOS[place])
    assert f"to {surface.high[place]:.3g} (got {ratios[place]:.3g})" in words


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_the_surface_holds_for_every_demo(stem: str) -> None:
    solid = solid_throw(load_design(FOLDER / f"{stem}.toml"))
    assert solid.outside == ()
    assert solid.stiffness.in_plane > solid.bars.in_plane


def test_a_demos_throw_is_near_its_own_solution() -> None:
    solid = solid_throw(load_design(FOLDER / "hill_climb_six.toml"))
    scale = solid.bars.torsion  # any of the three, to be free of units
    one = end_stiffness(solid.shape.over_radius(), Fineness(0.25, layers=3))
    of_mesh = one.free_in_plane / one.free_torsion
    assert scale > 0
    assert solid.stiffness.in_plane / solid.stiffness.torsion == pytest.approx(of_mesh, rel=0.08)
