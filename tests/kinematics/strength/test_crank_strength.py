"""Crank strength: equilibrium of a throw, alternating parts, limits and trends of Q, treatment."""

import itertools
import math
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kinematics import Design, solve_cycle
from kinematics.errors import DesignError
from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia
from kinematics.strength.crank_strength import (
    ADDITIONAL_STRESS,
    EMPIRICAL_FACTORS,
    PROCESSES,
    CrankMaterial,
    NominalStresses,
    SurfaceTreatment,
    ThrowBeam,
    acceptability,
    alternating,
    alternating_over_speed,
    alternating_stresses,
    bending_modulus,
    equivalent_stresses,
    factors_below_surface,
    fatigue_strength,
    fatigue_strengths,
    force_on_pin,
    nitrided_hardness,
    nominal_stresses,
    throw_moments,
    treated_acceptability,
)
from kinematics.strength.stress_concentration import ThrowSection, stress_concentration

CAR = ThrowSection(0.050, 0.060, 0.045, 0.018, 0.080, 0.0025, 0.0025, 0.006)
BEAM = ThrowBeam(span=0.098, web_arm=0.022, crank_radius=0.045)
STEEL = CrankMaterial(950e6, "grain_flow")
ANGLE = np.arange(720) * math.tau / 360
FACTORS = stress_concentration(CAR)


def stresses_of(web: float, shear: float, torsion: float, bore: float) -> NominalStresses:
    web_, shear_, torsion_, bore_ = (np.array([value]) for value in (web, shear, torsion, bore))
    return NominalStresses(web_, shear_, torsion_, torsion_, torsion_, bore_)


LOADED = stresses_of(58e6, 14e6, 18e6, 24e6)


def forces() -> tuple[np.ndarray, np.ndarray]:
    random = np.random.default_rng(7)
    return random.normal(size=(3, 720)) * 2e4, random.normal(size=(3, 720)) * 1e4


def test_a_throw_by_hand() -> None:
    """One throw, 20 kN inward and 4 kN in the sense of rotation."""
    found = throw_moments(BEAM, np.array([[-20e3]]), np.array([[4e3]]))
    expected = {
        "web_bending": -220.0,  # 10 kN at 22 mm
        "web_shear": -10e3,
        "pin_bending_radial": -490.0,  # 10 kN at 49 mm
        "pin_bending_tangential": 98.0,
        "pin_torque": 90.0,  # the front main's 2 kN at 45 mm
        "front_torque": 0.0,
        "rear_torque": 180.0,
    }
    for name, value in expected.items():
        assert getattr(found, name).item() == pytest.approx(value, rel=1e-12), name


def test_torque_adds_up_along_the_shaft() -> None:
    radial, tangential = forces()
    found = throw_moments(BEAM, radial, tangential)
    np.testing.assert_array_equal(found.front_torque[0], 0.0)
    np.testing.assert_allclose(found.front_torque[1:], found.rear_torque[:-1], atol=1e-9)
    total = 0.045 * tangential.sum(axis=0)
    np.testing.assert_allclose(found.rear_torque[-1], total, atol=1e-9)
    middle = (found.front_torque + found.rear_torque) / 2
    np.testing.assert_allclose(found.pin_torque, middle, atol=1e-9)


def test_the_shaft_carries_the_cycle_s_own_torque(base: Design) -> None:
    """Forces on the pins from big-end loads in the crank's frame, against the crank torque."""
    cycle = solve_cycle(base, 6500)
    layout = base.layout
    radial, tangential = force_on_pin(cycle.bearings.big_end_load("crank"))
    on_throw = np.array(
        [[k == throw for throw in layout.throw_of_cylinder] for k in range(1, layout.throws + 1)],
        dtype=float,
    )
    beam = ThrowBeam(layout.throw_spacing, layout.throw_spacing / 5, cycle.train.crank.crank_radius)
    found = throw_moments(beam, on_throw @ radial, on_throw @ tangential)
    torque = cycle.forces.crank_torque
    np.testing.assert_allclose(found.rear_torque[-1], torque, atol=1e-9 * np.abs(torque).max())


