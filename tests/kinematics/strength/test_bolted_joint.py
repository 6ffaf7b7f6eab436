"""The bolted joint: closed and open, limits, scaling, and compliance by quadrature."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kinematics.errors import DesignError
from kinematics.strength.bolted_joint import (
    BoltedJoint,
    ClampedBody,
    assembly_preload,
    bolt_compliance,
    bolt_fatigue_safety,
    bolt_force,
    bolt_stress_amplitude,
    cap_bending_moment,
    cap_stress,
    clamp_force,
    clamped_compliance,
    compliance,
    cone_compliance,
    load_factor,
    opening_load,
    preload_against_opening,
    rolled_thread_endurance,
    slip_safety,
    thread_stress_area,
)

JOINT = BoltedJoint(preload=30e3, load_factor=0.2, stress_area=50e-6)
LOADS = np.linspace(0, 60e3, 61)


def test_forces_balance_open_and_closed() -> None:
    assert bolt_force(JOINT, LOADS) == pytest.approx(clamp_force(JOINT, LOADS) + LOADS, rel=1e-14)
    assert np.all(clamp_force(JOINT, LOADS) >= 0)


def test_at_rest_bolt_and_faces_carry_the_preload() -> None:
    assert bolt_force(JOINT, np.zeros(1)).item() == 30e3
    assert clamp_force(JOINT, np.zeros(1)).item() == 30e3


def test_the_joint_opens_where_nothing_clamps_and_the_bolt_takes_all() -> None:
    opening = opening_load(JOINT)
    loads = opening * np.array([1 - 1e-6, 1.0, 1.5])
    assert clamp_force(JOINT, loads) == pytest.approx([24e-3 * 1.25, 0, 0], abs=1e-9)
    assert bolt_force(JOINT, loads)[1:] == pytest.approx(loads[1:], rel=1e-14)
    slope = np.diff(bolt_force(JOINT, LOADS)) / np.diff(LOADS)
    closed = LOADS[1:] < opening
    assert slope[closed] == pytest.approx(np.full(closed.sum(), 0.2), rel=1e-9)
    assert slope[LOADS[:-1] > opening] == pytest.approx(1.0, rel=1e-9)


@given(st.floats(1e2, 1e5), st.floats(0, 0.9), st.floats(1, 4))
def test_a_reserve_is_met_at_opening(load: float, share: float, reserve: float) -> None:
    preload = preload_against_opening(load, share, reserve)
    assert opening_load(BoltedJoint(preload, share, 1e-5)) == pytest.approx(
        reserve * load, rel=1e-12
    )


def test_least_preload_of_the_method_leaves_the_wanted_clamp() -> None:
    largest = assembly_preload(
        20e3, load_factor=0.2, residual_clamp=8e3, embedding_loss=3e3, tightening_factor=1.6
    )
    settled = BoltedJoint(largest / 1.6 - 3e3, 0.2, 50e-6)
    assert clamp_force(settled, np.array([20e3])).item() == pytest.approx(8e3, rel=1e-12)


def test_compliances_in_line_add() -> None:
    length, area = np.array([0.010, 0.030]), np.array([50e-6, 40e-6])
    assert compliance(length, area, 210e9) == pytest.approx(
        0.010 / 50e-6 / 210e9 + 0.030 / 40e-6 / 210e9, rel=1e-14
    )


def test_cone_is_the_sum_of_its_rings() -> None:
    t, face, hole = 0.020, 0.015, 0.010
    height = np.linspace(0, t, 20001)
    outer = face + 2 * math.tan(math.pi / 6) * height
    rings = np.trapezoid(1 / (math.pi / 4 * (outer**2 - hole**2)), height) / 210e9
    assert cone_compliance(t, face, hole, 210e9) == pytest.approx(rings, rel=1e-7)


def test_a_thin_plate_is_a_sleeve_and_a_thick_one_is_stiffer() -> None:
    area = np.array([math.pi / 4 * (0.015**2 - 0.010**2)])
    thin, thick = (
        cone_compliance(t, 0.015, 0.010, 210e9) / compliance(np.array([t]), area, 210e9)
        for t in (1e-7, 0.05)
    )
    assert thin == pytest.approx(1.0, abs=1e-4)
    assert thick < 0.5


def test_load_factor_between_its_limits() -> None:
    assert load_factor(1e-9, 1e-9) == 0.5
    assert load_factor(1e-9, 1e-9, 0.4) == pytest.approx(0.2, rel=1e-15)
    assert load_factor(1e-9, 1e-15) == pytest.approx(1e-6, rel=1e-5)


def test_amplitude_needs_a_change_and_jumps_when_the_joint_opens() -> None:
    assert bolt_stress_amplitude(JOINT, np.full(5, 1e4)).item() == 0.0
    closed = bolt_stress_amplitude(JOINT, np.array([0.0, 30e3])).item()
    opened = bolt_stress_amplitude(JOINT, np.array([0.0, 60e3])).item()
    assert closed == pytest.approx(0.2 * 30e3 / 2 / 50e-6, rel=1e-12)
    assert opened == pytest.approx((60e3 - 30e3) / 2 / 50e-6, rel=1e-12)


def test_fatigue_factor_scales_inversely_and_lies_on_the_line() -> None:
    loads = np.array([[0.0, 10e3], [0.0, 20e3], [0.0, 0.0]])
    found = bolt_fatigue_safety(JOINT, loads, endurance=90e6, ultimate=1200e6)
    assert found[0] == pytest.approx(2 * found[1], rel=1e-12)
    assert found[2] == math.inf
    amplitude = found[0] * 0.2 * 10e3 / 2 / 50e-6
    mean = 30e3 / 50e-6 + amplitude
    assert amplitude / 90e6 + mean / 1200e6 == pytest.approx(1.0, rel=1e-12)


def test_pressure_on_the_rods_half_does_not_count() -> None:
    pulled = bolt_fatigue_safety(JOINT, np.array([0.0, 10e3]), endurance=90e6, ultimate=1200e6)
    pressed = bolt_fatigue_safety(JOINT, np.array([-5e4, 10e3]), endurance=90e6, ultimate=1200e6)
    assert pressed == pulled


def test_friction_holds_until_the_joint_opens() -> None:
    loads = np.array([0.0, 20e3, 40e3, 0.0])
    shear = np.array([3e3, -3e3, 3e3, 0.0])
    found = slip_safety(JOINT, loads, shear, friction=0.15)
    assert found[:2] == pytest.approx([2 * 0.15 * 30e3 / 3e3, 2 * 0.15 * 14e3 / 3e3], rel=1e-12)
    assert found[2:].tolist() == [0.0, math.inf]
    assert slip_safety(JOINT, loads, shear, friction=0.3)[:2] == pytest.approx(2 * found[:2])


def test_thread_area_lies_between_its_circles() -> None:
    """A fine pitch leaves more; a pitch of none the whole bolt."""
    assert thread_stress_area(0.009, 0.0) == pytest.approx(math.pi / 4 * 0.009**2, rel=1e-14)
    assert thread_stress_area(0.009, 0.00125) < thread_stress_area(0.009, 0.001)
    assert rolled_thread_endurance(0.008) > rolled_thread_endurance(0.010) > 0.85 * 45e6


def test_cap_stress_inverts_the_section() -> None:
    moment = cap_bending_moment(12e3, 0.06)
    assert moment == pytest.approx(120.0, rel=1e-14)
    assert cap_stress(moment, 0.02, 0.01) == pytest.approx(4 * cap_stress(moment, 0.02, 0.02))


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ((0.0, 0.2, 1e-5), "preload"),
        ((1e4, 1.0, 1e-5), "load_factor"),
        ((1e4, math.nan, 1e-5), "load_factor"),
        ((1e4, 0.2, math.inf), "stress_area"),
    ],
)
def test_no_joint_of_impossible_parts(values, field) -> None:
    with pytest.raises(DesignError) as caught:
        BoltedJoint(*values)
    assert caught.value.field == field


BODY = ClampedBody(grip=0.036, face_diameter=0.012, hole_diameter=0.0084, body_diameter=0.016)


def test_what_is_clamped_is_as_soft_as_the_sum_of_its_slices() -> None:
    """Slices of ring area up to the cone's or the body's edge, from both ends, by quadrature."""
    n = 400_000
    depth = (np.arange(n) + 0.5) / n * BODY.grip
    nearest = np.minimum(depth, BODY.grip - depth)
    outer = np.minimum(
        BODY.face_diameter + 2 * math.tan(math.radians(30)) * nearest, BODY.body_diameter
    )
    area = math.pi / 4 * (outer**2 - BODY.hole_diameter**2)
    expected = (BODY.grip / n / (206e9 * area)).sum()
    assert clamped_compliance(BODY, 206e9) == pytest.approx(expected, rel=1e-6)


def test_a_wide_body_is_two_cones_and_a_narrow_one_a_sleeve() -> None:
    wide = dataclasses.replace(BODY, body_diameter=0.2)
    cones = 2 * cone_compliance(BODY.grip / 2, BODY.face_diameter, BODY.hole_diameter, 206e9)
    assert clamped_compliance(wide, 206e9) == pytest.approx(cones, rel=1e-12)
    narrow = dataclasses.replace(BODY, body_diameter=BODY.face_diameter)
    sleeve = math.pi / 4 * (BODY.face_diameter**2 - BODY.hole_diameter**2)
    assert clamped_compliance(narrow, 206e9) == pytest.approx(
        BODY.grip / (206e9 * sleeve), rel=1e-12
    )


def test_a_bolt_is_as_soft_as_its_lengths_in_line() -> None:
    core = 0.008 - 1.22687 * 0.001
    areas = [math.pi / 4 * d**2 for d in (0.008, 0.007, core, 0.008)]
    lengths = [0.004, 0.036, 0.004, 0.00264]
    expected = sum(length / area for length, area in zip(lengths, areas, strict=True)) / 206e9
    found = bolt_compliance(0.008, 0.001, 0.007, 0.036, 206e9)
    assert found == pytest.approx(expected, rel=1e-5)


def test_a_long_slim_bolt_and_a_stout_body_lower_the_load_factor() -> None:
    def factor(shank: float, body: ClampedBody) -> float:
        bolt = bolt_compliance(0.008, 0.001, shank, body.grip, 206e9)
        return load_factor(bolt, clamped_compliance(body, 206e9), 0.5)

    usual = factor(0.0072, BODY)
    assert 0.02 < usual < 0.3
    assert factor(0.0062, BODY) < usual
    assert factor(0.0072, dataclasses.replace(BODY, body_diameter=0.024)) < usual
