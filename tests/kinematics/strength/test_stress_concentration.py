"""Stress concentration: scaling, fillet radius, limits of validity, refused dimensions."""

import itertools
import math
from dataclasses import astuple, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kinematics.errors import DesignError
from kinematics.strength.stress_concentration import (
    LEAST_OVERLAP,
    Factor,
    ThrowSection,
    bore_bending_factor,
    bore_torsion_factor,
    journal_bending_factor,
    journal_shear_factor,
    journal_torsion_factor,
    outside_validity,
    pin_bending_factor,
    pin_torsion_factor,
    stress_concentration,
)

CAR = ThrowSection(0.050, 0.060, 0.045, 0.018, 0.080, 0.0025, 0.0025, 0.006)
FILLET_FACTORS = (
    (pin_bending_factor, "pin_fillet"),
    (pin_torsion_factor, "pin_fillet"),
    (journal_bending_factor, "journal_fillet"),
    (journal_shear_factor, "journal_fillet"),
    (journal_torsion_factor, "journal_fillet"),
)


@given(st.floats(0.1, 20.0))
def test_size_does_not_matter(scale: float) -> None:
    scaled = ThrowSection(*(scale * value for value in astuple(CAR)))
    assert astuple(stress_concentration(scaled)) == pytest.approx(
        astuple(stress_concentration(CAR)), rel=1e-9
    )


@pytest.mark.parametrize(
    ("factor", "fillet"), FILLET_FACTORS, ids=lambda f: getattr(f, "__name__", f)
)
def test_a_larger_fillet_concentrates_less(factor, fillet: str) -> None:
    radii = [0.0016, 0.002, 0.003, 0.004, 0.006]
    values = [factor(replace(CAR, **{fillet: radius})).value for radius in radii]
    assert all(after < before for before, after in itertools.pairwise(values))
    assert min(values) > 1


@pytest.mark.parametrize(
    ("factor", "fillet", "exponent"),
    [
        (pin_bending_factor, "pin_fillet", -0.5231),
        (journal_bending_factor, "journal_fillet", -0.5568),
        (journal_shear_factor, "journal_fillet", -0.2038),
        (pin_torsion_factor, "pin_fillet", -0.322 + 0.1015 * 0.8),
    ],
)
def test_power_of_the_fillet(factor, fillet: str, exponent: float) -> None:
    doubled = factor(replace(CAR, **{fillet: 0.005})).value
    assert doubled / factor(CAR).value == pytest.approx(2**exponent, rel=1e-12)


def test_torsion_factors_agree_for_equal_pin_and_journal() -> None:
    same = replace(CAR, journal_diameter=0.050)
    assert journal_torsion_factor(same).value == pin_torsion_factor(same).value


def test_factor_is_the_product_of_its_parts() -> None:
    assert Factor(2.0, (("a", 3.0), ("b", 0.5))).value == 3.0
    factor = pin_bending_factor(CAR)
    assert factor.value == pytest.approx(
        factor.constant * math.exp(sum(math.log(value) for _, value in factor.parts)), rel=1e-12
    )


def test_small_oil_bores_tend_to_a_hole_in_a_plane() -> None:
    """Kirsch: 3 under tension, 4 under shear."""
    tiny = replace(CAR, oil_bore=1e-9)
    assert bore_bending_factor(tiny) == pytest.approx(3.0, abs=1e-6)
    assert bore_torsion_factor(tiny) == pytest.approx(4.0, abs=1e-6)


def test_hollow_shafts_bend_by_their_bores() -> None:
    """Only the bores' own parts change, by the polynomials at d = 0.4."""
    hollow = replace(CAR, pin_bore=0.020, journal_bore=0.020)
    pin = (0.9978 + 0.3145 * 0.4 - 1.5241 * 0.16 + 2.4147 * 0.064) / 0.9978
    journal = (0.9993 + 0.27 * 0.4 - 1.0211 * 0.16 + 0.5306 * 0.064) / 0.9993
    ratio = pin_bending_factor(hollow).value / pin_bending_factor(CAR).value
    assert ratio == pytest.approx(pin * journal, rel=1e-12)
    assert pin_torsion_factor(hollow) == pin_torsion_factor(CAR)
    sheared = journal_shear_factor(hollow).value / journal_shear_factor(CAR).value
    assert sheared == pytest.approx((0.9937 - 1.1949 * 0.4 + 1.7373 * 0.16) / 0.9937, rel=1e-12)
    bent = journal_bending_factor(hollow).value / journal_bending_factor(CAR).value
    own = (1.0022 - 0.1903 * 0.4 + 0.0073 * 0.16) / 1.0022
    other = (1.0012 - 0.6441 * 0.4 + 1.2265 * 0.16) / 1.0012
    assert bent == pytest.approx(own * other, rel=1e-12)


