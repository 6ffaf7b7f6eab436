"""The slider-crank against its own definition: dead centres, derivatives, symmetry, SymPy."""

import math

import numpy as np
import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st

from kinematics.mechanics.slider_crank import (
    PistonMotion,
    SliderCrank,
    acceleration_harmonics,
    piston_motion,
    pose,
    two_term_acceleration,
)
from tests.kinematics.random_designs import slider_cranks

CYCLE = np.arange(1024) * (2 * np.pi / 1024)
FIELDS = PistonMotion.__dataclass_fields__


def spectral_derivative(signal: np.ndarray) -> np.ndarray:
    """Derivative of a periodic signal given over one turn."""
    transform = np.fft.rfft(signal)
    transform *= 1j * np.arange(transform.size)
    transform[-1] = 0
    return np.fft.irfft(transform, signal.size)


@pytest.mark.parametrize("ratio", [0.2, 0.25, 0.3, 0.5])
def test_accelerations_at_the_dead_centres(ratio: float) -> None:
    motion = piston_motion(SliderCrank(ratio, 1.0), np.array([0.0, np.pi]), speed=3.0)
    expected = np.array([1 + ratio, -(1 - ratio)]) * ratio * 9
    np.testing.assert_allclose(motion.acceleration, expected, rtol=1e-12)
    np.testing.assert_allclose(motion.velocity, 0, atol=1e-12)
    np.testing.assert_allclose(motion.displacement, [0, 2 * ratio], atol=1e-12)


@given(slider_cranks())
def test_true_dead_centres_with_an_offset(train: SliderCrank) -> None:
    """The piston stands still at both, and nowhere is it higher or lower."""
    at = np.array([train.top_dead_centre, train.bottom_dead_centre])
    motion = piston_motion(train, at)
    np.testing.assert_allclose(motion.displacement, [0, train.stroke], atol=1e-12)
    np.testing.assert_allclose(motion.velocity, 0, atol=1e-12)
    whole = piston_motion(train, CYCLE).displacement
    assert whole.min() >= -1e-12
    assert whole.max() <= train.stroke + 1e-12


@given(slider_cranks())
def test_rates_are_derivatives(train: SliderCrank) -> None:
    motion = piston_motion(train, CYCLE)
    for value, rate in (
        (motion.displacement, motion.velocity),
        (motion.velocity, motion.acceleration),
        (motion.rod_angle, motion.rod_angular_velocity),
        (motion.rod_angular_velocity, motion.rod_angular_acceleration),
    ):
        np.testing.assert_allclose(spectral_derivative(value), rate, atol=1e-9 * np.abs(rate).max())


@given(slider_cranks(), st.floats(-50, 50))
def test_the_linkage_closes(train: SliderCrank, angle: float) -> None:
    """From the crank's centre over the pin and along the rod to the piston pin at -offset."""
    at = pose(train, np.array(angle))
    x = train.crank_radius * at.sin_crank - train.rod_length * at.sin_rod
    assert float(x) == pytest.approx(-train.pin_offset, abs=1e-12)
    y = train.crank_radius * at.cos_crank + train.rod_length * at.cos_rod
    motion = piston_motion(train, np.array(angle))
    assert float(y) == pytest.approx(train.top - float(motion.displacement), abs=1e-12)


@given(slider_cranks())
def test_mirror(train: SliderCrank) -> None:
    """The offset turned about and the crank turned the other way are the same engine, seen in a
    mirror: even quantities keep their sign, odd ones change it."""
    mirrored = SliderCrank(train.crank_radius, train.rod_length, -train.pin_offset)
    one, other = piston_motion(train, CYCLE), piston_motion(mirrored, -CYCLE)
    for field in ("displacement", "acceleration", "rod_angular_velocity"):
        np.testing.assert_allclose(getattr(other, field), getattr(one, field), atol=1e-12)
    for field in ("velocity", "rod_angle", "rod_angular_acceleration"):
        np.testing.assert_allclose(getattr(other, field), -getattr(one, field), atol=1e-12)


@given(slider_cranks(), st.floats(0.1, 3000))
def test_speed_scales_rates(train: SliderCrank, speed: float) -> None:
    unit, found = piston_motion(train, CYCLE), piston_motion(train, CYCLE, speed=speed)
    powers = {"velocity": 1, "acceleration": 2}
    powers |= {"rod_angular_velocity": 1, "rod_angular_acceleration": 2}
    for field in FIELDS:
        expected = getattr(unit, field) * speed ** powers.get(field, 0)
        np.testing.assert_allclose(getattr(found, field), expected, rtol=1e-12, err_msg=field)


