"""Free forces and moments against what the block really feels, and against phasor sums."""

import dataclasses

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kinematics import Design, solve_cycle
from kinematics.mechanics.slider_crank import classical_harmonics
from kinematics.train.balance import (
    HIGHEST_ORDER,
    ellipse,
    inertia_phasors,
    order_amplitudes,
    throw_positions,
)
from tests.conftest import changed, six
from tests.kinematics.random_designs import designs, solved

SLOW = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
BOTH_ORDERS = ((1, 5, 3, 6, 2, 4), (1, 4, 2, 6, 3, 5))


def plain_six(order: tuple[int, ...] = BOTH_ORDERS[0]) -> Design:
    base = six()
    angles = (0, 240, 120, 120, 240, 0) if order[1] == 5 else (0, 120, 240, 240, 120, 0)
    layout = dataclasses.replace(
        base.layout, throw_angles=tuple(np.radians(angles).tolist()), firing_order=order
    )
    return dataclasses.replace(base, layout=layout, counterweights=())


def in_block(design: Design, along: np.ndarray, across: np.ndarray) -> np.ndarray:
    """Forces (c, 2, n) in the block's frame from those along and across each cylinder."""
    bank = np.array(design.layout.bank_angle)[:, None] - design.layout.bank_angle[0]
    x = along * np.sin(bank) + across * np.cos(bank)
    return np.stack((x, along * np.cos(bank) - across * np.sin(bank)), axis=1)


@SLOW
@given(designs(), st.floats(100, 12000))
def test_free_loads_are_what_the_block_feels(design: Design, rpm: float) -> None:
    """Mains, side thrusts and the gas on the heads, added up: forces, pitching and yawing."""
    cycle = solved(design, rpm)
    mains = cycle.bearings.main_load("block")
    liners = in_block(design, cycle.forces.gas_force, -cycle.forces.side_thrust)
    peak = np.abs(mains).max() + np.abs(liners).max()
    count = design.layout.cylinders + len(mains)
    total = mains.sum(axis=0) + liners.sum(axis=0)
    np.testing.assert_allclose(cycle.balance.free_force, total, atol=1e-11 * peak * count)
    throw_z, spacing = throw_positions(design), design.layout.throw_spacing
    main_z = np.append(throw_z - spacing / 2, throw_z[-1] + spacing / 2)
    liner_z = throw_z[np.array(design.layout.throw_of_cylinder) - 1]
    yaw, pitch = np.tensordot(main_z, mains, axes=1) + np.tensordot(liner_z, liners, axes=1)
    atol = 1e-11 * peak * count * spacing * len(main_z)
    np.testing.assert_allclose(cycle.balance.free_moment[:2], [pitch, yaw], atol=atol)


@SLOW
@given(designs(), st.floats(100, 12000))
def test_rolling_is_what_the_liners_feel(design: Design, rpm: float) -> None:
    """Side thrust at the pin's height, and the couple of piston forces that pass the pin by its
    offset: gas and piston mass act in the bore's middle."""
    cycle = solved(design, rpm)
    train, motion = cycle.train, cycle.motion
    height = train.crank.top - motion.displacement
    piston = cycle.forces.gas_force - train.masses.piston * motion.acceleration
    roll = -height * cycle.forces.side_thrust + design.cylinder.pin_offset * piston
    peak = np.abs(height * cycle.forces.side_thrust).max() + np.abs(piston).max() * 0.03
    atol = 1e-11 * peak * design.layout.cylinders
    np.testing.assert_allclose(cycle.balance.free_moment[2], roll.sum(axis=0), atol=atol)


@SLOW
@given(designs())
def test_phasor_sums_are_the_transform_of_the_time_signal(design: Design) -> None:
    cycle = solved(design, 3000)
    turns = design.layout.strokes_per_cycle // 2
    sums = inertia_phasors(design, cycle.train.crank, cycle.train.masses)
    whole = slice(turns - 1, None, turns)
    scale = cycle.speed**2
    single = np.abs(cycle.train.loads.inertia_on_block).max() * design.layout.cylinders
    force = order_amplitudes(cycle.train.free.force.inertia, turns)[:, whole]
    np.testing.assert_allclose(force, sums.force, atol=1e-9 * single)
    lever = design.layout.throw_spacing * design.layout.throws
    moment = order_amplitudes(cycle.train.free.moment.inertia[:2], turns)[:, whole]
    np.testing.assert_allclose(moment, sums.moment, atol=1e-9 * single * lever)
    np.testing.assert_allclose(
        cycle.balance.force_orders[:, whole], sums.force * scale, atol=1e-9 * single * scale
    )


@pytest.mark.parametrize("order", BOTH_ORDERS)
def test_the_six_is_free_up_to_the_sixth_order(order: tuple[int, ...]) -> None:
    design = plain_six(order)
    cycle = solve_cycle(design, 7000)
    r = design.cylinder.crank_radius
    mass = cycle.train.masses.piston + 0.560 * 40 / 145
    unit = mass * r * cycle.speed**2
    force, moment = cycle.balance.force_orders, cycle.balance.moment_orders[:2]
    whole = np.abs(force[1, 1::2])
    np.testing.assert_allclose(np.delete(whole, 5), 0, atol=1e-11 * unit)
    sixth = classical_harmonics(design.cylinder.rod_ratio, terms=12)[6]
    assert whole[5] == pytest.approx(6 * sixth * unit, rel=1e-8)
    assert whole[5] > 1.0  # newtons: small, and there
    np.testing.assert_allclose(force[0], 0, atol=1e-11 * unit)
    np.testing.assert_allclose(moment, 0, atol=1e-11 * unit)


