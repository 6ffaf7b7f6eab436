"""Dampers: one main inertia before a wall against closed forms, and dampers in a chain."""

import math
from dataclasses import replace

import numpy as np
import pytest

from kinematics.errors import DesignError
from kinematics.torsion.torsion_damper import (
    OPTIMA,
    amplification,
    optimum_damper,
    tuned_optimum,
    untuned_optimum,
    with_damper,
)
from kinematics.torsion.torsion_modes import torsion_modes
from kinematics.torsion.torsion_response import (
    forced_response,
)
from kinematics.torsion.torsional_system import TorsionalSystem
from tests.kinematics.torsion.six_chain import SIX, WALL

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
