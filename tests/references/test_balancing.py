"""Balancing against published examples: permissible residuals, two planes, drilled holes.

Each value names its source; what was only recalled says so.
"""

import math

import numpy as np
import pytest

from kinematics.balancing.balance_quality import (
    GRADES,
    check_residual,
    crank_drive_grade,
    named_grade,
    permissible_eccentricity,
    permissible_unbalance,
    plane_tolerance,
)
from kinematics.balancing.drill_plan import removed
from kinematics.balancing.drill_sites import DrilledHole, DrillSite
from kinematics.balancing.drilled_hole import RadialHole, hole_depth, hole_mass, hole_moment
from kinematics.balancing.unbalance import (
    MachineScale,
    TwoPlanes,
    in_planes,
    moment_unbalance,
    moved,
    read_off,
    shown_angle,
    static_unbalance,
    vectors,
)
from kinematics.errors import DesignError

RPM = math.pi / 30


def test_the_worked_example_of_the_standard():
    """ISO 1940-1, worked example (from memory): 3600 kg, 3000 rpm, G2.5, 1500 and 900 mm.

    Printed 8 g·mm/kg, 28.6, 10.7 and 17.9 kg·mm; digits beyond recomputed.
    """
    grade, speed = 2.5e-3, 3000 * RPM
    assert permissible_eccentricity(grade, speed) == pytest.approx(7.95775e-6, rel=1e-5)
    whole = permissible_unbalance(grade, 3600, speed)
    assert whole == pytest.approx(28647.89e-6, rel=1e-6)
    tolerance = plane_tolerance(whole, 1.5, TwoPlanes(0.0, 2.4))
    assert tolerance.front == pytest.approx(10742.96e-6, rel=1e-6)
    assert tolerance.rear == pytest.approx(17904.93e-6, rel=1e-6)


@pytest.mark.parametrize(
    ("grade", "mass", "rpm", "eccentricity", "whole"),
    [("G6.3", 25, 7000, 8.5944, 214.859), ("G6.3", 50, 3000, 20.0535, 1002.676),
     ("G16", 24, 8000, 19.0986, 458.366), ("G40", 24, 8000, 47.7465, 1145.916)],
)  # fmt: skip
def test_grades_at_a_cranks_size(grade, mass, rpm, eccentricity, whole):
    """U = 1000 G m / ω in g·mm, ISO 21940-11 (rule from memory), recomputed."""
    row = named_grade(grade).speed
    assert permissible_eccentricity(row, rpm * RPM) == pytest.approx(eccentricity * 1e-6, rel=1e-5)
    assert permissible_unbalance(row, mass, rpm * RPM) == pytest.approx(whole * 1e-6, rel=2e-6)


def test_shares_of_a_crank_off_its_middle():
    tolerance = plane_tolerance(458.366e-6, 0.25, TwoPlanes(0.0, 0.6))
    assert tolerance.amounts == pytest.approx([267.380e-6, 190.986e-6], rel=1e-5)
    near_end = plane_tolerance(1.0, 0.05, TwoPlanes(0.0, 0.6))
    assert near_end.amounts == pytest.approx([0.7, 0.3])  # held to 0.3 … 0.7


def test_in_american_units():
    """6.015 G W / N oz·in, W in lb, N in rpm (read in a trade article, energy-tech)."""
    ounce_inch, pound = 0.45359237 / 16 * 0.0254, 0.45359237
    found = permissible_unbalance(16e-3, 46 * pound, 9000 * RPM) / ounce_inch
    assert found == pytest.approx(6.015 * 16 * 46 / 9000, rel=1e-4)


