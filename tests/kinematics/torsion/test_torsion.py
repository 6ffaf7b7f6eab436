"""Chains of inertias: closed forms, energy, Holzer against eigenvalues, dampers, excitation."""

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
from kinematics.mechanics.slider_crank import SliderCrank, piston_motion, pose, posed_motion
from kinematics.torsion.torsion import (
    CrankThrow,
    TorqueHarmonics,
    TorsionalSystem,
    critical_speeds,
    cylinder_stiffness,
    excitation,
    forced_response,
    holzer,
    phase_vectors,
    phased,
    phasor_sums,
    polar_section_modulus,
    running_gear_inertia,
    series_stiffness,
    synthesis,
    throw_stiffness,
    torque_harmonics,
    torsion_modes,
    torsional_stress,
    vibratory_amplitude,
)
from kinematics.torsion.torsion_damper import (
    OPTIMA,
    amplification,
    optimum_damper,
    tuned_optimum,
    untuned_optimum,
    with_damper,
)
from kinematics.units import UNITS

WALL = 1e9  # a flywheel so large that it stands still
SIX = TorsionalSystem(
    inertias=(0.006, *(0.011,) * 6, 0.14),
    stiffnesses=(0.9e6, *(0.6e6,) * 5, 0.9e6),
    ground_damping=(0.0, *(1.5,) * 6, 0.0),
    span_damping=(8.0,) * 7,
)
FIRING = np.radians([0, 480, 240, 600, 120, 360])  # of cylinders 1 … 6, order 1-5-3-6-2-4
ORDERS = np.arange(1, 25) / 2
sizes = st.floats(1e-3, 1e2)


def chains(count: int) -> st.SearchStrategy[TorsionalSystem]:
    return st.builds(
        TorsionalSystem,
        st.tuples(*[sizes] * count),
        st.tuples(*[st.floats(1e4, 1e7)] * (count - 1)),
        st.tuples(*[st.floats(0.1, 10)] * count),
        st.tuples(*[st.floats(0.1, 10)] * (count - 1)),
    )


@pytest.mark.parametrize("count", [2, 3, 6, 12])
def test_equal_discs_free_at_both_ends(count: int) -> None:
    """ω = 2 √(k/J) sin(i π / 2N); shape cos((j + ½) i π / N)."""
    modes = torsion_modes(TorsionalSystem((2.0,) * count, (50.0,) * (count - 1)))
    mode, disc = np.arange(count), np.arange(count)
    expected = 10.0 * np.sin(mode * np.pi / (2 * count))
    np.testing.assert_allclose(modes.angular_frequency, expected, rtol=0, atol=1e-12 * 10)
    shape = np.cos(np.outer(mode, disc + 0.5) * np.pi / count)
    np.testing.assert_allclose(modes.shape, shape / shape[:, :1], rtol=0, atol=1e-11)


def test_six_equal_discs_before_a_wall() -> None:
    """ω = 2 √(k/J) sin((2i - 1) π / 26), classical."""
    modes = torsion_modes(TorsionalSystem((1.0,) * 6 + (WALL,), (1.0,) * 6))
    expected = 2 * np.sin((2 * np.arange(1, 7) - 1) * np.pi / 26)
    printed = [0.24107, 0.70921, 1.13613, 1.49702, 1.77091, 1.94188]
    np.testing.assert_allclose(modes.angular_frequency[1:], expected, rtol=1e-8)
    np.testing.assert_allclose(modes.angular_frequency[1:], printed, rtol=0, atol=5.1e-6)
    first = [1, 0.94188, 0.82903, 0.66799, 0.46814, 0.24107]
    np.testing.assert_allclose(modes.shape[1, :6], first, rtol=0, atol=5.1e-6)


@given(sizes, sizes, st.floats(1e3, 1e7))
def test_two_discs(front: float, rear: float, stiffness: float) -> None:
    """ω² = k (J1 + J2) / (J1 J2); the node divides the shaft as J2 : J1."""
    modes = torsion_modes(TorsionalSystem((front, rear), (stiffness,)))
    expected = math.sqrt(stiffness * (front + rear) / (front * rear))
    assert modes.angular_frequency[0] == 0.0
    assert modes.angular_frequency[1] == pytest.approx(expected, rel=1e-10)
    assert modes.shape[1, 1] == pytest.approx(-front / rear, rel=1e-9)


