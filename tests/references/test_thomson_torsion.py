"""Thomson, Theory of Vibration with Applications, example 12.4-1, Holzer's method (from memory).

Three discs 5, 11, 22 kg·m² with shafts of 0.10e6 and 0.20e6 N·m/rad, free at both ends; the
residuals (recomputed).
"""

import numpy as np
import pytest

from kinematics.torsion.torsion_modes import holzer, torsion_modes
from kinematics.torsion.torsional_system import TorsionalSystem

DISCS = TorsionalSystem((5.0, 11.0, 22.0), (0.10e6, 0.20e6))


def test_natural_frequencies() -> None:
    found = torsion_modes(DISCS).angular_frequency
    np.testing.assert_allclose(found, [0, 123.666, 202.658], rtol=0, atol=5.1e-4)
    np.testing.assert_allclose(found[1:], [123.6658, 202.65835], rtol=0, atol=5.1e-5)


def test_mode_shapes() -> None:
    expected = [[1, 1, 1], [1, 0.2353, -0.3449], [1, -1.0535, 0.2995]]
    np.testing.assert_allclose(torsion_modes(DISCS).shape, expected, rtol=0, atol=5.1e-5)


def test_holzer_table() -> None:
    table = holzer(DISCS, np.array([20.0, 40.0]))
    expected = [[1, 0.98, 0.94844], [1, 0.92, 0.79904]]
    np.testing.assert_allclose(table.angle, expected, rtol=0, atol=5.1e-6)
    np.testing.assert_allclose(table.torque[0], [2000, 6312, 14658.3], rtol=0, atol=0.051)
    assert table.residual[1] == pytest.approx(52318.2, abs=0.051)