def test_stresses_are_linear_in_gas_and_inertia() -> None:
    gas, inertia = forces()
    speed = 600.0
    parts = [
        nominal_stresses(CAR, throw_moments(BEAM, 0.5 * load, load), bore_angle=0.4)
        for load in (gas, inertia * 1e-6, gas + speed**2 * inertia * 1e-6)
    ]
    for field in fields(NominalStresses):
        first, second, whole = (getattr(part, field.name) for part in parts)
        scale = np.abs(whole).max()
        np.testing.assert_allclose(first + speed**2 * second, whole, atol=1e-12 * scale + 1e-30)


def test_bore_angle_picks_the_plane_of_bending() -> None:
    moments = throw_moments(BEAM, np.array([[-20e3]]), np.array([[4e3]]))
    modulus = math.pi * 0.050**3 / 32
    for angle, moment in ((0.0, 98.0), (math.pi / 2, -490.0), (math.pi, -98.0)):
        found = nominal_stresses(CAR, moments, bore_angle=angle).bore_bending
        assert found.item() == pytest.approx(moment / modulus, rel=1e-12)


def test_two_stroke_factor_lowers_web_stresses_only() -> None:
    moments = throw_moments(BEAM, np.array([[-20e3]]), np.array([[4e3]]))
    four = nominal_stresses(CAR, moments)
    two = nominal_stresses(CAR, moments, empirical_factor=EMPIRICAL_FACTORS["two_stroke"])
    assert two.web_bending.item() == pytest.approx(0.8 * four.web_bending.item(), rel=1e-12)
    assert two.web_shear.item() == pytest.approx(0.8 * four.web_shear.item(), rel=1e-12)
    assert two.pin_torsion == four.pin_torsion


def test_modulus_of_a_hollow_shaft_is_inertia_over_radius() -> None:
    inertia = math.pi * (0.060**4 - 0.030**4) / 64
    assert bending_modulus(0.060, 0.030) == pytest.approx(inertia / 0.030, rel=1e-12)


@given(st.floats(-1e3, 1e3), st.floats(0.0, 1e3))
def test_alternating_part_knows_no_mean(mean: float, amplitude: float) -> None:
    found = alternating(mean + amplitude * np.cos(ANGLE))
    assert found == pytest.approx(amplitude, abs=1e-9)


def test_alternating_part_over_speed() -> None:
    gas, inertia = forces()
    load = GasAndInertia.steady(gas, inertia * 1e-6)
    speed = np.array([0.0, 300.0, 900.0])
    found = alternating_over_speed(load, speed)
    assert found.shape == (3, 3)
    for column, value in enumerate(speed):
        np.testing.assert_allclose(found[:, column], alternating(load.at(value)), rtol=1e-12)


def test_alternating_stresses_of_each_throw() -> None:
    radial, tangential = forces()
    stresses = nominal_stresses(CAR, throw_moments(BEAM, radial, tangential))
    found = alternating_stresses(stresses)
    assert found.web_bending.shape == (3,)
    np.testing.assert_allclose(found.web_shear, np.ptp(stresses.web_shear, axis=1) / 2)
    larger = np.maximum(found.front_torsion, found.rear_torsion)
    np.testing.assert_array_equal(found.journal_torsion, larger)
    assert found.journal_torsion[0] == found.rear_torsion[0] > 0


def test_an_unloaded_fillet_bears_the_additional_stress_alone() -> None:
    found = equivalent_stresses(FACTORS, stresses_of(0.0, 0.0, 0.0, 0.0))
    assert found.pin_fillet.item() == found.journal_fillet.item() == ADDITIONAL_STRESS
    assert found.oil_bore.item() == 0.0


def test_the_oil_bore_in_pure_bending_and_pure_torsion() -> None:
    bent = equivalent_stresses(FACTORS, stresses_of(0.0, 0.0, 0.0, 24e6))
    twisted = equivalent_stresses(FACTORS, stresses_of(0.0, 0.0, 18e6, 0.0))
    assert bent.oil_bore.item() == pytest.approx(FACTORS.bore_bending * 24e6, rel=1e-12)
    assert twisted.oil_bore.item() == pytest.approx(FACTORS.bore_torsion * 18e6, rel=1e-12)


