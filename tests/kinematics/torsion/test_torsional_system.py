"""A chain of inertias refuses what is none."""

import math

import pytest

from kinematics.errors import DesignError
from kinematics.torsion.torsional_system import TorsionalSystem


@pytest.mark.parametrize(
    ("fields", "blamed"),
    [
        ({"inertias": (1.0,), "stiffnesses": ()}, "torsion.inertias"),
        ({"inertias": (1.0, 0.0)}, "torsion.inertias"),
        ({"inertias": (1.0, math.nan)}, "torsion.inertias"),
        ({"stiffnesses": (1.0, 1.0)}, "torsion.stiffnesses"),
        ({"stiffnesses": (-1.0,)}, "torsion.stiffnesses"),
        ({"ground_damping": (1.0,)}, "torsion.ground_damping"),
        ({"span_damping": (math.inf,)}, "torsion.span_damping"),
    ],
)
def test_bad_systems_are_refused(fields: dict[str, tuple[float, ...]], blamed: str) -> None:
    with pytest.raises(DesignError) as error:
        TorsionalSystem(**({"inertias": (1.0, 1.0), "stiffnesses": (1.0,)} | fields))
    assert error.value.field == blamed
