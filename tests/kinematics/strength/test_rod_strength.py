"""The shank against the rigid-body loads, beam theory, limits and scaling."""

import math

import numpy as np
import pytest

from kinematics.errors import DesignError
from kinematics.mechanics.gas_and_inertia_loads import (
    BySpeed,
    GasAndInertia,
    MovingMasses,
    cylinder_loads,
)
from kinematics.mechanics.slider_crank import SliderCrank, pose, posed_motion
from kinematics.strength.rod_strength import (
    WORST_WHIPPING_PLACE,
    ISection,
    PinAccelerations,
    Shank,
    StressRange,
    axial_stress,
    column_load,
    endurance_limit,
    euler_load,
    fibre_stress,
    goodman_safety,
    johnson_load,
    peak_whipping_moment,
    pin_accelerations,
    rankine_load,
    shank_force,
    slenderness,
    stress_range,
    transition_slenderness,
    whipping_moment,
    yield_safety,
)

TRAIN = SliderCrank(0.045, 0.144, 0.001)
ANGLE = np.radians(np.arange(720.0))
STEEL = {"yield_strength": 500e6, "elastic_modulus": 207e9}


def uniform_shank(points: int = 33, eye_mass: float = 0.0) -> Shank:
    place = np.linspace(0, 1, points)
    area = np.full(points, 250e-6)
    return Shank(place, area, np.full(points, 2e-6), TRAIN.rod_length, 7850.0, eye_mass)


def pins_over_a_cycle() -> PinAccelerations:
    at = pose(TRAIN, ANGLE)
    return pin_accelerations(TRAIN, at, posed_motion(TRAIN, at))


def steady(small: float, big: float) -> PinAccelerations:
    """Accelerations across the rod at one instant."""
    return PinAccelerations(np.zeros(1), np.zeros(1), np.array([small]), np.array([big]))


def test_section_is_a_rectangle_less_two_pockets() -> None:
    section = ISection(0.030, 0.020, 0.005, 0.004)
    assert section.area == pytest.approx(0.030 * 0.020 - 0.020 * 0.016, rel=1e-12)
    strips = np.linspace(-0.015, 0.015, 60001)
    width = np.where(np.abs(strips) > 0.010, 0.020, 0.004)
    in_plane = np.trapezoid(width * strips**2, strips)
    across = np.trapezoid(width**3 / 12, strips)
    assert section.second_moment_in_plane == pytest.approx(in_plane, rel=2e-4)
    assert section.second_moment_across == pytest.approx(across, rel=2e-4)
    assert section.section_modulus == pytest.approx(in_plane / 0.015, rel=2e-4)


def test_section_without_pockets_is_a_rectangle() -> None:
    section = ISection(0.030, 0.020, 0.015, 0.020)
    assert section.second_moment_in_plane == pytest.approx(0.020 * 0.030**3 / 12, rel=1e-12)
    assert section.second_moment_across == pytest.approx(0.030 * 0.020**3 / 12, rel=1e-12)


@pytest.mark.parametrize(
    ("sizes", "field"),
    [
        ((0.030, 0.020, 0.016, 0.004), "flange_thickness"),
        ((0.030, 0.020, 0.0, 0.004), "flange_thickness"),
        ((0.030, 0.020, 0.005, 0.021), "web_thickness"),
        ((0.030, 0.020, 0.005, math.nan), "web_thickness"),
    ],
)
def test_no_section_that_is_no_i(sizes, field) -> None:
    with pytest.raises(DesignError) as caught:
        ISection(*sizes)
    assert caught.value.field == field


def test_force_at_the_big_end_is_that_of_the_rigid_rod() -> None:
    """A uniform bar as the whole rod: the sections' last force is the crankpin's along the rod."""
    shank = uniform_shank()
    mass = 7850 * 250e-6 * TRAIN.rod_length
    masses = MovingMasses(0.45, mass, TRAIN.rod_length / 2, mass * TRAIN.rod_length**2 / 12)
    at = pose(TRAIN, ANGLE)
    motion = posed_motion(TRAIN, at)
    loads = cylinder_loads(TRAIN, masses, at, motion, BySpeed.steady(1e4 * np.cos(ANGLE / 2) ** 8))
    force = shank_force(shank, loads.rod_force, pin_accelerations(TRAIN, at, motion))
    for found, pin in (
        (force.gas.only[-1], loads.crankpin_force.gas.only),
        (force.inertia[-1], loads.crankpin_force.inertia),
    ):
        along = pin[1] * at.cos_rod - pin[0] * at.sin_rod
        assert found == pytest.approx(along, abs=1e-12 * np.abs(along).max())
    assert force.gas.only[0] == pytest.approx(loads.rod_force.gas.only, rel=1e-14)
    assert force.inertia[0] == pytest.approx(loads.rod_force.inertia, rel=1e-14)


