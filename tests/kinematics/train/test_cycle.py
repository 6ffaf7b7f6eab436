"""A solved cycle: energy, speed, renumbering, and the numbers that other layers read."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kinematics import Design, DesignError, load_demo, solve_cycle
from kinematics.mechanics.slider_crank import piston_motion
from kinematics.train.cycle import Cycle, RigidTrain
from tests.conftest import changed, layout_of, six, tried, with_layout
from tests.kinematics.random_designs import designs, solved

SLOW = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
FORCES = ("gas_force", "inertia_force", "rod_force", "side_thrust", "cylinder_torque")


def test_shapes_and_finite(base: Design) -> None:
    cycle = solve_cycle(base, 7000)
    assert cycle.crank_angle.shape == (720,)
    for record in (cycle.motion, cycle.forces):
        for field in record.__dataclass_fields__:
            value = getattr(record, field)
            assert value.shape == ((720,) if field == "crank_torque" else (6, 720)), field
            assert np.isfinite(value).all(), field
    assert cycle.bearings.main_load("block").shape == (7, 2, 720)
    assert cycle.balance.free_force.shape == (2, 720)
    assert cycle.balance.free_moment.shape == (3, 720)


def test_angles_leave_the_end_of_the_cycle_out(base: Design) -> None:
    angle = solve_cycle(base, 3000).crank_angle
    np.testing.assert_allclose(np.degrees(angle), np.arange(720.0), atol=1e-10)


def test_each_cylinder_fires_in_its_turn(base: Design) -> None:
    """Peak pressures follow one another by 120° in the firing order."""
    pressure = solve_cycle(base, 3000).forces.cylinder_pressure
    assert (np.argsort(pressure.argmax(axis=1)) + 1).tolist() == [1, 5, 3, 6, 2, 4]
    assert np.diff(np.sort(pressure.argmax(axis=1))).tolist() == [120] * 5


def test_work_of_the_gas_is_the_area_of_its_diagram(base: Design) -> None:
    """Mean torque times the cycle's angle is the area of pressure over volume of all cylinders."""
    train = RigidTrain(base, points=72000)
    volume = base.cylinder.piston_area * train.motion.displacement[0]
    pressure = train.pressure.only[0]
    area = np.trapezoid(np.append(pressure, pressure[0]), np.append(volume, volume[0]))
    assert Cycle(train, 1.0).indicated_work == pytest.approx(area, rel=1e-6)
    assert train.crank_torque.gas.only.mean() * 4 * np.pi == pytest.approx(6 * area, rel=1e-6)


@SLOW
@given(designs(), st.floats(100, 15000))
def test_energy_of_any_engine(design: Design, rpm: float) -> None:
    cycle = solved(design, rpm)
    torque = cycle.forces.crank_torque
    work = cycle.indicated_work * design.layout.cylinders
    size = np.abs(cycle.train.loads.cylinder_torque.gas.at(cycle.speed)).max()
    size += cycle.speed**2 * np.abs(cycle.train.loads.cylinder_torque.inertia).max()
    size *= design.layout.cylinders
    assert torque.mean() * design.layout.cycle_angle == pytest.approx(work, abs=1e-9 * size)
    mean_inertia = cycle.train.crank_torque.inertia.mean() * cycle.speed**2
    assert mean_inertia == pytest.approx(0, abs=1e-10 * size)
    assert cycle.indicated_power == pytest.approx(cycle.mean_torque * cycle.speed)


@pytest.mark.parametrize("rpm", [1.0, 700.0, 6543.2, 30000.0])
def test_any_speed_is_a_direct_computation(base: Design, rpm: float) -> None:
    """The same from forces at the speed itself; the rod's centre of gravity sits on the pin."""
    light = dataclasses.replace(
        changed(base, "cylinder", pin_offset=1e-3),
        rod=dataclasses.replace(base.rod, mass=0.01, cg_from_big_end=0.0, inertia_about_cg=1e-8),
    )
    cycle = solve_cycle(light, rpm)
    motion = piston_motion(cycle.train.crank, cycle.train.own_angle, speed=cycle.speed)
    force = cycle.forces.gas_force - light.piston.assembly_mass * motion.acceleration
    couple = 1e-8 * motion.rod_angular_acceleration / light.cylinder.rod_length
    expected = force * np.tan(motion.rod_angle) - couple / np.cos(motion.rod_angle)
    found = cycle.forces.side_thrust
    peak = np.abs(force).max()
    np.testing.assert_allclose(found, expected, atol=1e-9 * peak)
    np.testing.assert_allclose(cycle.motion.acceleration, motion.acceleration, rtol=1e-9, atol=1e-6)


