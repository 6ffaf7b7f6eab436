"""A design as a chain: bricks and closed forms, energy, limits of stiffness, independent solves."""

import dataclasses
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from assets_demo import FOLDER
from kinematics import Design, DesignError, load_design, solve_cycle
from kinematics.design.design import Counterweight
from kinematics.design.design_parts import CrankMaterialChoice, CrankThrowSize
from kinematics.design.design_torsion import Torsion
from kinematics.design.shaft_throw import shaft_throw
from kinematics.shaft.part_geometry import part_geometry
from kinematics.shaft.shaft_geometry import shaft_geometry
from kinematics.shaft.torsion_train import (
    HIGHEST_ORDER,
    POINTS_A_WAVE,
    TorsionalChain,
    chain_harmonics,
    chain_response,
    critical_speed_table,
    idle_irregularity,
    modes,
    order_amplitudes,
    throw_inertia,
    torsional_chain,
    torsional_strain,
    vibratory_stress,
)
from kinematics.throw.throw_surface import FINITE_ELEMENTS
from kinematics.torsion.cyclic_irregularity import speed_over_cycle
from kinematics.torsion.shaft_stiffness import (
    THROW_FORMULAS,
    CrankThrow,
    cylinder_stiffness,
    throw_stiffness,
)
from kinematics.torsion.torsion_damper import optimum_damper
from kinematics.torsion.torsion_modes import torsion_modes
from kinematics.torsion.torsion_response import (
    ForcedResponse,
    excitation,
    forced_response,
    synthesis,
    vibratory_amplitude,
)
from kinematics.torsion.torsional_system import TorsionalSystem
from kinematics.train.cycle import RigidTrain, rigid_train
from kinematics.units import UNITS
from tests.conftest import changed, layout_of, six, with_layout
from tests.kinematics.random_designs import designs

RPM = UNITS["rpm"].factor
SPEEDS = np.linspace(2000.0, 7500.0, 45) * RPM
STEEL = CrankMaterialChoice(tensile=900e6, process="grain_flow")
TORSION = Torsion(
    hub_inertia=0.004,
    nose_diameter=0.036,
    nose_length=0.040,
    flange_length=0.020,
    flywheel_inertia=0.14,
    throw_formula="ker_wilson",  # in closed form, so that `fitted` finds its dimensions
)


def twisting(design: Design, **torsion: Any) -> Design:
    """The design with sizes of its throws and what turns besides them."""
    to_pin = 2 * design.crank.web_offset
    room = min(to_pin, design.layout.throw_spacing - to_pin)
    throw = CrankThrowSize(
        web_thickness=min(0.024, 0.5 * room),
        web_width=0.080,
        pin_fillet=0.003,
        journal_fillet=0.003,
        oil_bore=0.006,
    )
    return replace(
        design, crank_throw=throw, crank_material=STEEL, torsion=replace(TORSION, **torsion)
    )


def solved(design: Design) -> tuple[RigidTrain, TorsionalChain]:
    train = rigid_train(design)
    return train, torsional_chain(train)


SIX = twisting(six())
V_SIX = twisting(
    with_layout(
        six(),
        layout_of([0, 240, 120], throw_of_cylinder=[1, 1, 2, 2, 3, 3], bank_angle_deg=[0, 90] * 3),
    )
)
TWO_STROKE = twisting(with_layout(six(), layout_of([0, 120, 240], strokes=2)))
SINGLE = twisting(with_layout(six(), layout_of([0])))
DAMPED = {
    "viscous": twisting(six(), damper="viscous", damper_inertia=0.006),
    "tuned": twisting(six(), damper="tuned", damper_inertia=0.006),
}
ALL = {"six": SIX, "v": V_SIX, "two-stroke": TWO_STROKE, "single": SINGLE, **DAMPED}
every_design = pytest.mark.parametrize("design", ALL.values(), ids=ALL)


