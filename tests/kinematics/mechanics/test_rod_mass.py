"""The two-mass rod keeps mass and centre of gravity, and says which inertia it leaves out."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kinematics.mechanics.rod_mass import two_mass_rod


@given(st.floats(0.01, 200), st.floats(0, 1), st.floats(1e-6, 100), st.floats(0.03, 2))
def test_mass_centre_and_inertia(mass: float, share: float, inertia: float, length: float) -> None:
    centre = share * length
    split = two_mass_rod(mass, centre, inertia, length)
    assert split.reciprocating + split.rotating == pytest.approx(mass, rel=1e-12)
    assert split.reciprocating * length == pytest.approx(mass * centre, rel=1e-12)
    pair = split.reciprocating * (length - centre) ** 2 + split.rotating * centre**2
    size = max(pair, inertia)
    assert pair + split.correction_inertia == pytest.approx(inertia, abs=1e-12 * size)
