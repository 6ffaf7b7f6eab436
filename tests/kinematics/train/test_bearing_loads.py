"""Bearing loads: frames, equilibrium of the crank, a hand-worked throw, peaks."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kinematics import Cycle, Design, DesignError, solve_cycle
from kinematics.design.design import Counterweight
from kinematics.design.design_bearings import PlainBearing
from kinematics.train.balance import rotating_phasors, throw_positions
from kinematics.train.bearing_loads import Turn, bearing_peaks, main_shares, turned
from tests.conftest import changed, layout_of, six, with_layout
from tests.kinematics.random_designs import designs, solved

SLOW = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))


def size(load: np.ndarray) -> np.ndarray:
    return np.hypot(load[:, 0], load[:, 1])


def whirl(design: Design, cycle: Cycle) -> tuple[np.ndarray, np.ndarray]:
    """Centrifugal forces (parts, 2, n) of everything on the crank, and their places."""
    phasor, z = rotating_phasors(design)
    angle = np.angle(phasor)[:, None] + cycle.crank_angle
    force = np.abs(phasor)[:, None] * cycle.speed**2
    return np.stack((force * np.sin(angle), force * np.cos(angle)), axis=1), z


@SLOW
@given(designs(), st.floats(100, 15000))
def test_frames_agree_on_size(design: Design, rpm: float) -> None:
    bearings = solved(design, rpm).bearings
    block = size(bearings.big_end_load("block"))
    for frame in ("rod", "crank"):
        found = size(bearings.big_end_load(frame))
        np.testing.assert_allclose(found, block, rtol=1e-9, atol=1e-12 * block.max())
    mains = size(bearings.main_load("block"))
    found = size(bearings.main_load("crank"))
    np.testing.assert_allclose(found, mains, rtol=1e-9, atol=1e-12 * mains.max())


def test_frames_coincide_when_rod_and_throw_stand_upright(base: Design) -> None:
    bearings = solve_cycle(base, 7000).bearings
    block = bearings.big_end_load("block")[0, :, 0]
    for frame in ("rod", "crank"):
        np.testing.assert_allclose(bearings.big_end_load(frame)[0, :, 0], block, atol=1e-9)
    mains = bearings.main_load("block")[:, :, 0]
    np.testing.assert_allclose(bearings.main_load("crank")[:, :, 0], mains, atol=1e-9)


def test_a_force_along_the_throw_is_upright_in_the_crank_frame() -> None:
    """A quarter turn on, the throw points to the right."""
    quarter = Turn(np.array([1.0]), np.array([0.0]))
    right = np.array([[5.0], [0.0]])
    assert turned(right, quarter).ravel().tolist() == [0.0, 5.0]
    down = np.array([[0.0], [-5.0]])
    assert turned(down, quarter).ravel().tolist() == [5.0, 0.0]
    np.testing.assert_array_equal(turned(turned(right, quarter), quarter.back), right)


def test_big_end_at_tdc_by_hand(base: Design) -> None:
    """Gas against the inertia of piston and rod, both along the cylinder."""
    cycle = solve_cycle(base, 7000)
    r, l = 0.043, 0.145
    lift = cycle.speed**2 * r
    piston = 0.460 * lift * (1 + r / l)
    rod = 0.560 * lift * (1 + (40 / 145) * r / l)
    gas = cycle.forces.gas_force[0, 0]
    x, y = cycle.bearings.big_end_load("rod")[0, :, 0]
    assert y == pytest.approx(gas - piston - rod, rel=1e-12)
    spin = cycle.motion.rod_angular_acceleration[0, 0]
    assert spin == pytest.approx(0.0, abs=1e-9)
    assert x == pytest.approx(0.0, abs=1e-9)


def test_a_single_throw_by_hand() -> None:
    """Each main takes half the rod's load; a counterweight leans to its own web's main."""
    design = with_layout(six(), layout_of((0,), spacing=0.100))
    design = changed(design, "crank", web_offset=0.030, throw_unbalance=0.012)
    weight = Counterweight(web=1, unbalance=0.020, angle=math.pi)
    design = dataclasses.replace(design, counterweights=(weight,))
    cycle = solve_cycle(design, 5000)
    square, angle = cycle.speed**2, cycle.crank_angle
    along = np.stack((np.sin(angle), np.cos(angle)))
    half = -cycle.bearings.big_end_load("block")[0] / 2 + 0.006 * square * along
    front, rear = cycle.bearings.main_load("block")
    np.testing.assert_allclose(front, half - 0.8 * 0.020 * square * along, atol=1e-8)
    np.testing.assert_allclose(rear, half - 0.2 * 0.020 * square * along, atol=1e-8)


@SLOW
@given(designs(), st.floats(100, 15000))
def test_the_crank_is_in_equilibrium(design: Design, rpm: float) -> None:
    """Forces, and moments about the middle: shells against rods, throws and counterweights."""
    cycle = solved(design, rpm)
    mains, rods = cycle.bearings.main_load("block"), cycle.bearings.big_end_load("block")
    rotating, rotating_z = whirl(design, cycle)
    peak = np.abs(rods).max() + np.abs(mains).max() + np.abs(rotating).max()
    np.testing.assert_allclose(
        mains.sum(axis=0), rotating.sum(axis=0) - rods.sum(axis=0), atol=1e-11 * peak
    )
    throw_z = throw_positions(design)
    spacing = design.layout.throw_spacing
    main_z = np.append(throw_z - spacing / 2, throw_z[-1] + spacing / 2)
    rod_z = throw_z[np.array(design.layout.throw_of_cylinder) - 1]
    left = np.tensordot(main_z, mains, axes=1)
    right = np.tensordot(rotating_z, rotating, axes=1) - np.tensordot(rod_z, rods, axes=1)
    np.testing.assert_allclose(left, right, atol=1e-11 * peak * len(main_z) * spacing)


def test_shares_of_the_mains_add_up() -> None:
    share = main_shares(3, np.array([0.5, 0.75, 0.1]), np.array([0, 1, 2]))
    expected = [[0.5, 0, 0], [0.5, 0.75, 0], [0, 0.25, 0.1], [0, 0, 0.9]]
    np.testing.assert_allclose(share, expected)


@SLOW
@given(designs(), st.floats(100, 15000))
def test_peaks_are_where_they_say(design: Design, rpm: float) -> None:
    bearings = solved(design, rpm).bearings
    for peaks, on_shell, on_journal in (
        (bearings.big_end_peaks, bearings.big_end_load("rod"), bearings.big_end_load("crank")),
        (bearings.main_peaks, bearings.main_load("block"), bearings.main_load("crank")),
    ):
        for row, index in enumerate(peaks.index):
            for load, angle in ((on_shell, peaks.shell_angle), (on_journal, peaks.journal_angle)):
                direction = np.array([np.sin(angle[row]), np.cos(angle[row])])
                np.testing.assert_allclose(
                    load[row, :, index], peaks.peak[row] * direction, atol=1e-9 * peaks.peak[row]
                )
        assert (size(on_shell).max(axis=1) <= peaks.peak * (1 + 1e-12)).all()
        np.testing.assert_allclose(peaks.mean, size(on_shell).mean(axis=1))


def test_specific_load_is_peak_over_projected_area() -> None:
    load = np.array([[[0.0, 3.0, 0.0], [1.0, 4.0, -2.0]]])
    peaks = bearing_peaks(load, load)
    bearing = PlainBearing(diameter=0.05, width=0.02, radial_clearance=30e-6)
    assert peaks.peak.tolist() == [5.0]
    assert peaks.index.tolist() == [1]
    assert peaks.mean.tolist() == pytest.approx([8 / 3])
    assert peaks.specific_load(bearing).tolist() == pytest.approx([5000.0])
    assert math.degrees(peaks.shell_angle[0]) == pytest.approx(36.8698976)


@pytest.mark.parametrize("frame", ["shell", "", "main"])
def test_unknown_frames_are_refused(base: Design, frame: str) -> None:
    bearings = solve_cycle(base, 3000).bearings
    with pytest.raises(DesignError, match="block, rod, crank"):
        bearings.big_end_load(frame)
    with pytest.raises(DesignError, match="block, crank"):
        bearings.main_load(frame)


def test_the_rod_frame_is_for_big_ends_alone(base: Design) -> None:
    with pytest.raises(DesignError, match="'rod'"):
        solve_cycle(base, 3000).bearings.main_load("rod")