@st.composite
def twisting_designs(draw: st.DrawFn) -> Design:
    """Any design that can be solved, with any damper and damping."""
    design = twisting(
        draw(designs()),
        shaft_damping=draw(st.floats(0.005, 0.1)),
        damper=draw(st.sampled_from(("none", "viscous", "tuned"))),
        damper_inertia=draw(st.floats(0.001, 0.02)),
        throw_formula="carter",  # of the three it holds for any overlap
        flywheel_inertia=draw(st.floats(0.05, 1.0)),
    )
    try:
        assert rigid_train(design).pressure.courses.size
    except DesignError:
        assume(False)
    return design


# --- inertia from dimensions


def drawn_six() -> Design:
    """The six of the bricks: throws of 84 mm, stroke 90."""
    base = twisting(six())
    base = changed(base, "layout", throw_spacing=0.084)
    base = changed(base, "cylinder", stroke=0.090)
    base = changed(base, "crank", web_offset=0.020)
    base = changed(base, "big_end", diameter=0.050)
    base = changed(base, "crank_throw", web_thickness=0.018)
    return replace(base, counterweights=())


def test_a_throw_has_two_half_journals_a_pin_and_two_webs() -> None:
    expected = CrankThrow(0.060, 0.026, 0.050, 0.022, 0.018, 0.080, 0.045)
    found = shaft_throw(drawn_six())
    for name in CrankThrow.__slots__:
        assert getattr(found, name) == pytest.approx(getattr(expected, name), abs=1e-15)
    inertia = throw_inertia(drawn_six())
    assert inertia.shape == (6,)
    drilled = sum(body.inertia for body in shaft_geometry(drawn_six()).of_kind("oil drilling"))
    printed = 0.001818 * 6 / 7 + 0.004756 + 0.029335
    assert inertia.sum() - drilled == pytest.approx(printed, abs=1.5e-6)


def test_bores_take_their_inertia_away() -> None:
    solid = drawn_six()
    bored = changed(solid, "crank_throw", journal_bore=0.02, pin_bore=0.016)
    journal, pin = (7850.0 * math.pi / 4 * d**2 * l for d, l in ((0.02, 0.026), (0.016, 0.022)))
    lost = journal * 0.02**2 / 8 + pin * (0.016**2 / 8 + 0.045**2)
    np.testing.assert_allclose(throw_inertia(solid) - throw_inertia(bored), lost, rtol=1e-10)


def test_counterweights_add_to_their_own_throws() -> None:
    bare = drawn_six()
    weights = tuple(Counterweight(web, 0.02, math.pi) for web in (1, 2, 12))
    gained = throw_inertia(replace(bare, counterweights=weights)) - throw_inertia(bare)
    np.testing.assert_array_equal(gained[1:5], 0.0)
    assert gained[0] == pytest.approx(2 * gained[5], rel=1e-12)
    shape = part_geometry(replace(bare, counterweights=weights)).counterweights[2]
    spread = 0.02 * shape.half_angle / math.sin(shape.half_angle)
    assert spread * shape.inner_radius < gained[5] < spread * shape.outer_radius


def test_throw_inertia_as_given_is_that_of_every_throw() -> None:
    given_one = twisting(six(), throw_inertia=0.009)
    np.testing.assert_array_equal(throw_inertia(given_one), [0.009] * 6)


# --- the chain


def fitted(base: Design, *, throw: float, end: float, **torsion: float) -> Design:
    """The design, its spans of stiffness `throw`, at both ends `end` [N·m/rad]."""
    shear = STEEL.shear_modulus
    stiffness = throw_stiffness(shaft_throw(base), shear, formula="ker_wilson")
    shear *= throw / stiffness
    plain = 1 / (1 / end - 1 / (2 * throw))
    journal = base.main_bearing.diameter  # type: ignore[union-attr]
    made = changed(base, "crank_material", shear_modulus=shear)
    return changed(
        made,
        "torsion",
        nose_length=cylinder_stiffness(0.036, 1.0, shear) / plain,
        flange_length=cylinder_stiffness(journal, 1.0, shear) / plain,
        **torsion,
    )