def test_an_in_line_six_has_the_grades_of_drives_that_balance_themselves():
    """ISO 21940-11, table of grades (read as quoted)."""
    assert crank_drive_grade(balanced=True, rigid=False).name == "G40"
    assert crank_drive_grade(balanced=True, rigid=True).name == "G16"
    assert crank_drive_grade(balanced=False, rigid=True).name == "G250"
    assert [row.speed for row in GRADES] == sorted((row.speed for row in GRADES), reverse=True)
    with pytest.raises(DesignError, match=r"must be one of G4000, .*G6\.3"):
        named_grade("G41")


def test_one_plane():
    """B. K. Sarkar, Theory of Machines, chapter 8, illustration 1: 8.1 kg at 267.5° (graphical)."""
    amounts = vectors(np.array([12 * 40, 10 * 50, 18 * 60, 15 * 30.0]),
                      np.radians([0, 60, 130, 270]))  # fmt: skip
    balancing = -amounts.sum() / 100
    assert abs(balancing) == pytest.approx(8.1, abs=0.1)
    assert math.degrees(np.angle(balancing)) % 360 == pytest.approx(267.5, abs=0.5)


def test_two_planes_and_the_trap_of_the_sense_of_angle():
    """Sarkar, chapter 8, illustration 3, as Khurmi and Gupta, example 21.2 (masses and radii read).

    Printed, by drawing, 350 kg at 146° and 182.5 kg at 12.5°, both measured the other way round.
    """
    disturbing = vectors(np.array([200 * 80, 300 * 70, 400 * 60, 200 * 80.0]),
                         np.radians([0, 45, 115, 235]))  # fmt: skip
    planes = TwoPlanes(100.0, 500.0)
    needed = -in_planes(disturbing, np.array([0.0, 300.0, 400.0, 700.0]), planes) / 100
    assert np.abs(needed) == pytest.approx([352.972, 184.059], abs=5.1e-4)
    assert np.degrees(np.angle(needed)) % 360 == pytest.approx([213.371, 347.198], abs=5.1e-4)
    against = np.degrees(shown_angle(MachineScale(against=True), needed))
    assert against == pytest.approx([146.63, 12.80], abs=5.1e-3)
    assert np.abs(needed) == pytest.approx([350, 182.5], rel=0.011)
    assert against == pytest.approx([146, 12.5], abs=2)


def test_moving_between_planes_keeps_force_and_moment():
    measured, wanted = TwoPlanes(-0.28, 0.31), TwoPlanes(-0.11, 0.17)
    reading = read_off(MachineScale(zero=0.3), np.array([4e-4, 3e-4]), np.radians([35, 160]))
    there = moved(reading, measured, wanted)
    assert static_unbalance(there) == pytest.approx(static_unbalance(reading), abs=1e-15)
    for about in (0.0, 0.2):
        before = moment_unbalance(reading, measured, about)
        assert moment_unbalance(there, wanted, about) == pytest.approx(before, abs=1e-15)
    back = moved(there, wanted, measured)
    np.testing.assert_allclose(back, reading, atol=1e-15)


@pytest.mark.parametrize("scale", [
    MachineScale(), MachineScale(against=True), MachineScale(shows_light=True),
    MachineScale(zero=1.0, against=True, shows_light=True),
])  # fmt: skip
def test_what_is_shown_reads_back(scale):
    angles = np.radians([10.0, 200.0])
    assert shown_angle(scale, read_off(scale, np.ones(2), angles)) == pytest.approx(angles)


def test_the_wrong_sense_makes_it_worse_but_at_0_and_180():
    for degrees in range(0, 360, 15):
        true = read_off(MachineScale(), np.array([1.0]), np.radians([degrees]))
        wrong = read_off(MachineScale(against=True), np.array([1.0]), np.radians([degrees]))
        left = abs((true - wrong)[0])  # after taking away what was read wrongly
        assert left == pytest.approx(2 * abs(math.sin(math.radians(degrees))), abs=1e-12)


