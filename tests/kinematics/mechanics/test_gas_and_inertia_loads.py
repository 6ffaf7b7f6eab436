"""Forces of one cylinder: equilibrium, energy, momentum, scaling, the two-mass rod."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kinematics.mechanics.gas_and_inertia_loads import (
    BySpeed,
    GasAndInertia,
    MovingMasses,
    cylinder_loads,
)
from kinematics.mechanics.rod_mass import two_mass_rod
from kinematics.mechanics.slider_crank import SliderCrank, pose, posed_motion
from tests.kinematics.random_designs import slider_cranks

ANGLE = np.arange(1024) * (2 * np.pi / 1024)
LOADS = ("rod_force", "side_thrust", "cylinder_torque", "crankpin_force")


def solved(train: SliderCrank, masses: MovingMasses, gas: np.ndarray | float = 0.0):
    at = pose(train, ANGLE[None, :])
    motion = posed_motion(train, at)
    force = np.broadcast_to(np.asarray(gas, dtype=float), at.sin_crank.shape)
    return at, motion, cylinder_loads(train, masses, at, motion, BySpeed.steady(force))


@st.composite
def moving_masses(draw: st.DrawFn, length: float) -> MovingMasses:
    rod = draw(st.floats(0.1, 50))
    centre = length * draw(st.floats(0, 1))
    return MovingMasses(
        draw(st.floats(0.1, 50)), rod, centre, rod * length**2 * draw(st.floats(0.01, 0.4))
    )


@st.composite
def engines(draw: st.DrawFn) -> tuple[SliderCrank, MovingMasses]:
    train = draw(slider_cranks())
    return train, draw(moving_masses(train.rod_length))


def derivative(signal: np.ndarray) -> np.ndarray:
    transform = np.fft.rfft(signal, axis=-1) * (1j * np.arange(signal.shape[-1] // 2 + 1))
    transform[..., -1] = 0
    return np.fft.irfft(transform, signal.shape[-1], axis=-1)


def cg_place(train: SliderCrank, masses: MovingMasses) -> np.ndarray:
    """Place (2, n) of the rod's centre of gravity, by geometry alone."""
    at = pose(train, ANGLE)
    arm = masses.rod_cg_from_big_end
    x = train.crank_radius * at.sin_crank - arm * at.sin_rod
    return np.stack((x, train.crank_radius * at.cos_crank + arm * at.cos_rod))


@given(engines())
def test_inertia_torque_is_the_loss_of_kinetic_energy(engine) -> None:
    train, masses = engine
    _, motion, loads = solved(train, masses)
    cg = derivative(cg_place(train, masses))
    energy = (
        masses.piston * motion.velocity[0] ** 2
        + masses.rod * (cg**2).sum(axis=0)
        + masses.rod_inertia_about_cg * motion.rod_angular_velocity[0] ** 2
    ) / 2
    expected = -derivative(energy)
    found = loads.cylinder_torque.inertia[0]
    np.testing.assert_allclose(found, expected, atol=1e-9 * energy.max())
    assert found.mean() == pytest.approx(0, abs=1e-12 * energy.max())


@given(engines())
def test_inertia_on_the_block_is_the_loss_of_momentum(engine) -> None:
    train, masses = engine
    _, motion, loads = solved(train, masses)
    momentum = masses.rod * derivative(cg_place(train, masses))
    momentum[1] -= masses.piston * motion.velocity[0]
    expected = -derivative(momentum)
    atol = 1e-9 * np.abs(expected).max()
    np.testing.assert_allclose(loads.inertia_on_block[0], expected, atol=atol)


@given(engines())
def test_rod_spin_torque_is_the_gain_of_its_moment_of_momentum(engine) -> None:
    train, masses = engine
    _, motion, loads = solved(train, masses)
    place = cg_place(train, masses)
    rate = derivative(place)
    momentum = masses.rod * (place[1] * rate[0] - place[0] * rate[1])
    momentum -= masses.rod_inertia_about_cg * motion.rod_angular_velocity[0]
    expected = derivative(momentum)
    atol = 1e-9 * np.abs(masses.rod * place).max() * np.abs(rate).max() * 10
    np.testing.assert_allclose(loads.rod_spin_torque[0], expected, atol=atol)


@given(slider_cranks(), st.floats(100, 1e5))
def test_chain_of_a_light_rod(train: SliderCrank, force: float) -> None:
    """A rod without mass carries F/cos ψ, the wall F tan ψ, the crank F r sin(θ + ψ)/cos ψ."""
    at, motion, loads = solved(train, MovingMasses(1.0, 0.0, 0.0, 0.0), force)
    piston = force - motion.acceleration
    angle = motion.rod_angle
    np.testing.assert_allclose(loads.rod_force.at(1.0), piston / np.cos(angle), rtol=1e-11)
    np.testing.assert_allclose(
        loads.side_thrust.at(1.0), piston * np.tan(angle), atol=1e-11 * force
    )
    torque = train.crank_radius * piston * np.sin(ANGLE + angle) / np.cos(angle)
    np.testing.assert_allclose(loads.cylinder_torque.at(1.0), torque, atol=1e-11 * force)
    assert at.cos_rod.shape == (1, ANGLE.size)