def gear_of(design: Design) -> float:
    """Inertia of one cylinder's moving masses, written out."""
    rod, radius = design.rod, design.cylinder.crank_radius
    small_end = rod.mass * rod.cg_from_big_end / design.cylinder.rod_length
    return radius**2 * (rod.mass - small_end + (small_end + design.piston.assembly_mass) / 2)


REFERENCE = fitted(
    SIX,
    throw=0.6e6,
    end=0.9e6,
    throw_inertia=0.011 - gear_of(SIX),
    hub_inertia=0.006,
    flywheel_inertia=0.14,
    throw_formula="ker_wilson",  # in closed form, so that `fitted` finds its dimensions
)


def test_own_six_cylinder_chain() -> None:
    """Hub 0.006, throws 0.011, flywheel 0.14 kg·m²; 0.9, 0.6, 0.9 MN·m/rad (recomputed)."""
    _, chain = solved(REFERENCE)
    np.testing.assert_allclose(chain.system.inertias, [0.006, *[0.011] * 6, 0.14], rtol=1e-12)
    np.testing.assert_allclose(chain.system.stiffnesses, [9e5, *[6e5] * 5, 9e5], rtol=1e-12)
    assert (chain.hub, chain.first_throw, chain.places) == (0, 1, (1, 2, 3, 4, 5, 6))
    found = modes(chain)
    hertz = [323.954, 832.369, 1325.818, 1754.744]
    np.testing.assert_allclose(found.angular_frequency[1:5] / (2 * np.pi), hertz, atol=5.1e-4)
    shape = [1, 0.9724, 0.8571, 0.6767, 0.4449, 0.1793, -0.0999, -0.2810]
    np.testing.assert_allclose(found.shape[1], shape, rtol=0, atol=5.1e-5)


def test_six_equal_inertias_are_a_four_whose_ends_are_like_its_throws() -> None:
    """ω = 2 √(k/J) sin(i π / 12), classical."""
    four = twisting(with_layout(six(), layout_of([0, 180, 180, 0])))
    alike = {"hub_inertia": 0.012, "flywheel_inertia": 0.012}
    _, chain = solved(
        fitted(four, throw=5e5, end=5e5, throw_inertia=0.012 - gear_of(four), **alike)
    )
    expected = 2 * math.sqrt(5e5 / 0.012) * np.sin(np.arange(6) * np.pi / 12)
    np.testing.assert_allclose(
        modes(chain).angular_frequency, expected, rtol=1e-11, atol=1e-9 * expected[-1]
    )
    ratios = [0, 0.51764, 1, 1.41421, 1.73205, 1.93185]
    np.testing.assert_allclose(expected / math.sqrt(5e5 / 0.012), ratios, rtol=0, atol=5.1e-6)


def test_major_and_minor_orders_of_1_5_3_6_2_4() -> None:
    """Phase-vector sums with the own chain's first mode (recomputed), criticals in rpm."""
    _, chain = solved(REFERENCE)
    table = critical_speed_table(chain, 1.0, 1e5)
    first = {one.order: one for one in table if one.mode == 1}
    assert sorted(first) == [half / 2 for half in range(1, 25)]
    for orders, expected in {
        (3, 6, 9, 12): 3.0305,
        (1.5, 4.5, 7.5, 10.5): 1.9818,
        (0.5, 2.5, 3.5, 5.5): 0.7283,
        (1, 2, 4, 5): 0.2193,
    }.items():
        found = [first[order].phasor_sum for order in orders]
        np.testing.assert_allclose(found, expected, rtol=0, atol=1e-4)
    rpm = [first[order].speed / RPM for order in (3, 4.5, 6, 7.5, 9)]
    np.testing.assert_allclose(rpm, [6479, 4319, 3240, 2592, 2160], rtol=0, atol=0.51)