def test_recess_counts_only_where_it_raises_the_stress() -> None:
    recessed = replace(CAR, pin_recess=0.001, journal_recess=0.0005)
    raised = 1 + 0.03 * (1.8 + 3.2 * 0.2)
    ratio = pin_bending_factor(recessed).value / pin_bending_factor(CAR).value
    assert ratio == pytest.approx(raised, rel=1e-12)
    apart = replace(CAR, crank_radius=0.090)  # s = -0.7: the part would fall below 1
    deeper = replace(apart, pin_recess=0.001)
    assert pin_bending_factor(deeper).value == pin_bending_factor(apart).value


def test_overlap_stops_at_its_least_but_not_in_shear() -> None:
    at_least = replace(CAR, crank_radius=0.055 - LEAST_OVERLAP * 0.050)
    beyond = replace(CAR, crank_radius=0.100)
    for factor in (pin_bending_factor, pin_torsion_factor, journal_bending_factor):
        assert factor(beyond).value == pytest.approx(factor(at_least).value, rel=1e-12)
    assert journal_shear_factor(beyond).value != pytest.approx(
        journal_shear_factor(at_least).value, rel=1e-3
    )


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"crank_radius": 0.028}, "overlap is 0.54 crankpin diameters, fitted up to 0.5"),
        ({"crank_radius": 0.090}, "overlap is -0.7 crankpin diameters, -0.5 is put in its place"),
        ({"web_thickness": 0.009}, "web thickness is 0.18 crankpin diameters, fitted from 0.2 to"),
        ({"web_thickness": 0.041}, "web thickness is 0.82 crankpin diameters"),
        ({"web_width": 0.050}, "web width is 1 crankpin diameters, fitted from 1.1 to 2.2"),
        ({"web_width": 0.115}, "web width is 2.3 crankpin diameters"),
        ({"pin_fillet": 0.001}, "crankpin fillet is 0.02 crankpin diameters, fitted from 0.03"),
        ({"journal_fillet": 0.007}, "journal fillet is 0.14 crankpin diameters"),
        ({"pin_bore": 0.041}, "crankpin's inner bore is 0.82"),
        ({"journal_bore": 0.041}, "journal's inner bore is 0.82"),
        ({"oil_bore": 0.011}, "oil bore is 0.22 crankpin diameters, fitted from 0 to 0.2"),
    ],
)
def test_what_lies_outside_is_said(change: dict[str, float], words: str) -> None:
    (said,) = outside_validity(replace(CAR, **change))
    assert said.startswith(words)


def test_ends_of_the_ranges_are_inside() -> None:
    low = replace(CAR, web_thickness=0.010, web_width=0.055, pin_fillet=0.0015, oil_bore=0.010)
    high = replace(CAR, web_thickness=0.040, web_width=0.110, pin_fillet=0.0065, pin_bore=0.040)
    assert outside_validity(low) == outside_validity(high) == []


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"pin_diameter": 0.0}, "pin_diameter"),
        ({"web_width": math.nan}, "web_width"),
        ({"pin_fillet": -0.001}, "pin_fillet"),
        ({"oil_bore": -0.001}, "oil_bore"),
        ({"pin_bore": 0.050}, "pin_bore"),
        ({"journal_bore": math.inf}, "journal_bore"),
    ],
)
def test_refused_dimensions(change: dict[str, float], field: str) -> None:
    with pytest.raises(DesignError) as caught:
        replace(CAR, **change)
    assert caught.value.field == field
