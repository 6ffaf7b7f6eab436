"""Piston criteria invert, rings lift where Newton says, pin results follow the load."""

import dataclasses
import math

import numpy as np
import pytest

from kinematics.errors import DesignError
from kinematics.limits.speed_roots import allowed_speeds, speeds_at
from kinematics.mechanics.gas_and_inertia_loads import BySpeed
from kinematics.mechanics.slider_crank import (
    SliderCrank,
    mean_piston_speed,
    piston_motion,
    pose,
    posed_motion,
)
from kinematics.strength.piston_strength import (
    FLUTTER_THRESHOLDS,
    MEAN_PISTON_SPEED_GUIDES,
    PIN_PRESSURE_GUIDES,
    PIN_STRESS_GUIDES,
    PistonPin,
    Ring,
    flutter_acceleration,
    peak_acceleration,
    pin_stress,
    projected_pressure,
    ring_seat_force,
    simple_pin_bending,
    speed_at_acceleration,
    speed_at_piston_speed,
    thin_ring,
)

TRAIN = SliderCrank(0.045, 0.144)
ANGLE = np.radians(np.arange(720.0))
PIN = PistonPin(0.022, 0.015, 0.068, 0.028, 0.032)
RING = Ring(mass=0.008, flank_area=700e-6)


def test_speeds_at_criteria_invert_them() -> None:
    offset = SliderCrank(0.045, 0.144, 0.002)
    assert mean_piston_speed(offset, speed_at_piston_speed(offset, 21.0)) == pytest.approx(21.0)
    assert peak_acceleration(TRAIN, speed_at_acceleration(TRAIN, 3e4)) == pytest.approx(3e4)


def test_peak_acceleration_is_the_largest_of_the_cycle() -> None:
    motion = piston_motion(TRAIN, ANGLE, speed=700.0)
    assert peak_acceleration(TRAIN, 700.0) == pytest.approx(motion.acceleration.max(), rel=1e-13)


def test_flutter_between_rows_falls_with_thickness() -> None:
    thick = np.linspace(FLUTTER_THRESHOLDS[0][0], FLUTTER_THRESHOLDS[-1][0], 50)
    found = np.array([flutter_acceleration(t) for t in thick])
    assert np.all(np.diff(found) < 0)
    for thickness, acceleration in FLUTTER_THRESHOLDS:
        assert flutter_acceleration(thickness) == pytest.approx(acceleration, rel=1e-12)


@pytest.mark.parametrize("thickness", [0.0009, 0.0033, math.nan, -1.0])
def test_flutter_outside_the_table_is_refused(thickness) -> None:
    with pytest.raises(DesignError, match="ring_thickness"):
        flutter_acceleration(thickness)


def test_a_ring_lifts_at_tdc_when_inertia_beats_the_gas() -> None:
    motion = posed_motion(TRAIN, pose(TRAIN, ANGLE))
    drop = BySpeed.steady(np.full(720, 1e5))
    seat = ring_seat_force(RING, motion.acceleration, motion.velocity, drop)
    limit = allowed_speeds(seat.gas.only, seat.inertia, lower=0.0).high
    needed = 1e5 * RING.flank_area / RING.mass
    assert peak_acceleration(TRAIN, limit) == pytest.approx(needed, rel=1e-12)
    over = seat.at(1.01 * limit) < 0
    assert over[0]
    assert np.all(np.cos(ANGLE[over]) > 0.9)
    assert not np.any(seat.at(0.99 * limit) < 0)


def test_friction_presses_on_the_way_up_and_lifts_on_the_way_down() -> None:
    motion = posed_motion(TRAIN, pose(TRAIN, ANGLE))
    drop = BySpeed.steady(np.zeros(720))
    free = ring_seat_force(RING, motion.acceleration, motion.velocity, drop)
    dragged = ring_seat_force(RING, motion.acceleration, motion.velocity, drop, friction=9.0)
    change = dragged.gas.only - free.gas.only
    assert change[90] == -9.0
    assert change[270] == 9.0
    assert np.array_equal(dragged.inertia, free.inertia)


def test_a_lighter_ring_stays_longer() -> None:
    motion = posed_motion(TRAIN, pose(TRAIN, ANGLE))
    drop = BySpeed.steady(np.full(720, 5e4))
    limits = []
    for mass in (0.004, 0.016):
        ring = Ring(mass, RING.flank_area)
        seat = ring_seat_force(ring, motion.acceleration, motion.velocity, drop)
        limits.append(allowed_speeds(seat.gas.only, seat.inertia, lower=0.0).high)
    assert limits[0] == pytest.approx(2 * limits[1], rel=1e-12)


def test_pin_results_are_in_proportion_to_the_load() -> None:
    loads = np.array([-1e4, 0.0, 1e4, 3e4])
    found = pin_stress(PIN, loads, 210e9)
    for field in dataclasses.fields(found):
        values = getattr(found, field.name)
        assert values == pytest.approx(values[..., [2]] * loads / 1e4, rel=1e-13)
        assert np.all(values[2] > 0) or field.name == "hoop"


