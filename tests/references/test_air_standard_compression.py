"""Compression and expansion as polytropes.

Moran and Shapiro, Fundamentals of Engineering Thermodynamics, 5th ed., example 9.1 (inputs
worked solutions): ratio 8, 1 bar, 53.33 bar; Cengel and Boles, Thermodynamics, 5th ed., example
9-2 (worked solutions): ratio 8, 100 kPa; pressures of the cold-air cycle (recomputed). Powers
10^1.3 and 14^1.35 (recomputed; the latter as Khurmi and Gupta, example 15.13, uses it).
"""

import numpy as np
import pytest

from kinematics.train.cylinder_pressure import ClosedCycle

BEFORE = 1e-3  # m³ at the start of compression


def polytropes(start: float, exponent: float, level: float = 0.0) -> ClosedCycle:
    return ClosedCycle(start, 1e5, BEFORE, exponent, exponent, level, 0.0, 1.0, -3.0, 3.0)


@pytest.mark.parametrize(
    ("start", "ratio", "exponent", "end"),
    [
        (1e5, 8, 1.4, 18.3792e5),
        (2e5, 8, 1.4, 2 * 1837.92e3),
        (100e3, 10, 1.4, 2511.89e3),
        (1.0, 10, 1.3, 19.95262),
        (1.0, 14, 1.35, 35.25923),
    ],
)
def test_compression(start: float, ratio: float, exponent: float, end: float) -> None:
    model = polytropes(start, exponent)
    assert float(model.compression(np.array(BEFORE / ratio))) == pytest.approx(end, rel=3e-6)


@pytest.mark.parametrize(
    ("ratio", "highest", "end"), [(8, 53.3333e5, 2.90184e5), (10, 4144.61e3, 165.0e3)]
)
def test_expansion(ratio: float, highest: float, end: float) -> None:
    model = polytropes(1e5, 1.4, highest * (BEFORE / ratio) ** 1.4)
    assert float(model.expansion(np.array(BEFORE))) == pytest.approx(end, rel=3e-6)