@every_design
def test_critical_speeds_are_where_orders_meet_modes(design: Design) -> None:
    _, chain = solved(design)
    found, low, high = modes(chain).angular_frequency, 1000 * RPM, 7000 * RPM
    table = critical_speed_table(chain, low, high)
    step = 1 / chain.turns
    meetings = sum(
        low <= frequency / (k * step) <= high
        for frequency in found[found > 0]
        for k in range(1, round(HIGHEST_ORDER / step) + 1)
    )
    assert len(table) == meetings > 0
    assert [one.speed for one in table] == sorted(one.speed for one in table)
    for one in table:
        assert one.order * one.speed == pytest.approx(found[one.mode], rel=1e-12)
        assert 0 <= one.phasor_sum < math.inf


@settings(max_examples=30)
@given(twisting_designs())
def test_chain_of_any_design(design: Design) -> None:
    """Counts, masses and the first mode's damping without the damper."""
    train, chain = solved(design)
    torsion, layout = design.torsion, design.layout
    assert torsion is not None
    assert chain.hub == (torsion.damper != "none")
    assert len(chain.system.inertias) == layout.throws + 2 + chain.hub
    throws = chain.system.inertias[chain.first_throw : -1]
    on_throw = [layout.throw_of_cylinder.count(throw) for throw in range(1, layout.throws + 1)]
    expected = throw_inertia(design) + np.array(on_throw) * gear_of(design)
    np.testing.assert_allclose(throws, expected, rtol=1e-12)
    places = [throw - 1 + chain.first_throw for throw in layout.throw_of_cylinder]
    assert list(chain.places) == places
    bare = torsional_chain(RigidTrain(changed(design, "torsion", damper="none"))).system
    assert torsion_modes(bare).damping_ratio[1] == pytest.approx(torsion.shaft_damping, rel=1e-9)
    assert len(set(bare.ground_damping[1:-1])) == 1
    assert bare.ground_damping[0] == bare.ground_damping[-1] == 0.0
    assert chain_harmonics(train).order[-1] == HIGHEST_ORDER


def test_stiffness_band_names_all_formulas_and_uses_the_chosen() -> None:
    names = {FINITE_ELEMENTS, *THROW_FORMULAS}
    for formula in names:
        _, chain = solved(changed(SIX, "torsion", throw_formula=formula))
        assert set(chain.stiffness_band) == names
        assert chain.formula == formula
        assert chain.system.stiffnesses[1] == chain.stiffness_band[formula]
    least, *_, most = sorted(chain.stiffness_band.values())
    assert 1.05 < most / least < 1.4
    assert chain.stiffness_spread == pytest.approx(most / least - 1)


def test_damper_is_the_optimum_where_it_is_not_given() -> None:
    _, bare = solved(SIX)
    for kind, design in DAMPED.items():
        _, chain = solved(design)
        best = optimum_damper(torsion_modes(bare.system), 0.006, kind=kind)
        most = 0.25 * math.sqrt(best.stiffness * 0.006) if kind == "tuned" else math.inf
        assert chain.damper == dataclasses.replace(best, damping=min(best.damping, most))
        half = changed(design, "torsion", damper_stiffness=2e4)
        loss = changed(half, "torsion", damper_damping=7.0)
        stiffness, damping = (torsional_chain(RigidTrain(one)).damper for one in (half, loss))
        assert stiffness is not None
        assert damping is not None
        assert stiffness.stiffness == (2e4 if kind == "tuned" else 0.0)
        rubber = 0.25 * math.sqrt(stiffness.stiffness * 0.006)
        assert stiffness.damping == min(best.damping, rubber or math.inf)
        assert damping.damping == 7.0
        assert chain.system.span_damping[0] == chain.damper.damping  # type: ignore[union-attr]


# --- the response


def excited(train: RigidTrain, chain: TorsionalChain, speeds: np.ndarray) -> np.ndarray:
    count = len(chain.system.inertias)
    return excitation(chain_harmonics(train), speeds, place=chain.places, inertias=count)


