"""Motored pressure integrated on its own: its loss angle, shift and zero are found again.

The first law of a cylinder that loses heat to its walls and gas past its rings,
dp/dφ = −γ·p/V·dV/dφ − (γ − 1)/V·h·A·(T − T_w)/ω + γ·p/m·dm/dφ with choked leakage, as in
J. B. Heywood, Internal Combustion Engine Fundamentals, 1988, sections 8.6 and 9.2.2 (from memory),
integrated by SciPy with a volume written out here. Both losses make the peak come before TDC by the
loss angle (M. J. Stas, SAE 960610, from memory); here the integration tells it, and the check is
given an encoder set late by a known angle and a pressure that lacks a known amount. The zero:
pegging at inlet BDC, and by p·Vⁿ of compression (A. L. Randolph, SAE 900170, from memory). Heat
coefficient, leaking area and wall temperature are assumed, as usual for a car's engine.
"""

import math
from functools import cache

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from kinematics import with_value
from kinematics.train.trace_check import LOSS_ANGLE, LOSS_SPREAD, intake_offset, tdc_check
from tests.demos import DEMOS

DESIGN = with_value(DEMOS["touring_six"], "cylinder.pin_offset_mm", 0.0)
CYLINDER = DESIGN.cylinder
GAMMA, GAS_CONSTANT, WALL = 1.4, 287.0, 400.0
CHOKED = math.sqrt(GAMMA) * (2 / (GAMMA + 1)) ** ((GAMMA + 1) / (2 * (GAMMA - 1)))
LOSSES = [(0.0, 0.0), (300.0, 0.0), (460.0, 0.5e-6), (460.0, 1.0e-6)]  # [W/(m²·K)] and [m²]
START = -math.pi  # shut from BDC on
SPEED = 1500 * math.pi / 30
AFTER = np.radians(np.arange(-360.0, 360.0, 0.1))
LACKING = 0.3e5


def volume(angle):
    """Clearance and swept volume of a centred slider-crank [m³]."""
    r, l, area = CYLINDER.crank_radius, CYLINDER.rod_length, math.pi / 4 * CYLINDER.bore**2
    travel = r * (1 - np.cos(angle)) + l - np.sqrt(l * l - (r * np.sin(angle)) ** 2)
    return area * (2 * r / (CYLINDER.compression_ratio - 1) + travel)


def widening(angle):
    """Its change with the crank angle [m³/rad]."""
    r, l, area = CYLINDER.crank_radius, CYLINDER.rod_length, math.pi / 4 * CYLINDER.bore**2
    sine, cosine = np.sin(angle), np.cos(angle)
    return area * r * sine * (1 + r * cosine / np.sqrt(l * l - (r * sine) ** 2))


@cache
def motored(coefficient: float, leak: float):
    """Pressure [Pa] at AFTER and the angle of its peak [rad] for a heat coefficient and a leak."""
    begun = DESIGN.pressure.intake
    mass = begun * volume(START) / (GAS_CONSTANT * 340.0)

    def rate(angle, state):
        pressure, held = state
        size = volume(angle)
        temperature = pressure * size / (held * GAS_CONSTANT)
        walls = 2 * math.pi / 4 * CYLINDER.bore**2 + 4 * size / CYLINDER.bore
        heat = coefficient * walls * (temperature - WALL) / SPEED
        lost = -CHOKED * leak * pressure / math.sqrt(GAS_CONSTANT * temperature) / SPEED
        rise = (-GAMMA * pressure * widening(angle) - (GAMMA - 1) * heat) / size
        return [rise + GAMMA * pressure * lost / held, lost]

    turn = -START
    made = solve_ivp(
        rate, (START, turn), [begun, mass], dense_output=True, rtol=1e-9, atol=[1e-3, 1e-12]
    )
    fine = np.linspace(-0.1, 0.1, 200_001)
    peak = float(fine[made.sol(fine)[0].argmax()])
    shut = np.clip(AFTER, START, turn)
    return np.where(np.abs(AFTER) <= turn, made.sol(shut)[0], begun), peak


def measured(losses, late: float):
    """What an encoder set late by an angle [rad] would record of it, lacking some pressure."""
    pressure, peak = motored(*losses)
    return np.interp(AFTER - late, AFTER, pressure, period=4 * math.pi) - LACKING, -peak


@pytest.mark.parametrize("late", [-2.0, 0.0, 1.5])
@pytest.mark.parametrize("losses", LOSSES)
def test_the_known_shift_is_found_with_the_known_loss_angle(losses, late: float):
    """Within 0.02°, of a parabola through a peak that is not quite one."""
    pressure, loss = measured(losses, math.radians(late))
    found = tdc_check(DESIGN, AFTER, pressure, loss_angle=loss)
    assert found.motored
    assert math.degrees(found.late) + 10 == pytest.approx(late + 10, abs=0.02)


@pytest.mark.parametrize("losses", LOSSES[2:])
def test_the_loss_angle_taken_covers_usual_heat_and_leakage(losses):
    """0.7° ± 0.3°; of heat alone it is a third of that."""
    _, peak = motored(*losses)
    assert -peak == pytest.approx(LOSS_ANGLE, abs=LOSS_SPREAD)


def test_an_adiabatic_cylinder_peaks_at_dead_centre():
    _, peak = motored(0.0, 0.0)
    assert abs(math.degrees(peak)) < 1e-3


@pytest.mark.parametrize("exponent", [1.28, 1.35, 1.4])
def test_a_polytrope_has_its_missing_pressure_and_exponent_found(exponent: float):
    """By p·Vⁿ from −110° on, a motored course that is one in truth."""
    shut = DESIGN.pressure.intake * (volume(-math.pi) / volume(AFTER)) ** exponent
    pressure = np.where(np.abs(AFTER) <= math.pi, shut, DESIGN.pressure.intake) - LACKING
    found = tdc_check(DESIGN, AFTER, pressure, loss_angle=0.0)
    assert found.exponent == pytest.approx(exponent, rel=1e-4)
    assert found.lacking == pytest.approx(LACKING, rel=2e-3)


def test_pegging_at_inlet_dead_centre_finds_what_is_missing():
    """The integration begins there at the design's intake pressure; straight before it."""
    pressure, _ = measured(LOSSES[1], 0.0)
    assert intake_offset(DESIGN, AFTER, pressure) == pytest.approx(LACKING, rel=0.05)