@given(chains(3))
def test_three_discs(system: TorsionalSystem) -> None:
    """The quadratic in ω² of three discs: sum and product of its roots."""
    (a, b, c), (k, l) = system.inertias, system.stiffnesses
    squares = torsion_modes(system).angular_frequency[1:] ** 2
    assert squares.sum() == pytest.approx(k / a + (k + l) / b + l / c, rel=1e-9)
    product = k * l * (a + b + c) / (a * b * c)
    size = squares[1] ** 2  # the slow root is exact to rounding of the fast one
    assert squares.prod() == pytest.approx(product, rel=1e-9, abs=1e-13 * size)


def test_own_six_cylinder_chain() -> None:
    """Hub, six throws, flywheel (recomputed)."""
    modes = torsion_modes(SIX)
    expected = [323.954, 832.369, 1325.818, 1754.744]
    found = modes.angular_frequency[1:5] / (2 * np.pi)
    np.testing.assert_allclose(found, expected, rtol=0, atol=5.1e-4)
    shape = [1, 0.9724, 0.8571, 0.6767, 0.4449, 0.1793, -0.0999, -0.2810]
    np.testing.assert_allclose(modes.shape[1], shape, rtol=0, atol=5.1e-5)
    speeds = critical_speeds(modes, np.array([3, 4.5, 6, 7.5, 9]))[1]
    rpm = UNITS["rpm"].array_from_si(speeds)
    np.testing.assert_allclose(rpm, [6479, 4319, 3240, 2592, 2160], rtol=0, atol=0.51)


def test_modes_are_orthogonal_and_keep_energy() -> None:
    modes = torsion_modes(SIX)
    inertia = modes.shape @ np.diag(SIX.inertias) @ modes.shape.T
    stiffness = modes.shape @ SIX.stiffness_matrix @ modes.shape.T
    np.testing.assert_allclose(np.diag(inertia), modes.effective_inertia, rtol=1e-12)
    np.testing.assert_allclose(inertia, np.diag(modes.effective_inertia), atol=1e-11)
    expected = np.diag(modes.effective_inertia * modes.angular_frequency**2)
    np.testing.assert_allclose(stiffness, expected, atol=1e-11 * expected.max())


alike = st.floats(0.5, 2.0)


@given(st.tuples(*[alike] * 4), st.tuples(*[alike] * 3), st.floats(0.05, 2.5))
def test_holzer_residual_is_the_product_over_modes(inertias, stiffnesses, frequency) -> None:
    """A polynomial in ω² with a root at each mode: ω² ΣJ Π (1 - ω²/ω_i²)."""
    system = TorsionalSystem(inertias, stiffnesses)
    roots = torsion_modes(system).angular_frequency[1:]
    trial = np.concatenate(([frequency], roots))
    factors = 1 - np.divide.outer(trial, roots) ** 2
    expected = trial**2 * sum(inertias) * factors.prod(axis=1)
    size = 1e4  # of the terms that cancel, at most
    np.testing.assert_allclose(
        holzer(system, trial).residual, expected, rtol=1e-9, atol=1e-12 * size
    )


def test_holzer_has_a_root_at_each_natural_frequency_of_the_six() -> None:
    frequency = torsion_modes(SIX).angular_frequency[1:]
    residual = holzer(SIX, np.concatenate((frequency * 0.999, frequency * 1.001))).residual
    below, above = residual.reshape(2, -1)
    assert np.all(below * above < 0)
    np.testing.assert_array_equal(np.sign(above), [(-1) ** i for i in range(1, 8)])


def test_holzer_table_is_the_mode_shape() -> None:
    modes = torsion_modes(SIX)
    table = holzer(SIX, modes.angular_frequency[:4])
    np.testing.assert_allclose(table.angle, modes.shape[:4], rtol=0, atol=1e-9)


def test_scaling() -> None:
    """Twice the stiffness and half the inertia: twice the frequency, same shape."""
    modes = torsion_modes(SIX)
    lighter = replace(
        SIX,
        inertias=tuple(j / 2 for j in SIX.inertias),
        stiffnesses=tuple(2 * k for k in SIX.stiffnesses),
    )
    other = torsion_modes(lighter)
    np.testing.assert_allclose(other.angular_frequency, 2 * modes.angular_frequency, rtol=1e-12)
    np.testing.assert_allclose(other.shape, modes.shape, rtol=0, atol=1e-11)


def test_a_loose_ring_turns_on_its_own() -> None:
    modes = torsion_modes(replace(SIX, stiffnesses=(0.0, *SIX.stiffnesses[1:])))
    np.testing.assert_array_equal(modes.angular_frequency[:2], 0.0)
    assert modes.angular_frequency[2] > 100.0
    np.testing.assert_allclose(modes.shape[2:, 0], 0.0, atol=1e-9)
    np.testing.assert_allclose(modes.shape[2:].max(axis=1), 1.0, rtol=1e-12)
    with pytest.raises(DesignError, match="stiffnesses"):
        holzer(modes.system, np.array([1.0]))


