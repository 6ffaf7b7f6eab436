"""Area of a round section against the integral over its radius."""

import numpy as np
import pytest

from kinematics.mechanics.round_area import round_area


def test_the_area_is_the_integral_of_its_rings() -> None:
    radius = np.linspace(0.004, 0.01, 20001)
    rings = np.trapezoid(2 * np.pi * radius, radius)
    assert round_area(0.02, 0.008) == pytest.approx(rings, rel=1e-12)
    assert round_area(0.02) == pytest.approx(rings + round_area(0.008), rel=1e-12)


def test_of_many_diameters_it_has_their_shape() -> None:
    found = round_area(np.array([0.01, 0.02]), 0.005)
    assert found.tolist() == [round_area(0.01, 0.005), round_area(0.02, 0.005)]
