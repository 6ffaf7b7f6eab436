"""Stiffness of shafts and throws in closed form; the running gear's mean inertia."""

from dataclasses import replace

import numpy as np
import pytest

from kinematics.errors import DesignError
from kinematics.mechanics.slider_crank import SliderCrank, piston_motion
from kinematics.torsion.shaft_stiffness import (
    CrankThrow,
    cylinder_stiffness,
    running_gear_inertia,
    series_stiffness,
    throw_stiffness,
)


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