# --- shafts


def test_shafts_in_series_and_hollow() -> None:
    half = cylinder_stiffness(0.06, 0.05, 80e9)
    assert series_stiffness((half, half)) == pytest.approx(cylinder_stiffness(0.06, 0.1, 80e9))
    hollow = cylinder_stiffness(0.06, 0.05, 80e9, bore=0.03)
    assert hollow == pytest.approx(half - cylinder_stiffness(0.03, 0.05, 80e9), rel=1e-12)


THROW = CrankThrow(0.060, 0.026, 0.050, 0.022, 0.018, 0.080, 0.045)


@pytest.mark.parametrize(
    ("formula", "length", "stiffness"),
    [
        ("carter", 0.169536, 0.60039e6),
        ("ker_wilson", 0.169435, 0.60075e6),
        ("zimanenko", 0.191689, 0.53100e6),
    ],
)
def test_throw_formulas(formula: str, length: float, stiffness: float) -> None:
    """Equivalent length of 60 mm shaft, G 80 GPa (recomputed)."""
    found = throw_stiffness(THROW, 80e9, formula=formula)
    assert found == pytest.approx(stiffness, rel=1.1e-5)
    assert cylinder_stiffness(0.060, 1.0, 80e9) / found == pytest.approx(length, abs=5.1e-7)
    bored = replace(THROW, journal_bore=0.02, pin_bore=0.02)
    assert 0.9 * found < throw_stiffness(bored, 80e9, formula=formula) < found


def test_unknown_throw_formula_lists_the_known() -> None:
    with pytest.raises(DesignError, match="carter, ker_wilson, zimanenko"):
        throw_stiffness(THROW, 80e9, formula="other")


def test_running_gear_inertia_is_the_mean_over_a_turn() -> None:
    """Mean of m_osc (v/ω)² over a turn is m_osc r²/2 (1 + λ²/4 + …), exact to λ⁴."""
    train, angle = SliderCrank(0.045, 0.150), np.arange(720) * (2 * np.pi / 720)
    mean = 1.2 + 0.8 * (piston_motion(train, angle).velocity ** 2).mean() / 0.045**2
    half = running_gear_inertia(1.2, 0.8, 0.045) / 0.045**2 - 1.2
    assert mean - 1.2 == pytest.approx(half * (1 + 0.3**2 / 4), rel=0.3**4)
    assert mean - 1.2 > half


# --- excitation


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


# --- forced response


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


@pytest.mark.parametrize(
    ("fields", "blamed"),
    [
        ({"inertias": (1.0,), "stiffnesses": ()}, "torsion.inertias"),
        ({"inertias": (1.0, 0.0)}, "torsion.inertias"),
        ({"inertias": (1.0, math.nan)}, "torsion.inertias"),
        ({"stiffnesses": (1.0, 1.0)}, "torsion.stiffnesses"),
        ({"stiffnesses": (-1.0,)}, "torsion.stiffnesses"),
        ({"ground_damping": (1.0,)}, "torsion.ground_damping"),
        ({"span_damping": (math.inf,)}, "torsion.span_damping"),
    ],
)
def test_bad_systems_are_refused(fields: dict[str, tuple[float, ...]], blamed: str) -> None:
    with pytest.raises(DesignError) as error:
        TorsionalSystem(**({"inertias": (1.0, 1.0), "stiffnesses": (1.0,)} | fields))
    assert error.value.field == blamed


# --- dampers: one main inertia before a wall is one mode

MAIN = TorsionalSystem((1.0, WALL), (1e4,))
RATIO = np.linspace(0.3, 1.7, 28001)


def peak(mu: float, tuning: float, damping_ratio: float) -> float:
    curve = amplification(RATIO, inertia_ratio=mu, tuning=tuning, damping_ratio=damping_ratio)
    return float(curve.max())


@pytest.mark.parametrize(("mu", "main_ratio", "largest"), [(1.0, 0.288675, 3), (0.1, 0.046524, 21)])
def test_optimum_viscous_damper(mu: float, main_ratio: float, largest: float) -> None:
    """By direct minimisation (recomputed), ζ = c / (2 I ω) of the *main* inertia I."""
    best = untuned_optimum(mu)
    assert mu * best.damping_ratio == pytest.approx(main_ratio, abs=5.1e-7)
    assert best.peak == pytest.approx(largest, rel=1e-12)
    assert peak(mu, 0.0, best.damping_ratio) == pytest.approx(largest, rel=1e-6)
    curve = amplification(RATIO, inertia_ratio=mu, tuning=0.0, damping_ratio=best.damping_ratio)
    assert RATIO[curve.argmax()] == pytest.approx(math.sqrt(2 / (2 + mu)), abs=2e-3)
    for other in (0.9, 1.1):
        assert peak(mu, 0.0, other * best.damping_ratio) > largest