def test_fillets_in_pure_torsion() -> None:
    found = equivalent_stresses(FACTORS, stresses_of(0.0, 0.0, 18e6, 0.0), additional=0.0)
    pin = math.sqrt(3) * FACTORS.pin_torsion * 18e6
    assert found.pin_fillet.item() == pytest.approx(pin, rel=1e-12)
    journal = math.sqrt(3) * FACTORS.journal_torsion * 18e6
    assert found.journal_fillet.item() == pytest.approx(journal, rel=1e-12)


@pytest.mark.parametrize("fillet", ["pin_fillet", "journal_fillet"])
def test_a_larger_fillet_is_more_acceptable(fillet: str) -> None:
    """The stress falls faster than the strength."""
    found = []
    for radius in (0.0016, 0.002, 0.003, 0.004, 0.006):
        section = replace(CAR, **{fillet: radius})
        stress = equivalent_stresses(stress_concentration(section), LOADED)
        quality = acceptability(fatigue_strengths(section, STEEL), stress)
        found.append(getattr(quality, fillet).item())
    assert found == sorted(found)
    assert found[-1] > 1.1 * found[0]


def test_acceptability_is_inverse_in_load_but_for_the_additional_stress() -> None:
    strength = fatigue_strengths(CAR, STEEL)
    doubled = stresses_of(116e6, 28e6, 36e6, 48e6)
    once, twice = (
        acceptability(strength, equivalent_stresses(FACTORS, nominal, additional=0.0))
        for nominal in (LOADED, doubled)
    )
    for field in fields(once):
        ratio = getattr(once, field.name) / getattr(twice, field.name)
        assert ratio.item() == pytest.approx(2.0, rel=1e-12), field.name
    assert once.least.item() == min(getattr(once, field.name).item() for field in fields(once))


def test_process_counts_at_fillets_and_not_above_one_at_the_bore() -> None:
    free = fatigue_strength(CrankMaterial(900e6), 0.05, 0.003)
    for process, factor in PROCESSES.items():
        material = CrankMaterial(900e6, process)
        assert fatigue_strength(material, 0.05, 0.003) == pytest.approx(factor * free, rel=1e-12)
        at_bore = fatigue_strength(material, 0.05, 0.003, at_bore=True)
        assert at_bore == pytest.approx(min(1.0, factor) * free, rel=1e-12)


def test_strength_falls_with_size_and_stops_rising_below_two_millimetres() -> None:
    values = [fatigue_strength(STEEL, diameter, 0.003) for diameter in (0.04, 0.06, 0.1, 0.3)]
    assert values == sorted(values, reverse=True)
    assert fatigue_strength(STEEL, 0.05, 0.001) == fatigue_strength(STEEL, 0.05, 0.002)
    assert fatigue_strength(STEEL, 0.05, 0.003) < fatigue_strength(STEEL, 0.05, 0.002)


NITRIDED = SurfaceTreatment("gas_nitrided", 700.0, 300.0, 0.4e-3)
HARDENED = SurfaceTreatment("induction_hardened", 560.0, 300.0, 3e-3)


def test_nitrided_hardness_falls_from_surface_to_core() -> None:
    depth = np.array([0.0, 0.4e-3, 4e-3])
    np.testing.assert_allclose(nitrided_hardness(NITRIDED, depth), [700.0, 350.0, 300.0])
    falling = nitrided_hardness(NITRIDED, np.linspace(0, 1e-3, 50))
    assert (np.diff(falling) < 0).all()


def test_core_begins_below_the_layer() -> None:
    assert NITRIDED.transition_depth == pytest.approx(0.48e-3, rel=1e-12)
    assert HARDENED.transition_depth == 3e-3