def test_a_smaller_bore_is_stronger() -> None:
    thick = dataclasses.replace(PIN, inner_diameter=0.011)
    load = np.array([2e4])
    heavy, light = pin_stress(thick, load, 210e9), pin_stress(PIN, load, 210e9)
    for name in ("bending", "shear", "ovalisation", "hoop"):
        assert np.all(np.abs(getattr(heavy, name)) < np.abs(getattr(light, name)))
    assert simple_pin_bending(load, 0.08, thick) < simple_pin_bending(load, 0.08, PIN)


@pytest.mark.parametrize("ratio", [0.81, 0.864, 0.87, 0.95])
def test_a_thin_pin_grows_more_the_thinner_its_wall(ratio: float) -> None:
    """The fitted spread 0.1 - (α - 0.4)³ passes zero at 0.864: it must not be used there."""
    load = np.array([3e4])
    at_range = dataclasses.replace(PIN, inner_diameter=0.8 * PIN.outer_diameter)
    thin = dataclasses.replace(PIN, inner_diameter=ratio * PIN.outer_diameter)
    thinner = dataclasses.replace(PIN, inner_diameter=(ratio + 0.02) * PIN.outer_diameter)
    growths = [pin_stress(pin, load, 210e9).ovalisation.item() for pin in (at_range, thin, thinner)]
    assert 0 < growths[0] < growths[1] < growths[2]
    hoops = [np.abs(pin_stress(pin, load, 210e9).hoop).max() for pin in (at_range, thin, thinner)]
    assert 0 < hoops[0] < hoops[1] < hoops[2]


def test_a_thick_pin_is_not_given_an_ovality_that_was_not_fitted() -> None:
    thick = dataclasses.replace(PIN, inner_diameter=0.39 * PIN.outer_diameter)
    found = pin_stress(thick, np.array([3e4]), 210e9)
    assert np.isnan(found.ovalisation).all()
    assert np.isnan(found.hoop).all()
    assert np.isfinite(found.bending).all()


def test_the_thin_ring_by_the_energy_of_its_bending() -> None:
    """Castigliano by quadrature: a quarter ring, M = M0 + P R (1 - cos φ)/2 from square to load.

    The redundant moment M0 turns the section not at all; a unit pull square to the load gives the
    growth there. Shear and stretch are left out, as the closed form leaves them out.
    """
    pin = dataclasses.replace(PIN, inner_diameter=0.9 * PIN.outer_diameter)
    load, modulus = 1e4, 206e9
    radius = (pin.outer_diameter + pin.inner_diameter) / 4
    wall = (pin.outer_diameter - pin.inner_diameter) / 2
    bending = modulus * pin.length * wall**3 / 12
    angle = (np.arange(20000) + 0.5) / 20000 * math.pi / 2
    free = -load * radius * (1 - np.cos(angle)) / 2
    moment = free - free.mean()
    unit = radius * np.sin(angle) / 2  # of a pair of unit pulls square to the load, half each
    unit = unit - unit.mean()
    growth = 4 * (moment * unit).mean() * math.pi / 2 * radius / bending
    found = thin_ring(pin, np.array([load]), modulus)
    assert found.growth.item() == pytest.approx(abs(growth), rel=1e-6)
    section = pin.length * wall**2 / 6
    push = load / 2 / (pin.length * wall)
    assert found.hoop[0].item() == pytest.approx(moment[0] / section - push, rel=1e-4)
    assert found.hoop[3].item() == pytest.approx(-moment[-1] / section, rel=1e-4)
    assert found.hoop[0] + found.hoop[1] == pytest.approx(-2 * push, rel=1e-9)


def test_the_speed_at_a_boss_pressure_is_the_speed_at_its_load() -> None:
    """Stress as gas and inertia: what holds for the load holds for the pressure."""
    motion = posed_motion(TRAIN, pose(TRAIN, ANGLE))
    gas = 4e4 * np.exp(-(((ANGLE - 0.3) / 0.4) ** 2))
    inertia = -0.4 * motion.acceleration
    pressures = [pin_stress(PIN, load, 210e9).boss_pressure for load in (gas, inertia)]
    at_pressure = speeds_at(69e6, *pressures)
    at_load = speeds_at(69e6 * 0.022 * 0.036, gas, inertia)
    assert at_pressure == pytest.approx(at_load, rel=1e-12)
    assert at_pressure.size > 0


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("inner_diameter", 0.022),
        ("inner_diameter", 0.0),
        ("small_end_width", 0.033),
        ("boss_gap", 0.068),
        ("boss_gap", math.nan),
    ],
)
def test_a_pin_must_go_together(field, value) -> None:
    with pytest.raises(DesignError):
        dataclasses.replace(PIN, **{field: value})


def test_pressure_is_over_the_projected_area() -> None:
    found = projected_pressure(np.array([1e4]), 0.02, 0.025)
    assert found.item() == pytest.approx(20e6, rel=1e-14)


def test_guides_name_their_source_and_rise() -> None:
    for guide in (*MEAN_PISTON_SPEED_GUIDES, *PIN_PRESSURE_GUIDES, *PIN_STRESS_GUIDES):
        assert guide.source
        assert 0 <= guide.low <= guide.high