@SLOW
@given(st.floats(1, 30000), st.floats(1, 30000))
def test_inertia_goes_with_the_square_of_speed(one: float, other: float) -> None:
    slow, fast = solve_cycle(six(), one), solve_cycle(six(), other)
    for name in FORCES[1:]:
        gas = np.zeros(1)
        if name != "inertia_force":
            gas = getattr(slow.train.loads, name).gas.only
        left = (getattr(slow.forces, name) - gas) * other**2
        right = (getattr(fast.forces, name) - gas) * one**2
        atol = 1e-9 * max(np.abs(right).max(), np.abs(gas).max() * max(one, other) ** 2)
        np.testing.assert_allclose(left, right, atol=atol, err_msg=name)
    assert (slow.forces.gas_force == fast.forces.gas_force).all()


def test_renumbered_cylinders_bear_the_same() -> None:
    """Cylinders 2 to 6 get other names; the crank and what it feels stay."""
    names = (1, 4, 6, 2, 3, 5)  # new name of each old cylinder
    base = six()
    pins = [0] * 6
    for throw, name in enumerate(names, start=1):
        pins[name - 1] = throw
    layout = dataclasses.replace(
        base.layout,
        throw_of_cylinder=tuple(pins),
        firing_order=tuple(names[old - 1] for old in base.layout.firing_order),
    )
    one, other = (
        solve_cycle(base, 7000),
        solve_cycle(dataclasses.replace(base, layout=layout), 7000),
    )
    new = np.array(names) - 1
    for name in FORCES:
        np.testing.assert_array_equal(getattr(other.forces, name)[new], getattr(one.forces, name))
    for frame in ("block", "rod", "crank"):
        np.testing.assert_allclose(
            other.bearings.big_end_load(frame)[new], one.bearings.big_end_load(frame)
        )
    peak = np.abs(one.bearings.main_load("block")).max()
    np.testing.assert_allclose(
        other.bearings.main_load("block"), one.bearings.main_load("block"), atol=1e-12 * peak
    )


def test_front_and_rear_of_the_six_mirror_each_other(base: Design) -> None:
    """The crank is its own mirror, and cylinder 7 - k fires a turn after cylinder k."""
    plain = dataclasses.replace(base, counterweights=())
    cycle = solve_cycle(plain, 7000)
    turn = 360
    for name in ("rod_force", "side_thrust", "cylinder_torque"):
        value = getattr(cycle.forces, name)
        peak = np.abs(value).max()
        np.testing.assert_allclose(value[::-1], np.roll(value, turn, axis=1), atol=1e-11 * peak)
    mains = cycle.bearings.main_load("block")
    peak = np.abs(mains).max()
    np.testing.assert_allclose(mains[::-1], np.roll(mains, turn, axis=2), atol=1e-11 * peak)


def test_two_stroke_fires_every_turn() -> None:
    design = with_layout(six(), layout_of((0, 240, 120), firing_order=(1, 2, 3), strokes=2))
    cycle = solve_cycle(design, 3000)
    assert cycle.crank_angle[-1] < 2 * math.pi
    assert cycle.mean_torque * 2 * math.pi == pytest.approx(3 * cycle.indicated_work)
    assert cycle.indicated_work > 0
    assert cycle.balance.orders.tolist() == [1, 2, 3, 4, 5, 6, 7, 8]


