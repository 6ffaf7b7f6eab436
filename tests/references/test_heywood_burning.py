"""Heywood, Internal Combustion Engine Fundamentals, 1988, section 9.2: the Wiebe function.

1 - exp(-a y^(m+1)) with a = 5, m = 2 (from memory); its table (recomputed).
"""

import math

import numpy as np
import pytest

from kinematics.train.cylinder_pressure import burnt_share

START, DURATION = math.radians(-12), math.radians(50)


def test_table() -> None:
    table = (0.0050, 0.0392, 0.1263, 0.2739, 0.4647, 0.6604, 0.8200, 0.9227, 0.9739, 0.9933)
    progress = np.arange(1, 11) / 10
    found = burnt_share(START + progress * DURATION, START, DURATION)
    np.testing.assert_allclose(found, table, atol=5.1e-5)


@pytest.mark.parametrize(("progress", "share"), [(0.276208, 0.1), (0.517549, 0.5), (0.772233, 0.9)])
def test_ten_fifty_ninety(progress: float, share: float) -> None:
    found = burnt_share(np.array(START + progress * DURATION), START, DURATION)
    assert float(found) == pytest.approx(share, abs=2e-6)


def test_nothing_burns_before_the_start() -> None:
    before = burnt_share(START - np.array([0.0, 1e-6, 1.0, 6.0]), START, DURATION)
    assert (before == 0).all()