@pytest.mark.parametrize(
    ("mu", "tuning", "damping_ratio", "formula", "true"),
    [
        (0.1, 0.909091, 0.167852, 4.5826, 4.5902),
        (0.2, 0.833333, 0.208333, 3.3166, 3.3275),
    ],
)
def test_optimum_tuned_damper(mu, tuning, damping_ratio, formula, true) -> None:
    """Den Hartog's closed form, and the true peak that it leaves (recomputed)."""
    best = tuned_optimum(mu)
    assert best.tuning == pytest.approx(tuning, abs=5.1e-7)
    assert best.damping_ratio == pytest.approx(damping_ratio, abs=5.1e-7)
    assert best.peak == pytest.approx(formula, abs=5.1e-5)
    assert peak(mu, best.tuning, best.damping_ratio) == pytest.approx(true, abs=1e-4)


def test_damping_ratio_referred_to_the_damper_is_another() -> None:
    """√(3μ / (8 (1 + μ))), wrongly taken as c / (2 I_d ω), gives 3.509 at μ = 0.2 (recomputed)."""
    best = tuned_optimum(0.2)
    own = math.sqrt(3 * 0.2 / (8 * 1.2))
    assert own == pytest.approx(best.damping_ratio / best.tuning, rel=1e-12)
    assert peak(0.2, best.tuning, own) == pytest.approx(3.509, abs=5.1e-4)


@pytest.mark.parametrize("kind", OPTIMA)
@pytest.mark.parametrize("mu", [0.1, 0.5])
def test_damper_in_a_chain_follows_the_closed_form(kind: str, mu: float) -> None:
    damper = optimum_damper(torsion_modes(MAIN), mu, kind=kind)
    system = with_damper(MAIN, damper)
    ratio = RATIO[::200]
    torque = np.zeros((ratio.size, 1, 3), dtype=complex)
    torque[..., 1] = 1e4
    angle = forced_response(system, ratio * 100.0, np.array([1.0]), torque).angle
    best = OPTIMA[kind](mu)
    expected = amplification(
        ratio, inertia_ratio=mu, tuning=best.tuning, damping_ratio=best.damping_ratio
    )
    np.testing.assert_allclose(np.abs(angle[:, 0, 1] - angle[:, 0, 2]), expected, rtol=1e-6)


def test_without_damping_the_peak_moves_but_stays() -> None:
    """A locked ring resonates at 1 / √(1 + μ), a free one at 1: all curves meet between."""
    mu, fixed = 0.4, np.array([math.sqrt(2 / 2.4)])
    values = [
        amplification(fixed, inertia_ratio=mu, tuning=0.0, damping_ratio=zeta).item()
        for zeta in (1e-6, 0.1, 0.4, 1e6)
    ]
    np.testing.assert_allclose(values, (2 + mu) / mu, rtol=1e-6)


@pytest.mark.parametrize("kind", OPTIMA)
def test_a_damper_calms_the_six(kind: str) -> None:
    light = replace(SIX, ground_damping=(0.0, *(0.2,) * 6, 0.0), span_damping=(1.0,) * 7)
    damped = with_damper(light, optimum_damper(torsion_modes(light), 0.01, kind=kind))
    speed, order = np.linspace(200, 500, 301), np.array([6.0])
    torque = np.zeros((301, 1, 9), dtype=complex)
    torque[..., 2:8] = 100.0
    bare = forced_response(light, speed, order, torque[..., 1:]).twist
    calm = forced_response(damped, speed, order, torque)
    assert np.abs(calm.twist[..., 1:]).max() < 0.25 * np.abs(bare).max()
    assert calm.span_heat[..., 0].max() > 0.5 * calm.span_heat.sum(axis=-1).max()


def test_bad_dampers_are_refused() -> None:
    modes = torsion_modes(MAIN)
    for call in (
        lambda: optimum_damper(modes, 0.1, kind="magic"),
        lambda: optimum_damper(modes, 0.1, kind="tuned", mode=2),
        lambda: untuned_optimum(0.0),
        lambda: tuned_optimum(math.nan),
    ):
        with pytest.raises(DesignError, match=r"got|no |does not"):
            call()