def test_uneven_firing_keeps_energy() -> None:
    """A V6 at 90° on three pins fires by turns after 90° and 150°."""
    layout = layout_of(
        (0, 240, 120),
        throw_of_cylinder=(1, 1, 2, 2, 3, 3),
        bank_angle_deg=(0, 90, 0, 90, 0, 90),
        firing_order=(1, 2, 5, 6, 3, 4),
    )
    cycle = solve_cycle(with_layout(six(), layout), 3000)
    peaks = np.sort(cycle.forces.cylinder_pressure.argmax(axis=1))
    assert np.diff(peaks).tolist() == [90, 150, 90, 150, 90]
    assert cycle.mean_torque * 4 * math.pi == pytest.approx(6 * cycle.indicated_work)


@pytest.mark.parametrize("rod_model", ["exact", "two_mass"])
def test_rod_models_share_free_forces(base: Design, rod_model: str) -> None:
    exact, found = solve_cycle(base, 7000), solve_cycle(base, 7000, rod_model=rod_model)
    np.testing.assert_array_equal(found.balance.free_force, exact.balance.free_force)
    couple = exact.train.masses.rod_inertia_about_cg - found.train.masses.rod_inertia_about_cg
    expected = -couple * exact.motion.rod_angular_acceleration * exact.motion.rod_angular_velocity
    difference = exact.forces.cylinder_torque - found.forces.cylinder_torque
    peak = np.abs(exact.forces.cylinder_torque).max()
    np.testing.assert_allclose(difference, expected / exact.speed, atol=1e-11 * peak)


@pytest.mark.parametrize(
    "rpm", [0.0, -1.0, 0.99, 30000.1, math.nan, math.inf, -math.inf, 1e308, True, "7000", None]
)
def test_speeds_out_of_range_are_refused(base: Design, rpm: object) -> None:
    with pytest.raises(DesignError, match=r"speed_rpm.*1 to 30000 rpm"):
        solve_cycle(base, rpm)  # type: ignore[arg-type]


def test_unknown_rod_model_is_refused(base: Design) -> None:
    with pytest.raises(DesignError, match="exact, two_mass"):
        solve_cycle(base, 1000, rod_model="three_mass")


@SLOW
@given(designs(), st.floats(1, 30000))
def test_any_allowed_design_solves_to_finite_numbers(design: Design, rpm: float) -> None:
    cycle = solve_cycle(design, rpm)
    forces = tried(lambda: cycle.forces)
    if isinstance(forces, DesignError):
        assert forces.field.startswith("pressure.")
        return
    assert np.isfinite(forces.rod_force).all()
    assert np.isfinite(cycle.bearings.main_load("crank")).all()
    assert np.isfinite(cycle.bearings.big_end_load("crank")).all()
    assert np.isfinite(cycle.balance.moment_orders).all()
    assert (cycle.forces.cylinder_pressure > 0).all()


@pytest.mark.parametrize("speed", [np.int64(7000), np.float32(7000), 7000])
def test_a_speed_may_be_a_number_of_numpys(base: Design, speed: float) -> None:
    assert solve_cycle(base, speed).speed == pytest.approx(7000 * np.pi / 30, rel=1e-9)


@pytest.mark.parametrize(
    ("group", "change"),
    [
        ("cylinder", {"rod_length": 0.15}),
        ("piston", {"assembly_mass": 0.4}),
        ("rod", {"mass": 0.5}),
        ("pressure", {"peak": 9e6}),
        ("big_end", {"width": 0.02}),
    ],
)
def test_a_changed_train_is_that_of_the_changed_design(group: str, change: dict) -> None:
    """What both designs share is the old train's own, all else is made anew."""
    old = RigidTrain(load_demo("hill_climb_six"))
    design = changed(old.design, group, **change)
    new, fresh = old.changed(design), RigidTrain(design)
    assert (new.pressure is old.pressure) == (group in ("piston", "rod", "big_end"))
    assert (new.loads is old.loads) == (group == "big_end")
    for name in ("big_end_rod", "big_end_block", "big_end_crank", "main_block", "crank_torque"):
        found, expected = getattr(new, name), getattr(fresh, name)
        np.testing.assert_array_equal(found.gas.courses, expected.gas.courses)
        np.testing.assert_array_equal(found.inertia, expected.inertia)
    np.testing.assert_array_equal(new.motion.acceleration, fresh.motion.acceleration)
    assert new.masses == fresh.masses