def test_tapered_mass_and_its_moment_are_exact() -> None:
    """Area 1 + s: with a_small 0 and a_big 1 the force is -ρ l ∫ s (1 + s) ds; with 1 and 1, m."""
    place = np.linspace(0, 1, 5)
    shank = Shank(place, 1 + place, np.ones(5), 2.0, 3.0, eye_mass=0.5)
    nothing = GasAndInertia.steady(np.zeros(1), np.zeros(1))
    pair = np.zeros(1), np.ones(1)
    ramp = shank_force(shank, nothing, PinAccelerations(*pair, *pair)).inertia[:, 0]
    even = shank_force(shank, nothing, PinAccelerations(pair[1], pair[1], *pair)).inertia[:, 0]
    assert -ramp == pytest.approx(6 * (place**2 / 2 + place**3 / 3), rel=1e-13)
    assert -even == pytest.approx(0.5 + 6 * (place + place**2 / 2), rel=1e-13)


def test_tension_at_tdc_grows_toward_the_big_end() -> None:
    none = GasAndInertia.steady(np.zeros(720), np.zeros(720))
    force = shank_force(uniform_shank(eye_mass=0.1), none, pins_over_a_cycle())
    assert np.all(np.diff(force.inertia[:, 0]) < 0)
    assert np.all(axial_stress(force.inertia, uniform_shank().area)[:, 0] > 0)


def test_pin_accelerations_keep_their_size() -> None:
    """Turned into the rod's axes, the crankpin's is r and the piston's its own."""
    pins = pins_over_a_cycle()
    crankpin = np.hypot(pins.along_big_end, pins.across_big_end)
    piston = np.hypot(pins.along_small_end, pins.across_small_end)
    own = posed_motion(TRAIN, pose(TRAIN, ANGLE)).acceleration
    assert crankpin == pytest.approx(np.full(720, TRAIN.crank_radius), rel=1e-13)
    assert piston == pytest.approx(np.abs(own), rel=1e-12, abs=1e-15)


def test_pin_accelerations_are_those_of_one_rigid_rod() -> None:
    """Their difference along the rod is l ψ'², across it l ψ''."""
    pins = pins_over_a_cycle()
    motion = posed_motion(TRAIN, pose(TRAIN, ANGLE))
    along = pins.along_small_end - pins.along_big_end
    across = pins.across_small_end - pins.across_big_end
    length = TRAIN.rod_length
    assert along == pytest.approx(length * motion.rod_angular_velocity**2, abs=1e-14)
    assert np.abs(across) == pytest.approx(
        np.abs(length * motion.rod_angular_acceleration), abs=1e-14
    )


def test_whipping_is_a_beam_under_its_own_inertia() -> None:
    """M'' = -q with q = -μ a; no moment at the pins."""
    mass, length, small, big = 0.6, 0.144, 0.3, -0.8
    place = np.linspace(0, 1, 2001)
    moment = whipping_moment(place, mass, length, steady(small, big))[:, 0]
    curvature = np.diff(moment, 2) / (length / 2000) ** 2
    load = -mass / length * (small + (big - small) * place[1:-1])
    assert -curvature == pytest.approx(load, rel=1e-4, abs=1e-5 * abs(load).max())
    assert moment[[0, -1]] == pytest.approx([0, 0], abs=1e-18)


def test_published_whipping_is_the_triangle_of_load() -> None:
    """Crank square to the rod, small end still: the largest lies at l/√3 with the book's size."""
    place = np.linspace(0, 1, 10001)
    moment = np.abs(whipping_moment(place, 0.6, 0.144, steady(0.0, 0.045)))[:, 0]
    published = peak_whipping_moment(0.6, 0.144, 0.045, 1.0)
    assert moment.max() == pytest.approx(published, rel=2e-8)  # the grid misses l/√3
    assert place[moment.argmax()] == pytest.approx(WORST_WHIPPING_PLACE, abs=1e-4)


def test_whipping_over_a_cycle_stays_near_the_published_peak() -> None:
    """The piston's share across the rod shifts it by less than r/l."""
    moment = whipping_moment(np.linspace(0, 1, 101), 0.6, 0.144, pins_over_a_cycle())
    published = peak_whipping_moment(0.6, 0.144, 0.045, 1.0)
    share = TRAIN.crank_radius / TRAIN.rod_length
    assert np.abs(moment).max() == pytest.approx(published, rel=share)
    assert np.abs(moment[:, 0]).max() < 0.02 * published  # at TDC the rod only stands


