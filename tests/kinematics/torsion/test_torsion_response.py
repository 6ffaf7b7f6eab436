"""Harmonics of torque, phase-vector sums, forced response and stress."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kinematics.errors import DesignError
from kinematics.mechanics.gas_and_inertia_loads import (
    BySpeed,
    CylinderLoads,
    GasAndInertia,
    MovingMasses,
    cylinder_loads,
)
from kinematics.mechanics.slider_crank import SliderCrank, pose, posed_motion
from kinematics.torsion.torsion_modes import critical_speeds, torsion_modes
from kinematics.torsion.torsion_response import (
    TorqueHarmonics,
    excitation,
    forced_response,
    phase_vectors,
    phased,
    phasor_sums,
    polar_section_modulus,
    synthesis,
    torque_harmonics,
    torsional_stress,
    vibratory_amplitude,
)
from kinematics.torsion.torsional_system import TorsionalSystem
from tests.kinematics.torsion.six_chain import FIRING, ORDERS, SIX

alike = st.floats(0.5, 2.0)


def massless_rod(ratio: float) -> CylinderLoads:
    """1 kg on a crank of 1 m, rod without mass."""
    train, angle = SliderCrank(1.0, 1 / ratio), np.arange(720) * (2 * np.pi / 720)
    at = pose(train, angle)
    masses = MovingMasses(1.0, 0.0, 0.0, 0.0)
    return cylinder_loads(train, masses, at, posed_motion(train, at), BySpeed.steady(np.zeros(720)))


@pytest.mark.parametrize(
    ("ratio", "factors"),
    [
        (0.25, (0.063506, -0.500130, -0.192056, -0.016129)),
        (0.30, (0.076763, -0.500278, -0.233002, -0.023560)),
    ],
)
def test_inertia_torque(ratio: float, factors: tuple[float, ...]) -> None:
    """T / (m r² ω²) = Σ s_k sin kθ; figures (recomputed), series of λ (from memory)."""
    torque = massless_rod(ratio).cylinder_torque
    found = torque_harmonics(torque, turns=1, highest_order=4)
    np.testing.assert_array_equal(found.order, [1, 2, 3, 4])
    np.testing.assert_allclose(found.inertia.real, 0, atol=1e-12)
    sines = -found.inertia.imag
    np.testing.assert_allclose(sines, factors, rtol=0, atol=1e-6)
    series = [
        ratio / 4 + ratio**3 / 16 + 15 * ratio**5 / 512,
        -(1 / 2 + ratio**4 / 32),
        -(3 * ratio / 4 + 9 * ratio**3 / 32),
        -(ratio**2 / 4 + ratio**4 / 8),
    ]
    np.testing.assert_allclose(sines, series, rtol=0, atol=2 * ratio**5)


def test_harmonics_build_the_torque_again() -> None:
    angle = np.arange(720) * (4 * np.pi / 720)
    gas = 100 + 30 * np.cos(0.5 * angle - 0.3) + 7 * np.sin(2 * angle)
    found = torque_harmonics(GasAndInertia.steady(gas, np.zeros(720)), turns=2, highest_order=8)
    built = synthesis(found.order, found.gas.only[:, None], angle)
    np.testing.assert_allclose(built[0], gas - 100, rtol=0, atol=1e-11)
    amplitude = vibratory_amplitude(found.order, found.gas.only[:, None], turns=2)
    assert amplitude.item() == pytest.approx(np.ptp(gas) / 2, rel=1e-12)


def test_phases_are_shifts_of_the_firing() -> None:
    """One cylinder's harmonics with phases, and each cylinder's curve against the crank."""
    rng = np.random.default_rng(3)
    gas, inertia = rng.normal(size=(2, 720))
    one = torque_harmonics(GasAndInertia.steady(gas, inertia), turns=2, highest_order=12)
    all_six = phased(one, phase_vectors(one.order, FIRING))
    shift = np.rint(np.degrees(FIRING)).astype(int)
    curves = GasAndInertia.steady(
        np.stack([np.roll(gas, s) for s in shift]), np.stack([np.roll(inertia, s) for s in shift])
    )
    direct = torque_harmonics(curves, turns=2, highest_order=12)
    np.testing.assert_array_equal(direct.order, ORDERS)
    np.testing.assert_allclose(all_six.gas.only, direct.gas.only, rtol=0, atol=1e-13)
    np.testing.assert_allclose(all_six.inertia, direct.inertia, rtol=0, atol=1e-13)
    assert direct.at(np.array([1.0, 2.0])).shape == (2, 6, 24)


WALL_SHAPE = np.sin(np.arange(6, 0, -1) * np.pi / 13)
SHAPES = np.stack(
    (
        np.ones(6),
        WALL_SHAPE / WALL_SHAPE[0],
        torsion_modes(SIX).shape[1, 1:7],
        np.arange(6, 0, -1) / 6,
    )
)
STARS = {
    (3, 6, 9, 12): (6, 4.1481, 3.0305, 3.5),
    (1.5, 4.5, 7.5, 10.5): (0, 1.3937, 1.9818, 1.5),
    (0.5, 2.5, 3.5, 5.5): (0, 0.5180, 0.7283, 0.57735),
    (1, 2, 4, 5): (0, 0.2254, 0.2193, 0),
}


@pytest.mark.parametrize("orders", STARS)
def test_phasor_sums_of_1_5_3_6_2_4(orders: tuple[float, ...]) -> None:
    """Stiff shaft, six discs before a wall, own chain, straight line (from memory, recomputed)."""
    sums = np.abs(phasor_sums(phase_vectors(np.array(orders), FIRING), SHAPES))
    expected = np.broadcast_to(np.array(STARS[orders])[:, None], sums.shape)
    np.testing.assert_allclose(sums, expected, rtol=0, atol=1e-4)


def test_phasor_sums_tell_orders_apart() -> None:
    """Straight-line shape (recomputed): the mirror order is the same, 1-2-4-6-5-3 is not."""
    orders = np.array([1.5, 0.5, 3.0])
    line = SHAPES[3]
    for firing_order, expected in {
        (1, 4, 2, 6, 3, 5): (1.5, 0.577, 3.5),
        (1, 2, 4, 6, 5, 3): (0.167, 1.202, 3.5),
    }.items():
        firing = np.radians([120.0 * firing_order.index(cylinder) for cylinder in range(1, 7)])
        sums = np.abs(phasor_sums(phase_vectors(orders, firing), line))
        np.testing.assert_allclose(sums, expected, rtol=0, atol=5.1e-4)


@given(st.tuples(*[st.floats(-1, 1)] * 6), st.integers(1, 24))
def test_phasor_sums_repeat_and_mirror(shape: tuple[float, ...], half_orders: int) -> None:
    order = half_orders / 2
    alike = phase_vectors(np.array([order, order + 3, 3 - order]), FIRING)
    sums = np.abs(phasor_sums(alike, np.array(shape)))
    np.testing.assert_allclose(sums, sums[0], rtol=0, atol=1e-11)


def six_torque(speed: np.ndarray) -> np.ndarray:
    rng = np.random.default_rng(1)
    gas = 300 / ORDERS * np.exp(2j * np.pi * rng.random(24))
    inertia = np.where(ORDERS.round() == ORDERS, 1e-4, 0) * np.exp(2j * np.pi * rng.random(24))
    all_six = phased(
        TorqueHarmonics(ORDERS, BySpeed.steady(gas), inertia), phase_vectors(ORDERS, FIRING)
    )
    return excitation(all_six, speed, place=(1, 2, 3, 4, 5, 6), inertias=8)


SPEED = np.linspace(50.0, 900.0, 40)


def test_work_in_is_heat_out() -> None:
    """At each speed and order the torque's mean power is that of the dampers."""
    torque = six_torque(SPEED)
    response = forced_response(SIX, SPEED, ORDERS, torque)
    rate = 1j * response.angular_frequency[..., None] * response.angle
    power = (torque * rate.conj()).real.sum(axis=-1) / 2
    heat = response.span_heat.sum(axis=-1) + response.ground_heat.sum(axis=-1)
    np.testing.assert_allclose(power, heat, rtol=1e-7)
    assert heat.min() > 0


