"""Harmonics of piston acceleration over r ω²: exact binomial sums of the classical series.

Den Hartog, Mechanical Vibrations, section 5.2; Biezeno and Grammel, Technische Dynamik, vol. 2
(series from memory); the table (recomputed) to six decimals.
"""

import math

import numpy as np
import pytest

from kinematics.mechanics.slider_crank import (
    SliderCrank,
    acceleration_harmonics,
    classical_harmonics,
    pose,
)

TABLE = {
    0.20: (0.202038, -0.002062, 0.000024, 0.0),
    0.22: (0.222724, -0.002762, 0.000039, -0.000001),
    0.24: (0.243553, -0.003612, 0.000060, -0.000001),
    0.25: (0.254025, -0.004098, 0.000074, -0.000001),
    0.26: (0.264539, -0.004628, 0.000091, -0.000002),
    0.28: (0.285699, -0.005830, 0.000134, -0.000003),
    1 / 3.5: (0.291780, -0.006211, 0.000149, -0.000004),
    0.30: (0.307051, -0.007238, 0.000192, -0.000005),
    1 / 3: (0.343109, -0.010099, 0.000334, -0.000011),
    0.35: (0.361382, -0.011800, 0.000434, -0.000016),
    0.40: (0.417325, -0.018175, 0.000891, -0.000043),
}
DIGIT = 5.1e-7


@pytest.mark.parametrize(("ratio", "row"), TABLE.items())
def test_table(ratio: float, row: tuple[float, ...]) -> None:
    exact = acceleration_harmonics(SliderCrank(ratio, 1.0))
    assert exact[1] == pytest.approx(1.0, abs=1e-14)
    np.testing.assert_allclose(exact[2::2].real, row, atol=DIGIT)
    np.testing.assert_allclose(classical_harmonics(1 / ratio, terms=12)[2::2], row, atol=DIGIT)


@pytest.mark.parametrize("ratio", TABLE)
def test_no_other_odd_orders_and_no_sines(ratio: float) -> None:
    exact = acceleration_harmonics(SliderCrank(ratio, 1.0))
    np.testing.assert_allclose(exact[[0, 3, 5, 7]], 0, atol=1e-14)
    np.testing.assert_allclose(exact.imag, 0, atol=1e-14)


@pytest.mark.parametrize("ratio", TABLE)
def test_sums_at_the_dead_centres(ratio: float) -> None:
    """1 + A2 + A4 + … = 1 + λ at TDC, and -1 + A2 + A4 + … = -(1 - λ) at BDC, exactly."""
    orders = np.arange(41)
    exact = acceleration_harmonics(SliderCrank(ratio, 1.0), 40).real
    assert exact.sum() == pytest.approx(1 + ratio, abs=1e-13)
    assert (exact * (-1.0) ** orders).sum() == pytest.approx(-(1 - ratio), abs=1e-13)


@pytest.mark.parametrize("ratio", [0.2, 0.25, 1 / 3])
def test_printed_series(ratio: float) -> None:
    """The terms of each order as the books print them, to the fourth power kept."""
    found = classical_harmonics(1 / ratio, terms=4)
    l = ratio
    assert found[2] == pytest.approx(l + l**3 / 4 + 15 * l**5 / 128 + 35 * l**7 / 512, rel=1e-14)
    first_terms = classical_harmonics(1 / ratio, terms=3)
    assert first_terms[4] == pytest.approx(-(l**3 / 4 + 3 * l**5 / 16 + 35 * l**7 / 256), rel=1e-14)
    two_terms = classical_harmonics(1 / ratio, terms=2)
    assert two_terms[6] == pytest.approx(9 * l**5 / 128 + 45 * l**7 / 512, rel=1e-14)


def test_second_order_error_of_displacement() -> None:
    """NPTEL, Dynamics of Machines, module 4, lecture 1: 0.05 % at r/l = 0.25, at 90°."""
    exact = float(pose(SliderCrank(0.25, 1.0), np.array(math.pi / 2)).cos_rod)
    assert (1 - 0.25**2 / 2) / exact - 1 == pytest.approx(0.0005, abs=5e-5)