def test_fibres_share_the_mean_and_part_by_bending() -> None:
    shank = uniform_shank(5)
    force = GasAndInertia.steady(np.full((5, 3), 1e4), np.full((5, 3), -0.2))
    whipping = np.outer(np.linspace(0, 1, 5), [1e-4, 0.0, -1e-4])
    fibres = fibre_stress(shank, force, whipping)
    both = fibres.left.at(700.0) + fibres.right.at(700.0)
    assert both / 2 == pytest.approx(axial_stress(force.at(700.0), shank.area), rel=1e-13)
    gap = fibres.left.at(700.0) - fibres.right.at(700.0)
    assert gap / 2 == pytest.approx(700.0**2 * whipping / 2e-6, rel=1e-9, abs=1e-3)


def test_johnson_and_euler_touch_at_half_the_yield() -> None:
    edge = transition_slenderness(**STEEL)
    low, high = column_load(1e-4, edge * (1 - 1e-9), **STEEL), column_load(1e-4, edge, **STEEL)
    above = column_load(1e-4, edge * (1 + 1e-9), **STEEL)
    assert low == pytest.approx(0.5 * 500e6 * 1e-4, rel=1e-7)
    assert low > high > above
    step = 1e-3 * edge
    slopes = [
        (johnson_load(1e-4, edge + step, **STEEL) - johnson_load(1e-4, edge - step, **STEEL)),
        (
            euler_load(1e-4, edge + step, elastic_modulus=207e9)
            - euler_load(1e-4, edge - step, elastic_modulus=207e9)
        ),
    ]
    assert slopes[0] == pytest.approx(slopes[1], rel=1e-5)


def test_stocky_columns_crush() -> None:
    assert column_load(1e-4, 1e-6, **STEEL) == pytest.approx(500e6 * 1e-4, rel=1e-12)
    crushed = rankine_load(1e-4, 0.0, crushing_stress=320e6, constant=1 / 7500)
    assert crushed == pytest.approx(320e6 * 1e-4, rel=1e-15)


def test_slim_columns_under_rankine_follow_an_inverse_square() -> None:
    slim, slimmer = (
        rankine_load(1e-4, ratio, crushing_stress=320e6, constant=1 / 7500) for ratio in (1e5, 2e5)
    )
    assert slim / slimmer == pytest.approx(4.0, rel=1e-5)


def test_equal_strength_in_both_planes_needs_four_times_the_second_moment() -> None:
    """Khurmi and Gupta, A Textbook of Machine Design, chapter 32: Ixx = 4 Iyy."""
    in_plane = slenderness(0.144, "in plane", 250e-6, 4e-8)
    assert in_plane == pytest.approx(slenderness(0.144, "across", 250e-6, 1e-8), rel=1e-14)
    with pytest.raises(DesignError, match="in plane, across"):
        slenderness(0.144, "sideways", 250e-6, 1e-8)


def test_range_takes_the_true_mean_not_the_average() -> None:
    stress = np.array([[300.0, 0.0, 0.0, -150.0], [2.0, 2.0, 2.0, 2.0]])
    found = stress_range(stress)
    assert found.mean.tolist() == [75.0, 2.0]
    assert found.alternating.tolist() == [225.0, 0.0]


def test_goodman_meets_both_axes() -> None:
    cycle = StressRange(np.array([0.0, 400.0, -300.0, 0.0]), np.array([100.0, 0.0, 100.0, 0.0]))
    found = goodman_safety(cycle, endurance=250.0, ultimate=800.0)
    assert found.tolist() == [2.5, 2.0, 2.5, math.inf]


def test_goodman_scales_with_load_and_falls_with_mean() -> None:
    mean = np.linspace(0, 300, 7)
    first = goodman_safety(StressRange(mean, np.full(7, 100.0)), endurance=250.0, ultimate=800.0)
    twice = goodman_safety(StressRange(2 * mean, np.full(7, 200.0)), endurance=250, ultimate=800)
    assert twice == pytest.approx(first / 2, rel=1e-14)
    assert np.all(np.diff(first) < 0)


def test_endurance_and_yield() -> None:
    found = endurance_limit(400e6, size=0.85, surface=0.9, reliability=0.897, notch=1.5)
    assert found == pytest.approx(400e6 * 0.85 * 0.9 * 0.897 / 1.5, rel=1e-14)
    stress = np.array([[100.0, -200.0], [0.0, 0.0]])
    assert yield_safety(stress, 600.0).tolist() == [3.0, math.inf]
