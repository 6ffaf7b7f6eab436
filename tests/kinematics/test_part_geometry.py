"""Shapes for the views: what the design gives is kept, counterweights hold their moment."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kinematics import Design
from kinematics.balance import throw_positions
from kinematics.part_geometry import STEEL_DENSITY, part_geometry, sector_unbalance
from tests.kinematics.random_designs import designs

SLOW = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))


@given(st.floats(0.01, 0.1), st.floats(0.001, 0.1), st.floats(0.05, math.pi / 2))
def test_sector_unbalance_is_an_integral(inner: float, more: float, half: float) -> None:
    """Of ρ t R cos α over the ring, by Gauss's rule."""
    nodes, weights = np.polynomial.legendre.leggauss(20)
    radius, angle = inner + more * (nodes + 1) / 2, half * nodes
    over_radius = (weights * radius**2).sum() * more / 2
    over_angle = (weights * np.cos(angle)).sum() * half
    expected = STEEL_DENSITY * 0.02 * over_radius * over_angle
    assert sector_unbalance(inner, inner + more, half, 0.02) == pytest.approx(expected, rel=1e-10)


@SLOW
@given(designs())
def test_counterweights_in_steel_hold_their_moment(design: Design) -> None:
    for weight in part_geometry(design).counterweights:
        found = sector_unbalance(
            weight.inner_radius, weight.outer_radius, weight.half_angle, weight.thickness
        )
        assert found == pytest.approx(weight.unbalance, rel=1e-9, abs=1e-12)


def numbers(record: object) -> list[float]:
    """All numbers of a tree of records."""
    if isinstance(record, bool | str):
        return []
    if isinstance(record, int | float):
        return [float(record)]
    if isinstance(record, tuple):
        return [number for one in record for number in numbers(one)]
    fields = dataclasses.fields(record)  # type: ignore[arg-type]
    return [number for field in fields for number in numbers(getattr(record, field.name))]


@SLOW
@given(designs())
def test_any_design_has_a_shape(design: Design) -> None:
    parts = part_geometry(design)
    assert np.isfinite(numbers(parts)).all()
    assert parts.block.bore == design.cylinder.bore
    assert parts.rod.length == design.cylinder.rod_length
    np.testing.assert_array_equal(parts.crankpin.z, throw_positions(design))
    assert len(parts.main_journal.z) == design.layout.throws + 1
    assert len(parts.cylinders) == design.layout.cylinders
    for shape in (parts.crankpin, parts.main_journal):
        assert shape.diameter > 0
        assert shape.length > 0


def test_rods_on_one_pin_stand_about_its_middle(base: Design) -> None:
    """And a single rod on it."""
    for place, z in zip(part_geometry(base).cylinders, throw_positions(base), strict=True):
        assert place.z == pytest.approx(z)
