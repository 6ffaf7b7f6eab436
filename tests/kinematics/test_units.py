"""Units at the doors: factors, offsets, and no drift over round trips."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kinematics.units import UNITS, Unit

KEYS = sorted(UNITS)


@pytest.mark.parametrize(
    ("key", "shown", "si"),
    [
        ("mm", 86.0, 0.086),
        ("um", 30.0, 30e-6),
        ("g", 460.0, 0.46),
        ("kg_mm", 18.0, 0.018),
        ("kg_mm2", 2100.0, 2.1e-3),
        ("deg", 180.0, np.pi),
        ("rpm", 60.0, 2 * np.pi),
        ("bar", 1.0, 1e5),
        ("MPa", 1.0, 1e6),
        ("kN", 1.0, 1e3),
        ("mPa_s", 8.0, 8e-3),
        ("degC", 100.0, 373.15),
        ("degC", -273.15, 0.0),
        ("percent", 75.0, 0.75),
        ("kW", 1.0, 1e3),
        ("km_s2", 1.0, 1e3),
        ("", 7.0, 7.0),
    ],
)
def test_known_values(key: str, shown: float, si: float) -> None:
    assert UNITS[key].to_si(shown) == pytest.approx(si, rel=1e-15, abs=1e-12)
    assert UNITS[key].from_si(si) == pytest.approx(shown, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("key", KEYS)
@given(shown=st.integers(-(10**7), 10**7).map(lambda whole: whole / 1000))
def test_typed_values_come_back_as_typed(key: str, shown: float) -> None:
    unit: Unit = UNITS[key]
    assert unit.from_si(unit.to_si(shown)) == pytest.approx(shown, rel=1e-12, abs=1e-9)
    if unit.offset == 0:
        assert unit.from_si(unit.to_si(shown)) == shown


@pytest.mark.parametrize("key", KEYS)
def test_arrays_as_single_values(key: str) -> None:
    unit, values = UNITS[key], np.array([[0.0, 1.0], [-3.5, 2e4]])
    expected = [[unit.from_si(float(value)) for value in row] for row in values]
    np.testing.assert_allclose(unit.array_from_si(values), expected, rtol=1e-11, atol=1e-9)