def test_the_six_of_two_strokes_is_not_free() -> None:
    """The control: throws at 60° leave a second-order moment of 6.9282 spacings."""
    base = six()
    places = (1, 4, 5, 2, 3, 6)
    angles = [0.0] * 6
    for place, cylinder in enumerate(places):
        angles[cylinder - 1] = -np.pi / 3 * place
    layout = dataclasses.replace(
        base.layout,
        strokes_per_cycle=2,
        throw_angles=tuple(float(np.mod(a, 2 * np.pi)) for a in angles),
        firing_order=places,
    )
    design = dataclasses.replace(base, layout=layout, counterweights=())
    cycle = solve_cycle(design, 7000)
    mass = 0.460 + 0.560 * 40 / 145
    second = classical_harmonics(design.cylinder.rod_ratio, terms=12)[2]
    unit = mass * design.cylinder.crank_radius * cycle.speed**2 * second * 0.098
    assert abs(cycle.balance.moment_orders[0, 1]) == pytest.approx(6.9282 * unit, rel=1e-5)


def test_gas_makes_no_free_force_and_no_pitching(base: Design) -> None:
    free = solve_cycle(base, 3000).train.free
    assert not free.force.gas.only.any()
    assert not free.moment.gas.only[:2].any()


def test_rolling_is_the_reaction_to_the_mean_torque(base: Design) -> None:
    cycle = solve_cycle(base, 3000)
    assert cycle.balance.free_moment[2].mean() == pytest.approx(-cycle.mean_torque, rel=1e-12)


def test_counterweights_can_undo_the_rotating_part(base: Design) -> None:
    """Pairs opposite to each throw, as heavy as pin and rod's big end, leave order 1 to pistons."""
    rotating = 0.560 * (1 - 40 / 145) * base.cylinder.crank_radius
    weight = base.counterweights[0]
    weights = tuple(
        dataclasses.replace(weight, web=web, unbalance=rotating / 2) for web in range(1, 13)
    )
    design = dataclasses.replace(base, counterweights=weights)
    train = solve_cycle(design, 3000).train
    with_rotating = inertia_phasors(design, train.crank, train.masses)
    without = inertia_phasors(design, train.crank, train.masses, rotating=False)
    np.testing.assert_allclose(with_rotating.force, without.force, atol=1e-15)
    np.testing.assert_allclose(with_rotating.moment, without.moment, atol=1e-15)


def test_one_counterweight_turns_with_the_crank(base: Design) -> None:
    """18 kg·mm on web 1, opposite to pin 1, ahead of the front throw's middle by 25 mm."""
    free = solve_cycle(base, 6000)
    bare = solve_cycle(dataclasses.replace(base, counterweights=()), 6000)
    force = free.balance.free_force - bare.balance.free_force
    size = 18e-3 * free.speed**2
    direction = -np.stack((np.sin(free.crank_angle), np.cos(free.crank_angle)))
    np.testing.assert_allclose(force, size * direction, atol=1e-9 * size)
    pitch, yaw, roll = free.balance.free_moment - bare.balance.free_moment
    z = -2.5 * 0.098 - 0.025
    np.testing.assert_allclose([yaw, pitch], z * size * direction, atol=1e-9 * size)
    np.testing.assert_allclose(roll, 0, atol=1e-9)


def test_orders_of_a_known_signal() -> None:
    angle = np.arange(720) * (4 * np.pi / 720)
    signal = 3 + 2 * np.cos(0.5 * angle) - 5 * np.sin(3 * angle) + np.cos(8 * angle)
    found = order_amplitudes(signal, 2)
    expected = np.zeros(2 * HIGHEST_ORDER, dtype=complex)
    expected[[0, 5, 15]] = 2, 5j, 1
    np.testing.assert_allclose(found, expected, atol=1e-12)


PHASORS = st.complex_numbers(max_magnitude=1e6, allow_subnormal=False)


@given(PHASORS, PHASORS)
def test_ellipse_bounds_the_vector(x: complex, y: complex) -> None:
    turn = np.exp(1j * np.linspace(0, 2 * np.pi, 3601))
    length = np.hypot((x * turn).real, (y * turn).real)
    found = ellipse(np.array(x), np.array(y))
    size = abs(x) + abs(y)
    assert length.max() == pytest.approx(float(found.largest), abs=1e-5 * size)
    assert length.min() == pytest.approx(float(found.smallest), abs=2e-3 * size)


def test_ellipse_knows_the_sense_of_rotation() -> None:
    """Up at first, a quarter turn on to the right: with the crank."""
    found = ellipse(np.array(-1j), np.array(1.0 + 0j))
    assert (float(found.forward), float(found.backward)) == (1.0, 0.0)


def test_offset_engines_roll_by_the_same_rule() -> None:
    design = changed(six(), "cylinder", pin_offset=2e-3)
    cycle = solve_cycle(design, 4000)
    assert cycle.balance.free_moment[2].mean() == pytest.approx(-cycle.mean_torque, rel=1e-12)