def test_span_torque_carries_all_before_it() -> None:
    """Newton: torque and inertia of the inertias before a span go through it."""
    torque = six_torque(SPEED)
    damped = replace(SIX, ground_damping=(0.0,) * 8)
    response = forced_response(damped, SPEED, ORDERS, torque)
    square = response.angular_frequency[..., None] ** 2
    through = np.cumsum(torque + square * SIX.inertias * response.angle, axis=-1)
    size = np.abs(response.span_torque).max()
    np.testing.assert_allclose(response.span_torque, through[..., :-1], rtol=0, atol=1e-10 * size)
    np.testing.assert_allclose(through[..., -1], 0, atol=1e-10 * size)


def test_response_is_linear_and_speed_by_speed() -> None:
    torque = six_torque(SPEED)
    whole = forced_response(SIX, SPEED, ORDERS, torque).angle
    one = forced_response(SIX, SPEED[7:8], ORDERS[5:6], 3 * torque[7:8, 5:6]).angle
    np.testing.assert_allclose(one[0, 0], 3 * whole[7, 5], rtol=1e-12)


def test_response_peaks_at_critical_speeds_by_the_modal_amount() -> None:
    """Lightly damped, at a critical speed: |Σ φ T| φ / (2 ζ ω² J_eff)."""
    light = replace(SIX, ground_damping=(0.0, *(0.02,) * 6, 0.0), span_damping=(0.1,) * 7)
    modes = torsion_modes(light)
    order = np.array([6.0])
    speed = critical_speeds(modes, order)[1]
    torque = np.zeros((1, 1, 8), dtype=complex)
    torque[..., 1:7] = phase_vectors(order, FIRING)
    found = forced_response(light, speed, order, torque).angle[0, 0, 0]
    sums = phasor_sums(phase_vectors(order, FIRING), modes.shape[1, 1:7])
    stiffness = modes.angular_frequency[1] ** 2 * modes.effective_inertia[1]
    expected = abs(sums[0]) / (2 * modes.damping_ratio[1] * stiffness)
    assert abs(found) == pytest.approx(expected, rel=1e-3)


def test_two_cylinders_on_one_throw_add() -> None:
    harmonics = TorqueHarmonics(
        np.array([1.0]), BySpeed.steady(np.array([[2.0 + 1j], [3.0]])), np.zeros((2, 1))
    )
    torque = excitation(harmonics, np.array([10.0]), place=(1, 1), inertias=3)
    np.testing.assert_array_equal(torque, [[[0, 5 + 1j, 0]]])


def test_undamped_at_resonance_is_a_design_error() -> None:
    system = TorsionalSystem((1.0, 1.0), (2.0,))
    with pytest.raises(DesignError, match="damping"):
        forced_response(system, np.array([2.0]), np.array([1.0]), np.ones((1, 1, 2), complex))


def test_stress_of_a_hollow_span() -> None:
    modulus = polar_section_modulus(0.06, 0.02)
    radius, area_moment = 0.03, math.pi / 32 * (0.06**4 - 0.02**4)
    assert modulus == pytest.approx(area_moment / radius, rel=1e-12)
    stress = torsional_stress(np.array([[100.0, 200.0]]), np.array([modulus, 2 * modulus]))
    np.testing.assert_allclose(stress, 100.0 / modulus, rtol=1e-12)