def in_full(train: RigidTrain, chain: TorsionalChain, speeds: np.ndarray) -> ForcedResponse:
    """The response by solving the whole matrix."""
    order = chain_harmonics(train).order
    return forced_response(chain.system, speeds, order, excited(train, chain, speeds))


def assert_same_angles(found: np.ndarray, expected: np.ndarray) -> None:
    size = np.abs(expected).max(axis=-1, keepdims=True)
    assert np.all(np.abs(found - expected) <= 1e-9 * size)


@settings(max_examples=30)
@given(twisting_designs())
def test_elimination_agrees_with_the_whole_matrix(design: Design) -> None:
    train, chain = solved(design)
    found = chain_response(train, chain, SPEEDS[::5])
    expected = in_full(train, chain, SPEEDS[::5])
    np.testing.assert_array_equal(found.order, expected.order)
    assert_same_angles(found.angle, expected.angle)


def test_elimination_at_the_hub_s_own_resonance() -> None:
    """√(k/J) of hub and nose is that of order 1, 2, 4 and 8 to the last digit: 2^20 / 2^-8."""
    train, chain = solved(SIX)
    system = replace(
        chain.system,
        inertias=(2.0**-8, *chain.system.inertias[1:]),
        stiffnesses=(2.0**20, *chain.system.stiffnesses[1:]),
    )
    chain = replace(chain, system=system)
    speeds = 2.0**14 / np.array([1.0, 2.0, 4.0, 8.0, 12.0])
    assert np.any(2.0**20 - np.multiply.outer(speeds, np.arange(1, 25) / 2) ** 2 * 2.0**-8 == 0)
    found, expected = chain_response(train, chain, speeds), in_full(train, chain, speeds)
    assert_same_angles(found.angle, expected.angle)


@every_design
def test_many_speeds_are_as_one_at_a_time(design: Design) -> None:
    train, chain = solved(design)
    together = torsional_strain(train, chain, SPEEDS[:4])
    for place, speed in enumerate(SPEEDS[:4]):
        alone = torsional_strain(train, chain, np.array([speed]))
        for name in ("span_torque", "pin_torque", "journal_torque", "free_end"):
            np.testing.assert_allclose(
                getattr(together, name)[place], getattr(alone, name)[0], rtol=1e-12
            )


@every_design
def test_work_in_is_heat_out(design: Design) -> None:
    """At each speed and order the torques' mean power is that of all dampings."""
    train, chain = solved(design)
    response = chain_response(train, chain, SPEEDS)
    velocity = 1j * response.angular_frequency[..., None] * response.angle
    each = (excited(train, chain, SPEEDS) * velocity.conj()).real / 2
    heat = response.span_heat.sum(axis=-1) + response.ground_heat.sum(axis=-1)
    assert np.all(np.abs(each.sum(axis=-1) - heat) <= 1e-9 * np.abs(each).sum(axis=-1))
    assert heat.max() > 1.0


@every_design
def test_a_stiff_shaft_shares_torque_by_inertia(design: Design) -> None:
    """Each span passes on the torques before it, less what the inertias before it take."""
    train, chain = solved(changed(design, "torsion", damper="none"))
    bare = chain.system
    stiff = TorsionalSystem(bare.inertias, tuple(1e5 * k for k in bare.stiffnesses))
    found = chain_response(train, replace(chain, system=stiff), SPEEDS).span_torque
    torque = excited(train, chain, SPEEDS)
    share = np.cumsum(bare.inertias) / sum(bare.inertias)
    before = torque.cumsum(axis=-1)
    rigid = (before - share * torque.sum(axis=-1, keepdims=True))[..., :-1]
    assert np.abs(found - rigid).max() <= 2e-4 * np.abs(rigid).max()


