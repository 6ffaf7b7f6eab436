"""ASTM D341's line through viscosities at 40 and 100 °C, to the printed digits.

ASTM D341 (relation from memory; the figures recomputed independently).
"""

import numpy as np
import pytest

from kinematics import DesignError
from kinematics.design.oil_viscosity import walther_oil

KELVIN = 273.15


def oil(at_40, at_100):
    return walther_oil(((40 + KELVIN, at_40 * 1e-6), (100 + KELVIN, at_100 * 1e-6)))


@pytest.mark.parametrize(
    ("at_40", "at_100", "a", "b", "others"),
    [
        (95.0, 14.0, 7.82619, 3.01685, (23.198, 9.2357, 5.5921)),
        (100.0, 11.1, 9.20341, 3.56675, (19.465, 7.0581, 4.1360)),
    ],
)
def test_constants_and_viscosities_at_80_120_and_150(at_40, at_100, a, b, others):
    found = oil(at_40, at_100)
    assert found.intercept == pytest.approx(a, abs=6e-6)
    assert found.slope == pytest.approx(b, abs=6e-6)
    shown = found.kinematic_viscosity(np.array([80.0, 120.0, 150.0]) + KELVIN) * 1e6
    np.testing.assert_allclose(shown, others, rtol=3e-5)
    ends = found.kinematic_viscosity(np.array([40.0, 100.0]) + KELVIN) * 1e6
    np.testing.assert_allclose(ends, (at_40, at_100), rtol=1e-10)


def test_dynamic_viscosity_is_density_times_it():
    at = np.array([373.15])
    assert oil(95.0, 14.0).dynamic_viscosity(at, 830.0)[0] == pytest.approx(830 * 14e-6)


@pytest.mark.parametrize("pair", [(10.0, 20.0), (0.2, 0.1), (float("nan"), 5.0), (50.0, 50.0)])
def test_no_oil_is_refused(pair):
    with pytest.raises(DesignError):
        oil(*pair)