@given(slider_cranks(), st.floats(0.01, 100))
def test_length_scales_the_piston_and_leaves_the_rod(train: SliderCrank, factor: float) -> None:
    large = SliderCrank(
        train.crank_radius * factor, train.rod_length * factor, train.pin_offset * factor
    )
    one, other = piston_motion(train, CYCLE), piston_motion(large, CYCLE)
    size = factor * train.rod_length
    for field in ("displacement", "velocity", "acceleration"):
        found, expected = getattr(other, field), factor * getattr(one, field)
        np.testing.assert_allclose(found, expected, atol=1e-12 * size)
    np.testing.assert_allclose(other.rod_angle, one.rod_angle, atol=1e-12)


def test_a_long_rod_gives_a_cosine() -> None:
    """What is left is of the size r/l."""
    motion = piston_motion(SliderCrank(1.0, 1e6), CYCLE)
    np.testing.assert_allclose(motion.displacement, 1 - np.cos(CYCLE), atol=1e-6)
    np.testing.assert_allclose(motion.acceleration, np.cos(CYCLE), atol=1.1e-6)


@pytest.mark.parametrize("shape", [(), (1,), (720,), (3, 5), (0,)])
def test_any_shape_goes_in_and_comes_out(shape: tuple[int, ...]) -> None:
    angle = np.linspace(0, 7, math.prod(shape)).reshape(shape)
    motion = piston_motion(SliderCrank(0.04, 0.14, 0.001), angle)
    for field in FIELDS:
        assert np.shape(getattr(motion, field)) == shape, field


@given(slider_cranks())
def test_harmonics_rebuild_the_acceleration(train: SliderCrank) -> None:
    harmonics = acceleration_harmonics(train, 100)
    order = np.arange(harmonics.size)
    rebuilt = (harmonics * np.exp(1j * order * CYCLE[:, None])).real.sum(axis=1)
    exact = piston_motion(train, CYCLE).acceleration / train.crank_radius
    np.testing.assert_allclose(rebuilt, exact, atol=1e-9)


def test_two_terms_err_by_the_third_power_of_the_ratio() -> None:
    """At r/l = 0.25 and 0.30 by 0.0082 and 0.0145 of r ω², as the next harmonics say."""
    for ratio, error in ((0.25, 0.0082), (0.30, 0.0145)):
        train = SliderCrank(1.0, 1 / ratio)
        exact = piston_motion(train, CYCLE).acceleration
        difference = np.abs(two_term_acceleration(train, CYCLE, speed=1.0) - exact)
        assert difference.max() == pytest.approx(error, abs=5e-5)


@pytest.fixture(scope="module")
def derived() -> dict[str, object]:
    """The motion as SymPy differentiates it, at 1 rad/s."""
    angle, r, l, e = sympy.symbols("angle r l e", real=True)
    rod_angle = sympy.asin((r * sympy.sin(angle) + e) / l)
    height = r * sympy.cos(angle) + l * sympy.cos(rod_angle)
    top = sympy.sqrt((l + r) ** 2 - e**2)
    expressions = {
        "displacement": top - height,
        "velocity": -sympy.diff(height, angle),
        "acceleration": -sympy.diff(height, angle, 2),
        "rod_angle": rod_angle,
        "rod_angular_velocity": sympy.diff(rod_angle, angle),
        "rod_angular_acceleration": sympy.diff(rod_angle, angle, 2),
    }
    arguments = (angle, r, l, e)
    return {name: sympy.lambdify(arguments, one, "numpy") for name, one in expressions.items()}


@pytest.mark.parametrize("seed", range(12))
def test_sympy_derives_the_same(seed: int, derived) -> None:
    random = np.random.default_rng(seed)
    radius = random.uniform(0.02, 0.5)
    train = SliderCrank(radius, radius * random.uniform(2.2, 7), radius * random.uniform(-0.6, 0.6))
    angle = random.uniform(-20, 20, 200)
    motion = piston_motion(train, angle)
    for field in FIELDS:
        expected = derived[field](angle, train.crank_radius, train.rod_length, train.pin_offset)
        np.testing.assert_allclose(
            getattr(motion, field), expected, atol=1e-9 * np.abs(expected).max(), err_msg=field
        )