@every_design
def test_strain_is_half_the_range(design: Design) -> None:
    """By the general sum at the same points, and at 720 of them within 0.5 %."""
    train, chain = solved(design)
    strain, turns = torsional_strain(train, chain, SPEEDS), design.layout.strokes_per_cycle // 2
    response, hub = strain.response, chain.hub
    spans = response.span_torque
    pins = (spans[..., hub:-1] + spans[..., hub + 1 :]) / 2
    signals = {
        "span_torque": spans,
        "pin_torque": pins,
        "free_end": response.twist[..., hub:].sum(axis=-1, keepdims=True),
    }
    own = POINTS_A_WAVE * HIGHEST_ORDER * turns
    for name, amplitude in signals.items():
        found = getattr(strain, name).reshape(len(SPEEDS), -1)
        for points, off in ((own, 1e-11), (720, 5e-3)):
            expected = vibratory_amplitude(response.order, amplitude, turns=turns, points=points)
            np.testing.assert_allclose(found, expected, rtol=off)
    journals = strain.journal_torque
    assert journals.shape == (len(SPEEDS), design.layout.throws, 2)
    np.testing.assert_array_equal(journals[:, :, 0], strain.span_torque[:, hub:-1])
    np.testing.assert_array_equal(journals[:, 1:, 0], journals[:, :-1, 1])
    assert np.all(strain.pin_torque <= journals.mean(axis=-1) * (1 + 1e-12))


@given(st.floats(0, 2 * math.pi))
def test_no_crest_is_missed_by_more_than_half_a_percent(phase: float) -> None:
    """The highest order alone, however its crests lie between the points."""
    points = POINTS_A_WAVE * HIGHEST_ORDER
    angle = np.arange(points) * (2 * math.pi / points)
    wave = synthesis(np.array([12.0]), np.array([[np.exp(1j * phase)]]), angle)
    assert 0.995 < np.ptp(wave) / 2 <= 1 + 1e-12


def test_major_orders_of_an_evenly_firing_six_dominate() -> None:
    """At the free end while slow, where the shaft twists little; a stiff one has no others."""
    train, chain = solved(SIX)
    slow = np.array([500 * RPM])
    response = chain_response(train, chain, slow)
    amplitude, order = np.abs(response.angle[0, :, chain.hub]), response.order
    majors = np.isin(order, [3, 6, 9, 12])
    for one in (3, 6, 9, 12):
        beside = ~majors & (np.abs(order - one) < 1.1)
        assert amplitude[order == one] > 10 * amplitude[beside].max()
    assert (amplitude[majors] ** 2).sum() > 0.999 * (amplitude**2).sum()
    alike = (chain.system.inertias[0], *[0.01] * 6, chain.system.inertias[-1])
    stiff = TorsionalSystem(alike, tuple(1e5 * k for k in chain.system.stiffnesses))
    left = np.abs(chain_response(train, replace(chain, system=stiff), slow).angle[0, :, chain.hub])
    torque = 6 * np.abs(chain_harmonics(train).at(slow)[0, 0])
    rigid = torque / (sum(alike) * (slow * order) ** 2)
    np.testing.assert_allclose(left[majors], rigid[majors], rtol=2e-4)
    assert np.all(left[~majors] < 2e-4 * rigid[~majors])


def test_response_at_critical_speeds_follows_the_phase_vectors() -> None:
    """Each order's twist at its own critical speed with mode 1 is its torque times its sum."""
    train, chain = solved(changed(SIX, "torsion", shaft_damping=0.001))
    harmonics = chain_harmonics(train)
    table = [one for one in critical_speed_table(chain, 1.0, 1e4) if one.mode == 1]
    free = modes(chain)
    stiffness = free.angular_frequency[1] ** 2 * free.effective_inertia[1]
    for one in table:
        place = int(np.flatnonzero(harmonics.order == one.order)[0])
        response = chain_response(train, chain, np.array([one.speed]))
        torque = abs(harmonics.at(np.array([one.speed]))[0, 0, place])
        swing = torque * one.phasor_sum / (2 * 0.001 * stiffness)
        expected = swing * (1 - free.shape[1, -1])
        found = order_amplitudes(response, chain)[0, place]
        assert found == pytest.approx(expected, rel=2e-2)