@given(engines(), st.floats(0.01, 100))
def test_loads_are_linear_in_mass(engine, factor: float) -> None:
    train, masses = engine
    heavy = MovingMasses(
        masses.piston * factor,
        masses.rod * factor,
        masses.rod_cg_from_big_end,
        masses.rod_inertia_about_cg * factor,
    )
    _, _, one = solved(train, masses)
    _, _, other = solved(train, heavy)
    for name in LOADS:
        expected = getattr(one, name).inertia * factor
        found = getattr(other, name).inertia
        np.testing.assert_allclose(found, expected, atol=1e-12 * np.abs(expected).max())


@given(engines(), st.floats(0.01, 100))
def test_length_scales_forces_once_and_torque_twice(engine, factor: float) -> None:
    train, masses = engine
    large = SliderCrank(*(getattr(train, f) * factor for f in SliderCrank.__dataclass_fields__))
    grown = MovingMasses(
        masses.piston,
        masses.rod,
        masses.rod_cg_from_big_end * factor,
        masses.rod_inertia_about_cg * factor**2,
    )
    _, _, one = solved(train, masses)
    _, _, other = solved(large, grown)
    for name in LOADS:
        power = 2 if name == "cylinder_torque" else 1
        expected = getattr(one, name).inertia * factor**power
        found = getattr(other, name).inertia
        np.testing.assert_allclose(found, expected, atol=1e-11 * np.abs(expected).max())


@given(engines())
def test_exact_rod_is_two_masses_and_a_couple(engine) -> None:
    """Side thrust, rod force and torque differ by the couple alone; the reciprocating force by
    nothing."""
    train, masses = engine
    split = two_mass_rod(
        masses.rod, masses.rod_cg_from_big_end, masses.rod_inertia_about_cg, train.rod_length
    )
    pair = dataclasses.replace(
        masses, rod_inertia_about_cg=masses.rod_inertia_about_cg - split.correction_inertia
    )
    at, motion, exact = solved(train, masses)
    _, _, split_loads = solved(train, pair)
    couple = split.correction_inertia * motion.rod_angular_acceleration
    across = couple / train.rod_length / at.cos_rod
    peak = np.abs(exact.crankpin_force.inertia).max() + np.abs(across).max()
    for name, expected in (
        ("side_thrust", -across),
        ("rod_force", -across * at.sin_rod),
        ("cylinder_torque", -couple * motion.rod_angular_velocity),
    ):
        scale = train.rod_length if name == "cylinder_torque" else 1.0
        found = getattr(exact, name).inertia - getattr(split_loads, name).inertia
        np.testing.assert_allclose(found, expected, atol=1e-11 * peak * scale, err_msg=name)
    assert (exact.reciprocating_inertia == split_loads.reciprocating_inertia).all()


@given(engines())
def test_two_mass_torque_is_that_of_the_reciprocating_mass(engine) -> None:
    """With the couple left out only the reciprocating mass makes torque."""
    train, masses = engine
    split = two_mass_rod(
        masses.rod, masses.rod_cg_from_big_end, masses.rod_inertia_about_cg, train.rod_length
    )
    pair = dataclasses.replace(
        masses, rod_inertia_about_cg=masses.rod_inertia_about_cg - split.correction_inertia
    )
    _, motion, loads = solved(train, pair)
    expected = loads.reciprocating_inertia * motion.velocity
    size = (masses.piston + masses.rod) * train.crank_radius**2
    np.testing.assert_allclose(loads.cylinder_torque.inertia, expected, atol=1e-10 * size)


@given(engines())
def test_mirror(engine) -> None:
    """Offset and sense turned about: forces along keep their sign, forces across change it."""
    train, masses = engine
    other = SliderCrank(train.crank_radius, train.rod_length, -train.pin_offset)
    _, _, one = solved(train, masses)
    at = pose(other, -ANGLE[None, :])
    motion = posed_motion(other, at)
    two = cylinder_loads(other, masses, at, motion, BySpeed.steady(np.zeros_like(at.sin_crank)))
    peak = np.abs(one.crankpin_force.inertia).max()
    np.testing.assert_allclose(two.rod_force.inertia, one.rod_force.inertia, atol=1e-11 * peak)
    np.testing.assert_allclose(two.side_thrust.inertia, -one.side_thrust.inertia, atol=1e-11 * peak)


def test_a_load_is_gas_and_speed_squared_times_inertia() -> None:
    load = GasAndInertia.steady(np.array([1.0, -2.0]), np.array([0.5, 3.0]))
    assert load.at(2.0).tolist() == [3.0, 10.0]
