"""Chains of inertias: closed forms, energy, Holzer against eigenvalues."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kinematics.errors import DesignError
from kinematics.torsion.torsion_modes import critical_speeds, holzer, torsion_modes
from kinematics.torsion.torsional_system import TorsionalSystem
from kinematics.units import UNITS
from tests.kinematics.torsion.six_chain import SIX, WALL

sizes = st.floats(1e-3, 1e2)


def chains(count: int) -> st.SearchStrategy[TorsionalSystem]:
    return st.builds(
        TorsionalSystem,
        st.tuples(*[sizes] * count),
        st.tuples(*[st.floats(1e4, 1e7)] * (count - 1)),
        st.tuples(*[st.floats(0.1, 10)] * count),
        st.tuples(*[st.floats(0.1, 10)] * (count - 1)),
    )


alike = st.floats(0.5, 2.0)


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
