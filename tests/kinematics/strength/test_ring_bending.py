"""A ring in bending: the textbook's coefficients, equilibrium, rigid parts."""

import math

import numpy as np
import pytest
from scipy.integrate import quad

from kinematics.array import Array
from kinematics.strength.ring_bending import POINTS, half_ring_angles, ring_change

RADIUS, FLEXIBILITY, PULL = 0.03, 1 / 250.0, 2e4
STEP = math.pi / POINTS


def two_point_loads() -> Array:
    load = np.zeros(POINTS)
    load[0] = load[-1] = PULL / 2 / (RADIUS * STEP)  # the half ring has half of each
    return load


def in_textbook_form(change: float) -> float:
    return change / (PULL * RADIUS**3 * FLEXIBILITY)


def even(load: Array) -> tuple[float, float]:
    found = ring_change(np.full(POINTS, FLEXIBILITY), RADIUS, load)
    return in_textbook_form(found.opening), in_textbook_form(found.closing)


def test_two_opposed_loads_change_a_ring_as_castigliano_s_integrals_say():
    """M = W R (1/π - sin θ / 2); a unit load along gives the same / W, one across it turned."""

    def by_pull(angle: float) -> float:
        return 1 / math.pi - math.sin(angle) / 2

    def across(angle: float) -> float:
        return 1 / math.pi - abs(math.cos(angle)) / 2

    opening = 4 * quad(lambda at: by_pull(at) ** 2, 0, math.pi / 2)[0]
    closing = -4 * quad(lambda at: by_pull(at) * across(at), 0, math.pi / 2)[0]
    assert opening == pytest.approx(math.pi / 4 - 2 / math.pi, rel=1e-12)
    assert closing == pytest.approx(2 / math.pi - 1 / 2, rel=1e-12)
    assert even(two_point_loads()) == pytest.approx((opening, closing), rel=1e-5)


def test_a_cosine_over_both_halves_changes_a_ring_as_its_fourier_sum():
    """w_k = q_k R⁴ / (E I (k² - 1)²) of each even harmonic k of |cos|, 4/π / (k² - 1), signed."""
    load = np.abs(np.cos(half_ring_angles())) * 2 * PULL / (math.pi * RADIUS)
    along = across = 0.0
    for k in range(2, 60, 2):
        sign = (-1) ** (k // 2)
        harmonic = -sign * 8 / math.pi**2 / (k * k - 1) ** 3
        along += 2 * harmonic
        across += -2 * harmonic * sign
    assert even(load) == pytest.approx((along, across), rel=1e-5)


def test_an_even_pressure_bends_nothing():
    largest = max(map(abs, even(np.full(POINTS, PULL / RADIUS))))
    assert largest < 1e-6


def test_stiffness_scales_with_section_and_radius():
    angle = half_ring_angles()
    section = np.where(angle < 0.8, 1.0, 0.2) * FLEXIBILITY
    load = np.maximum(np.cos(angle), 0) * PULL / RADIUS
    base = ring_change(section, RADIUS, load)
    thicker = ring_change(section / 8, RADIUS, load)
    wider = ring_change(section, 2 * RADIUS, load / 2)  # the same pull
    assert base.closing > 0
    assert base.opening > 0
    assert thicker.closing == pytest.approx(base.closing / 8, rel=1e-9)
    assert wider.opening == pytest.approx(8 * base.opening, rel=1e-9)


@pytest.mark.parametrize("rigid_from", [1.0, 1.8, 2.5])
def test_a_rigid_part_stiffens_the_ring(rigid_from):
    """What lies beyond bends nothing: neither the load there nor where it is borne counts."""
    angle = half_ring_angles()
    flexibility = np.where(angle < rigid_from, FLEXIBILITY, 0.0)
    load = np.maximum(np.cos(angle), 0) * PULL / RADIUS
    beyond = np.where(angle > max(rigid_from, math.pi / 2), PULL / RADIUS, 0.0)
    own = ring_change(flexibility, RADIUS, load)
    soft = ring_change(np.full(POINTS, FLEXIBILITY), RADIUS, load)
    assert 0 < own.opening < soft.opening
    if rigid_from > math.pi / 2:
        assert 0 < own.closing < soft.closing
    else:
        assert own.closing == pytest.approx(0, abs=1e-12)
    same = ring_change(flexibility, RADIUS, load + beyond)
    assert same.opening == pytest.approx(own.opening, rel=1e-9)