def test_a_residual_is_judged_in_the_tolerances_planes():
    tolerance = plane_tolerance(400e-6, 0.0, TwoPlanes(-0.3, 0.3))
    inside = TwoPlanes(-0.1, 0.1)
    couple = np.array([300e-6, -300e-6], complex)
    check = check_residual(couple, inside, tolerance)
    assert np.abs(check.residual) == pytest.approx([100e-6, 100e-6])  # a third of the arm
    assert check.ratio == pytest.approx([0.5, 0.5])
    assert check.within


# --- drilled holes; recomputed


@pytest.mark.parametrize(("drill", "gram"), [(8, 0.39458), (10, 0.61654), (12, 0.88781)])
def test_grams_a_millimetre(drill, gram):
    hole = RadialHole(0.08, drill * 1e-3)
    shallow, deep = hole_mass(hole, np.array([5e-3, 6e-3]))
    assert deep - shallow == pytest.approx(gram * 1e-3, rel=1e-4)


def test_the_drills_point_and_the_shift_of_radius():
    """A 12 mm cone of 118° is 1.0669 g; a flat hole's moment ρA(Rh − h²/2), less ρA·a²/8."""
    pointed, flat = (RadialHole(0.08, 0.012, point_angle=angle) for angle in
                     (math.radians(118), math.pi))  # fmt: skip
    depth = np.array([7.3802e-3])
    cone = hole_mass(pointed, depth) - hole_mass(flat, depth)
    assert cone == pytest.approx(1.0669e-3, rel=1e-4)
    entry = 7850 * math.pi / 4 * 0.012**2 * 0.006**2 / 8
    assert hole_moment(flat, depth) == pytest.approx(500e-6 - entry, rel=1e-4)


def test_a_hole_by_summing_small_columns():
    """Mass and moment over a fine grid of the hole's section, the round entry counted."""
    hole = RadialHole(0.066, 0.012)
    radius, depth = 0.006, 0.0085
    grid = (np.arange(600) + 0.5) / 300 - 1
    x, y = np.meshgrid(radius * grid, radius * grid)
    inside = x**2 + y**2 < radius**2
    top = np.sqrt(0.066**2 - y**2)
    cone = (radius - np.sqrt(x**2 + y**2)) / math.tan(math.radians(59))
    bottom = 0.066 - depth - cone
    cell = (2 * radius / 600) ** 2
    mass = 7850 * ((top - bottom) * inside).sum() * cell
    moment = 7850 * ((top**2 - bottom**2) / 2 * inside).sum() * cell
    at = np.array([depth])
    assert hole_mass(hole, at) == pytest.approx(mass, rel=3e-4)
    assert hole_moment(hole, at) == pytest.approx(moment, rel=3e-4)


def test_depth_and_moment_are_inverse_and_never_negative():
    hole = RadialHole(0.07, 0.010)
    depths = np.linspace(hole.minimum_depth, 0.9 * hole.most_depth, 40)
    moments = hole_moment(hole, depths)
    assert np.all(np.diff(moments) > 0)
    np.testing.assert_allclose(hole_depth(hole, moments), depths, rtol=1e-10)
    for wrong in (-1e-6, 0.0, float(moments[0]) / 2):
        with pytest.raises(DesignError, match="for a hole of"):
            hole_depth(hole, np.array([wrong]))


def test_an_unbalance_split_onto_two_angles():
    """10 g·mm at 20° is taken by holes at 0° and 60° of 7.42227 and 3.94931: sines of the arcs."""
    planes = TwoPlanes(-0.3, 0.3)
    site = DrillSite(1, planes.front, 0.07, -0.5, 1.6, 0.02, (0.008,), 0.01, 0.003)
    holes = [
        DrilledHole(site, math.radians(angle), 0.008, 0.005, 1e-6 * moment, 0.0)
        for angle, moment in ((0, 7.42227), (60, 3.94931))
    ]
    wanted = [-vectors(np.array(10e-6), np.radians(20.0)), 0]
    np.testing.assert_allclose(removed(holes, planes), wanted, atol=1e-11)
