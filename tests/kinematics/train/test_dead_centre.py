"""Dwell and unloading at the dead centres, against the motion and the loads themselves."""

import dataclasses
import math

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import load_design, solve_cycle, with_value
from kinematics.mechanics.slider_crank import SliderCrank, piston_motion
from kinematics.train.cycle import rigid_train
from kinematics.train.dead_centre import dwell, rod_force_at_tdc, unloading_speed

TRAINS = (SliderCrank(0.04, 0.15), SliderCrank(0.047, 0.16, 0.0008), SliderCrank(0.05, 0.13, -0.01))


@pytest.mark.parametrize("train", TRAINS)
@pytest.mark.parametrize("share", [0.01, 0.05, 0.3])
def test_dwell_is_the_angle_within_the_share_of_the_motion_itself(train, share):
    """Counting a fine grid of the exact motion, to the grid's step."""
    angle = np.arange(200_000) * (2 * math.pi / 200_000)
    moved = piston_motion(train, angle).displacement
    found, step = dwell(train, share), 2 * math.pi / 200_000
    top = np.count_nonzero(moved <= share * train.stroke) * step
    bottom = np.count_nonzero(moved >= (1 - share) * train.stroke) * step
    assert found.top == pytest.approx(top, abs=3 * step)
    assert found.bottom == pytest.approx(bottom, abs=3 * step)


def test_an_endless_rod_dwells_alike_at_both_ends():
    """Pure harmonic motion: r (1 - cos φ) = 2 r s, so that φ = acos(1 - 2 s)."""
    found = dwell(SliderCrank(0.05, 5000.0), 0.05)
    assert found.top == pytest.approx(2 * math.acos(0.9), rel=1e-4)
    assert found.bottom == pytest.approx(2 * math.acos(0.9), rel=1e-4)


def test_a_longer_rod_dwells_longer_at_the_top_and_shorter_at_the_bottom():
    rods = [dwell(SliderCrank(0.05, 0.05 * ratio), 0.05) for ratio in np.linspace(2.5, 6, 20)]
    assert np.all(np.diff([one.top for one in rods]) > 0)
    assert np.all(np.diff([one.bottom for one in rods]) < 0)


@pytest.mark.parametrize("path", demo_paths().values(), ids=lambda path: path.stem)
def test_the_rod_is_unloaded_at_firing_tdc_at_that_speed(path):
    design = load_design(path)
    speed = unloading_speed(rigid_train(design))
    cycle = solve_cycle(design, speed * 30 / math.pi)
    push = cycle.train.loads.rod_force.gas.at(speed)[0, 0]
    assert abs(cycle.forces.rod_force[0, 0]) < 1e-9 * push


def test_without_offset_the_closed_form_of_the_dead_centre_holds():
    """At TDC the rod is straight: F = gas - m_piston r ω² (1 + r/l)."""
    design = load_design(demo_paths()["Hill climb six"])
    train = rigid_train(design)
    firing, exchange = rod_force_at_tdc(train)
    r, l = design.cylinder.crank_radius, design.cylinder.rod_length
    expected = -design.piston.assembly_mass * r * (1 + r / l)
    assert firing.inertia == pytest.approx(expected, rel=1e-12)
    assert exchange.inertia == pytest.approx(expected, rel=1e-12)
    assert firing.gas.courses.min() > 20 * abs(exchange.gas.courses).max()


def test_a_rod_that_gas_does_not_push_is_never_unloaded():
    """Compression from a fifth of a bar, six to one, stays below a crankcase at five."""
    steady = dataclasses.replace(load_design(demo_paths()["Hill climb six"]), full_load=())
    design = with_value(steady, "cylinder.compression_ratio", 6.0)
    for key, value in (("load_percent", 0.0), ("intake_bar", 0.2), ("crankcase_bar", 5.0)):
        design = with_value(design, f"pressure.{key}", value)
    train = rigid_train(design)
    assert rod_force_at_tdc(train)[0].gas.courses.max() < 0
    assert unloading_speed(train) == math.inf