@pytest.mark.parametrize("kind", DAMPED)
def test_a_damper_lowers_the_largest_swing_and_stress(kind: str) -> None:
    speeds = np.linspace(2500, 9000, 200) * RPM
    bare, damped = (torsional_strain(*solved(design), speeds) for design in (SIX, DAMPED[kind]))
    assert damped.free_end.max() < 0.5 * bare.free_end.max()
    most = vibratory_stress(damped, DAMPED[kind]).max()
    assert most < 0.5 * vibratory_stress(bare, SIX).max()
    ring = damped.response.span_heat.sum(axis=1)[:, 0]
    ground = damped.response.ground_heat.sum(axis=(1, 2))
    resonant = int(ring.argmax())
    assert ring[resonant] > ground[resonant]


def test_two_cylinders_on_a_throw_are_two_torques_in_one_place() -> None:
    train, chain = solved(V_SIX)
    assert chain.places == (1, 1, 2, 2, 3, 3)
    torque = excited(train, chain, SPEEDS)
    each = chain_harmonics(train).at(SPEEDS)
    np.testing.assert_allclose(torque[..., 2], each[:, 2] + each[:, 3], rtol=1e-12)


def test_a_two_stroke_has_whole_orders() -> None:
    train, chain = solved(TWO_STROKE)
    assert chain.turns == 1
    np.testing.assert_array_equal(chain_harmonics(train).order, np.arange(1, 13))
    assert {one.order % 1 for one in critical_speed_table(chain, 50.0, 1000.0)} == {0.0}


@every_design
def test_stress_is_torque_over_the_weakest_section(design: Design) -> None:
    train, chain = solved(design)
    strain = torsional_strain(train, chain, SPEEDS)
    found = vibratory_stress(strain, design)
    assert found.shape == (len(SPEEDS), design.layout.throws + 1)
    shaft = strain.span_torque[:, chain.hub :]
    pin, nose = math.pi * 0.052**3 / 16, math.pi * 0.036**3 / 16
    np.testing.assert_allclose(found[:, 0], shaft[:, 0] / nose, rtol=1e-12)
    np.testing.assert_allclose(found[:, 1:], shaft[:, 1:] / pin, rtol=1e-12)
    journal = math.pi * (0.060**4 - 0.055**4) / (16 * 0.060)
    assert nose < journal < pin
    bored = vibratory_stress(strain, changed(design, "crank_throw", journal_bore=0.055))
    np.testing.assert_allclose(bored[:, 1:], shaft[:, 1:] / journal, rtol=1e-12)
    np.testing.assert_array_equal(bored[:, 0], found[:, 0])
    thick = vibratory_stress(strain, changed(design, "torsion", nose_diameter=0.070))
    np.testing.assert_allclose(thick[:, 0], shaft[:, 0] / pin, rtol=1e-12)


# --- how evenly the crank turns


@every_design
def test_the_flywheel_needed_gives_the_allowable(design: Design) -> None:
    wanted = idle_irregularity(design, 0.004)
    assert wanted.flywheel_needed > 0
    fitted_wheel = changed(design, "torsion", flywheel_inertia=wanted.flywheel_needed)
    found = idle_irregularity(fitted_wheel, 0.004)
    assert found.idle_irregularity == pytest.approx(0.004, rel=1e-9)
    assert found.flywheel_needed == pytest.approx(wanted.flywheel_needed, rel=1e-9)


def test_a_small_demand_needs_no_flywheel() -> None:
    assert idle_irregularity(SIX, 50.0).flywheel_needed == 0.0


def test_irregularity_falls_as_inertia_grows() -> None:
    one, more = (
        idle_irregularity(changed(SIX, "torsion", flywheel_inertia=inertia), 0.04)
        for inertia in (0.14, 0.35)
    )
    assert more.inertia == pytest.approx(one.inertia + 0.21, rel=1e-12)
    for name in ("idle_irregularity", "rated_irregularity"):
        ratio = getattr(one, name) / getattr(more, name)
        assert ratio == pytest.approx(more.inertia / one.inertia, rel=1e-12)