def test_factors_below_the_surface_fall_from_those_of_the_surface() -> None:
    assert factors_below_surface(CAR, FACTORS, 0.0) == FACTORS
    depths = [0.0, 0.2e-3, 0.5e-3, 1e-3, 2e-3]
    below = [factors_below_surface(CAR, FACTORS, depth) for depth in depths]
    for field in fields(FACTORS):
        values = [getattr(factors, field.name) for factors in below]
        fell = [after < before for before, after in itertools.pairwise(values)]
        assert all(fell) != field.name.startswith("bore"), field.name


def test_factors_below_the_surface_by_hand() -> None:
    """At 1 mm: W² + S² = 18² + 10², R 2.5, D 50 mm."""
    below = factors_below_surface(CAR, FACTORS, 1e-3)
    bending, torsion = FACTORS.pin_bending, FACTORS.pin_torsion
    lost = (2 / math.sqrt(424)) ** (0.6 / math.sqrt(bending))
    assert below.pin_bending == pytest.approx((bending - 1) * math.exp(-0.8) + 1 - lost, rel=1e-12)
    lost = (2 / 50) ** (1 / math.sqrt(torsion))
    assert below.pin_torsion == pytest.approx((torsion - 1) * math.exp(-0.4) + 1 - lost, rel=1e-12)


@pytest.mark.parametrize("treatment", [NITRIDED, HARDENED], ids=lambda t: t.kind)
def test_treated_fillets_are_judged_at_surface_and_core(treatment: SurfaceTreatment) -> None:
    plain = acceptability(fatigue_strengths(CAR, STEEL), equivalent_stresses(FACTORS, LOADED))
    found = treated_acceptability(CAR, STEEL, FACTORS, LOADED, treatment)
    for place in ("pin_fillet", "journal_fillet"):
        strength = getattr(fatigue_strengths(CAR, STEEL), place).item()
        most = getattr(plain, place).item() * treatment.surface_strength / strength
        assert getattr(plain, place).item() < getattr(found, place).item() <= most * (1 + 1e-12)
    assert found.oil_bore == plain.oil_bore


def test_a_soft_core_decides_under_a_thin_layer() -> None:
    soft = CrankMaterial(500e6)
    thin = SurfaceTreatment("gas_nitrided", 700.0, 300.0, 1e-6)
    plain = acceptability(fatigue_strengths(CAR, soft), equivalent_stresses(FACTORS, LOADED))
    found = treated_acceptability(CAR, soft, FACTORS, LOADED, thin)
    assert found.pin_fillet.item() == pytest.approx(plain.pin_fillet.item(), rel=0.02)


def test_rolled_fillets_have_the_strength_of_their_test() -> None:
    rolled = SurfaceTreatment("rolled", tested_strength=600e6)
    stress = equivalent_stresses(FACTORS, LOADED)
    found = treated_acceptability(CAR, STEEL, FACTORS, LOADED, rolled)
    assert found.journal_fillet.item() == pytest.approx(600e6 / stress.journal_fillet.item())


@pytest.mark.parametrize(
    ("arguments", "field"),
    [
        (("rolled",), "tested_strength"),
        (("polished", 700.0, 300.0, 1e-3), "kind"),
        (("gas_nitrided", 599.0, 300.0, 1e-3), "surface_hardness"),
        (("induction_hardened", 390.0, 300.0, 1e-3), "surface_hardness"),
        (("induction_hardened", 420.0, 400.0, 1e-3), "surface_hardness"),
        (("gas_nitrided", 700.0, 300.0, 0.0), "depth"),
    ],
)
def test_refused_treatments(arguments: tuple, field: str) -> None:
    with pytest.raises(DesignError) as caught:
        SurfaceTreatment(*arguments)
    assert caught.value.field == field


def test_refused_materials_and_beams() -> None:
    with pytest.raises(DesignError, match=r"must be one of grain_flow.*\(got 'cast'\)"):
        CrankMaterial(900e6, "cast")
    with pytest.raises(DesignError, match="tensile_strength"):
        CrankMaterial(0.0)
    with pytest.raises(DesignError, match="web_arm"):
        ThrowBeam(0.1, 0.05, 0.045)
