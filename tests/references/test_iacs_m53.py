"""IACS Unified Requirement M53, Calculations for I.C. Engine Crankshafts: two reference shafts.

Formulas as adopted in Korean Register, Rules for the Classification of Steel Ships, 2025, Part 5,
Annex 5-3 (public reprint). No worked example is published; the values are an independent
evaluation of the formulas (recomputed), to 1e-4. The coefficient of b³ in the torsion factor is
0.857 (from memory), where the reprint reads 0.85: both are tested.
"""

import math
from dataclasses import replace

import numpy as np
import pytest

from kinematics.strength.crank_strength import (
    REQUIRED_ACCEPTABILITY,
    CrankMaterial,
    NominalStresses,
    SurfaceTreatment,
    ThrowMoments,
    acceptability,
    equivalent_stresses,
    fatigue_strength,
    fatigue_strengths,
    nominal_stresses,
)
from kinematics.strength.stress_concentration import (
    StressConcentration,
    ThrowSection,
    outside_validity,
    pin_bending_factor,
    stress_concentration,
)

DIGITS = 1e-4

LARGE = ThrowSection(0.200, 0.210, 0.150, 0.080, 0.300, 0.012, 0.012, 0.020)
CAR = ThrowSection(0.050, 0.060, 0.045, 0.018, 0.080, 0.0025, 0.0025, 0.006)
SHAFTS = pytest.mark.parametrize("shaft", ["large", "car"])
SECTIONS = {"large": LARGE, "car": CAR}

RATIOS = {"large": (0.275, 0.4, 1.5, 0.06), "car": (0.2, 0.36, 1.6, 0.05)}  # s, w, b, r
PARTS = {  # f(s, w), f(w), f(b), f(r) of α_B
    "large": (0.77960, 1.12952, 1.00388, 0.90661),
    "car": (0.83248, 1.04733, 1.04877, 0.99733),
}
FACTORS = {
    "large": {
        "pin_bending": 2.15073,
        "journal_bending": 2.31247,
        "journal_shear": 3.11391,
        "bore_bending": 2.758,
        "bore_torsion": 3.700,
    },
    "car": {
        "pin_bending": 2.44735,
        "journal_bending": 2.73558,
        "journal_shear": 3.46436,
        "bore_bending": 2.79264,
        "bore_torsion": 3.71200,
    },
}
TORSION_AS_READ = {"large": (1.98342, 2.00761), "car": (2.02100, 2.11170)}  # α_T, β_T with 0.85


@SHAFTS
def test_ratios(shaft: str) -> None:
    section = SECTIONS[shaft]
    ratios = section.ratios
    found = (section.overlap / section.pin_diameter, *list(ratios.values())[:3])
    assert found == pytest.approx(RATIOS[shaft], rel=1e-12)
    assert outside_validity(section) == []


@SHAFTS
def test_parts_of_the_bending_factor(shaft: str) -> None:
    values = [value for _, value in pin_bending_factor(SECTIONS[shaft]).parts[:4]]
    assert values == pytest.approx(PARTS[shaft], abs=5.1e-6)  # half a digit


@SHAFTS
def test_factors(shaft: str) -> None:
    found = stress_concentration(SECTIONS[shaft])
    for name, value in FACTORS[shaft].items():
        assert getattr(found, name) == pytest.approx(value, rel=DIGITS), name


def test_torsion_factor_of_the_large_shaft() -> None:
    """With 0.857 b³ (from memory)."""
    assert stress_concentration(LARGE).pin_torsion == pytest.approx(1.94001, rel=DIGITS)


@SHAFTS
def test_torsion_factors_against_the_text_as_read(shaft: str) -> None:
    """The trap: 0.85 b³ as read makes the part of the web's width 0.007 b³ larger."""
    found = stress_concentration(SECTIONS[shaft])
    b = RATIOS[shaft][2]
    width = 7.8955 - 10.654 * b + 5.3482 * b**2 - 0.857 * b**3
    as_read = (width + 0.007 * b**3) / width
    both = (found.pin_torsion, found.journal_torsion)
    assert both == pytest.approx(TORSION_AS_READ[shaft], rel=0.03)
    assert tuple(as_read * value for value in both) == pytest.approx(
        TORSION_AS_READ[shaft], rel=DIGITS
    )


def test_fatigue_strength_of_the_pin() -> None:
    steel = CrankMaterial(900e6, "grain_flow")
    assert fatigue_strength(steel, 0.200, 0.012) == pytest.approx(295.880e6, rel=DIGITS)
    assert fatigue_strength(steel, 0.050, 0.0025) == pytest.approx(380.745e6, rel=DIGITS)


def car_nominal() -> NominalStresses:
    """M_BRFN 250 N·m, Q_RFN 20 kN, M_TN 450 N·m in pin and journals, M_BON 300 N·m."""
    one = np.ones(1)
    moments = ThrowMoments(
        250 * one, 20e3 * one, 300 * one, 0 * one, 450 * one, 450 * one, 450 * one
    )
    return nominal_stresses(CAR, moments, bore_angle=math.pi / 2)


def car_factors_as_read() -> StressConcentration:
    pin, journal = TORSION_AS_READ["car"]
    return replace(stress_concentration(CAR), pin_torsion=pin, journal_torsion=journal)


def test_nominal_stresses_of_the_car_shaft() -> None:
    nominal = car_nominal()
    assert nominal.web_bending.item() == pytest.approx(57.870e6, rel=DIGITS)
    assert nominal.web_shear.item() == pytest.approx(13.889e6, rel=DIGITS)
    assert nominal.pin_torsion.item() == pytest.approx(18.335e6, rel=DIGITS)
    assert nominal.journal_torsion.item() == pytest.approx(10.610e6, rel=DIGITS)


def test_acceptability_of_the_car_shaft() -> None:
    """Torsion factors as read (0.85 b³), as the values were made."""
    stress = equivalent_stresses(car_factors_as_read(), car_nominal())
    strength = fatigue_strengths(CAR, CrankMaterial(950e6, "grain_flow"))
    quality = acceptability(strength, stress)
    expected = {
        "pin_fillet": (164.652e6, 391.873e6, 2.3800),
        "journal_fillet": (219.877e6, 383.787e6, 1.7455),
        "oil_bore": (104.630e6, 368.230e6, 3.5193),
    }
    for place, (sigma_v, sigma_dw, q) in expected.items():
        assert getattr(stress, place).item() == pytest.approx(sigma_v, rel=DIGITS), place
        assert getattr(strength, place).item() == pytest.approx(sigma_dw, rel=DIGITS), place
        assert getattr(quality, place).item() == pytest.approx(q, rel=DIGITS), place
    assert quality.least.item() == pytest.approx(1.7455, rel=DIGITS)


def test_required_acceptability() -> None:
    """Appendix V: Q of 1.15 at least."""
    assert REQUIRED_ACCEPTABILITY == 1.15


@pytest.mark.parametrize(
    ("kind", "hardness", "strength"),
    [
        ("gas_nitrided", 600.0, 450e6),  # 600 HV at least
        ("induction_hardened", 400.0, 400e6),
        ("induction_hardened", 600.0, 500e6),  # 400 + 0.5 (HV - 400)
    ],
)
def test_strength_of_treated_surfaces(kind: str, hardness: float, strength: float) -> None:
    """Appendix V on surface treatment."""
    treatment = SurfaceTreatment(kind, hardness, 300.0, 0.5e-3)
    assert treatment.surface_strength == pytest.approx(strength, rel=1e-12)