def test_idle_is_at_its_own_load_and_rated_at_full() -> None:
    """Against the cycle solved at each, and the speed over it."""
    found = idle_irregularity(SIX, 0.04)
    assert found.idle_from == "model"
    assert found.inertia == sum(solved(SIX)[1].system.inertias)
    idling = solve_cycle(changed(SIX, "pressure", load=0.1), 800.0)
    rated = solve_cycle(SIX, 7000.0)
    for cycle, swing, degree in (
        (idling, found.idle, found.idle_irregularity),
        (rated, found.rated, found.rated_irregularity),
    ):
        assert float(swing.mean_torque) == pytest.approx(cycle.mean_torque, rel=1e-12)
        turning = speed_over_cycle(swing, inertia=found.inertia, speed=cycle.speed)
        middle = (turning.max() + turning.min()) / 2
        uneven = np.ptp(turning) * middle / cycle.speed**2  # ΔE = J · middle · range
        assert degree == pytest.approx(uneven, rel=1e-3)
    assert found.idle_irregularity > found.rated_irregularity


def test_a_trace_idles_as_it_is() -> None:
    design = twisting(load_design(FOLDER / "measured_six.toml"))
    found = idle_irregularity(design, 0.04)
    assert found.idle_from == "trace"
    torque = solve_cycle(design, 800.0).mean_torque
    assert float(found.idle.mean_torque) == pytest.approx(torque, rel=1e-12)


# --- what is missing or cannot be


@pytest.mark.parametrize(
    "group", ["torsion", "crank_throw", "crank_material", "main_bearing", "big_end"]
)
def test_a_missing_group_is_named(group: str) -> None:
    train = rigid_train(replace(SIX, **{group: None}))
    with pytest.raises(DesignError) as error:
        torsional_chain(train)
    assert error.value.field == group
    with pytest.raises(DesignError, match="torsional vibration"):
        idle_irregularity(train.design, 0.04)


def test_webs_that_leave_no_pin_are_refused() -> None:
    with pytest.raises(DesignError, match=r"must be less than 48 mm .*\(got 48 mm\)") as error:
        shaft_throw(changed(SIX, "crank_throw", web_thickness=0.048))
    assert error.value.field == "crank_throw.web_thickness_mm"


def test_a_formula_that_gives_no_stiffness_is_refused() -> None:
    """Large overlap on narrow webs: r - 0.2 (D_j + D_p) is negative, the throw has none."""
    short = changed(SIX, "cylinder", stroke=0.040)
    fat = changed(changed(short, "main_bearing", diameter=0.13), "big_end", diameter=0.12)
    narrow = changed(fat, "crank_throw", web_width=0.030)
    with pytest.raises(DesignError, match=r"must be one of carter.*\(got ker_wilson\)") as error:
        torsional_chain(rigid_train(narrow))
    assert error.value.field == "torsion.throw_formula"
    chain = torsional_chain(rigid_train(changed(narrow, "torsion", throw_formula="carter")))
    assert "ker_wilson" not in chain.stiffness_band
    by_default = changed(narrow, "torsion", throw_formula=FINITE_ELEMENTS)
    assert torsional_chain(rigid_train(by_default)).formula == "carter"


def test_a_throw_outside_the_sizes_sampled_falls_back_and_says_which_is_out() -> None:
    six = changed(SIX, "torsion", throw_formula=FINITE_ELEMENTS)
    _, inside = solved(six)
    assert inside.formula == FINITE_ELEMENTS
    assert inside.outside == ()
    _, chain = solved(changed(six, "crank_throw", web_width=0.2))
    assert chain.formula == "ker_wilson"
    assert FINITE_ELEMENTS not in chain.stiffness_band
    assert all(words.startswith("web width at") for words in chain.outside)
    assert len(chain.outside) == 2
