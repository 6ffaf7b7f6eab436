"""The continuous shaft: its limits, statics at every angle, symmetry, one throw in closed form."""

import dataclasses
import math

import numpy as np
import pytest

from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import Cycle, Design, DesignError, load_design
from kinematics.design.design import Counterweight
from kinematics.design.design_parts import (
    STEEL_DENSITY,
    STEEL_MODULUS,
    STEEL_POISSON,
    CrankMaterialChoice,
    RodMaterial,
)
from kinematics.design.shaft_throw import shaft_throw
from kinematics.design.solid_throw import solid_throw
from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia
from kinematics.mechanics.shaft_beam import (
    Frame,
    Supports,
    member_stiffness,
    solve_frame,
)
from kinematics.strength.crank_strength import ThrowBeam, force_on_pin, throw_moments
from kinematics.throw.throw_frame import solid_sections
from kinematics.torsion.shaft_stiffness import CrankThrow
from kinematics.train.bearing_loads import Turn, bearing_peaks, rods_on_throws, turned
from kinematics.train.continuous_shaft import (
    ContinuousShaft,
    continuous_main_loads,
    crank_frame,
    film_stiffness,
    pin_forces,
    web_pulls,
)
from kinematics.train.cycle import RigidTrain
from tests.conftest import changed, layout_of, with_layout


def determinate(stem: str) -> RigidTrain:
    """A demo whose own main loads are those of the determinate shaft, to compare with."""
    design = load_design(FOLDER / f"{stem}.toml")
    return RigidTrain(changed(design, "crank", main_loads="cut_at_mains"))


TRAINS = {stem: determinate(stem) for stem in DEMO_DESIGNS}
TOURING = TRAINS["touring_six"]
SPEED = 500.0
every_demo = pytest.mark.parametrize("train", TRAINS.values(), ids=TRAINS)
every_stiffness = pytest.mark.parametrize("stiffness", [None, 1e7, 1e9, math.inf])
PARTS = (  # what picks a gas course of a load, or its inertia
    lambda load: load.gas.courses[0],
    lambda load: load.gas.courses[-1],
    lambda load: load.inertia,
)


def given(train: RigidTrain) -> tuple:
    """What the continuous shaft is made from."""
    return train.design, train.crank_angle, train.big_end_block


def elastic(train: RigidTrain, **how: float) -> ContinuousShaft:
    return continuous_main_loads(*given(train), **how)


def turning(train: RigidTrain) -> tuple:
    angle = train.crank_angle
    return train.design, Turn(np.sin(angle), np.cos(angle)), train.big_end_block


def pins_of(train: RigidTrain) -> GasAndInertia:
    return pin_forces(*turning(train))


def stiffness_of(train: RigidTrain) -> float:
    return film_stiffness(*turning(train))


def one_throw(**crank: float) -> RigidTrain:
    """The touring engine with one throw alone."""
    design = TOURING.design
    layout = layout_of([0], spacing=design.layout.throw_spacing)
    single = dataclasses.replace(with_layout(design, layout), crank=design.crank)
    return RigidTrain(changed(single, "crank", **crank))


def close(found: np.ndarray, expected: np.ndarray, tolerance: float = 1e-9) -> None:
    np.testing.assert_allclose(found, expected, rtol=0, atol=tolerance * np.abs(expected).max())


@every_demo
@every_stiffness
def test_mains_together_bear_what_they_bear_by_the_determinate_rule(
    train: RigidTrain, stiffness: float | None
) -> None:
    """At every angle: the same force, and the same moment about the crank's middle."""
    shaft = elastic(train, stiffness=stiffness)
    place = shaft.station[::4]
    for part in PARTS:
        found, expected = part(shaft.main_block), part(train.main_block)
        size = np.abs(expected).max()
        np.testing.assert_allclose(found.sum(axis=0), expected.sum(axis=0), atol=1e-9 * size)
        moments = (np.tensordot(place, load, (0, 0)) for load in (found, expected))
        np.testing.assert_allclose(*moments, atol=1e-9 * size * place[-1])


@every_demo
def test_the_shaft_is_in_equilibrium_and_its_ends_bear_nothing(train: RigidTrain) -> None:
    shaft = elastic(train)
    force = shaft.station_force.at(SPEED)
    assert len(shaft.station) == 4 * train.design.layout.throws + 1
    np.testing.assert_allclose(np.diff(shaft.station[::4]), train.design.layout.throw_spacing)
    np.testing.assert_allclose(force.sum(axis=0), 0, atol=1e-9 * np.abs(force).max())
    moment = shaft.bending_curve(77, SPEED).moment
    np.testing.assert_allclose(moment[:, [0, -1]], 0, atol=1e-9 * np.abs(moment).max())


@every_stiffness
def test_one_throw_is_determinate(stiffness: float | None) -> None:
    """Two mains share by statics alone, whatever bends."""
    weights = (Counterweight(1, 0.02, math.pi), Counterweight(2, 0.013, 2.9))
    train = RigidTrain(dataclasses.replace(one_throw().design, counterweights=weights))
    shaft = elastic(train, stiffness=stiffness)
    for part in PARTS:
        close(part(shaft.main_block), part(train.main_block))
        close(part(shaft.main_crank), part(train.main_crank))


def test_one_throw_bends_as_the_fillets_method_has_it() -> None:
    train = one_throw(throw_unbalance=0.0)
    shaft = elastic(train)
    layout, crank = train.design.layout, train.design.crank
    arm = layout.throw_spacing / 2 - crank.web_offset
    beam = ThrowBeam(layout.throw_spacing, arm, train.design.cylinder.crank_radius)
    for part in PARTS:
        radial, tangential = force_on_pin(part(train.big_end_crank))
        expected = throw_moments(beam, radial, tangential)
        for web in (0, 1):
            close(part(shaft.web_bending)[web, 0], expected.web_bending[0])
            close(part(shaft.web_bending)[web, 1], tangential[0] / 2 * arm)
            close(part(shaft.web_shear)[web, 0], expected.web_shear[0])
            close(part(shaft.web_shear)[web, 1], tangential[0] / 2)
        close(part(shaft.pin_bending)[0, 0], expected.pin_bending_radial[0])
        close(part(shaft.pin_bending)[0, 1], expected.pin_bending_tangential[0])


def test_slopes_of_one_throw_on_rigid_mains() -> None:
    """F/2 (a²/2EI + a r/EI + ((a + w)² - a²)/2EI), by a pair of unit couples; mirrored behind."""
    train = one_throw(throw_unbalance=0.0)
    shaft, throw = elastic(train, stiffness=math.inf), shaft_throw(train.design)
    shear = train.design.crank_material.shear_modulus
    modulus = 2 * (1 + STEEL_POISSON) * shear
    parts = solid_sections(throw, solid_throw(train.design).stiffness, shear)
    journal, pin, web = parts.journal, parts.pin, parts.web
    a = (throw.journal_length + throw.web_thickness) / 2
    w = (throw.pin_length + throw.web_thickness) / 2
    flexible = a**2 / (2 * journal.second_moment_z) + a * throw.crank_radius / web.second_moment_z
    flexible += ((a + w) ** 2 - a**2) / (2 * pin.second_moment_z)
    outward = -train.big_end_crank.at(SPEED)[0, 1]
    to_crank = Turn(np.sin(train.crank_angle), np.cos(train.crank_angle))
    slope = turned(shaft.slope.at(SPEED), to_crank)
    close(slope[0, 1], outward / 2 * flexible / modulus, 1e-7)
    close(slope[1, 1], -outward / 2 * flexible / modulus, 1e-7)
    np.testing.assert_allclose(shaft.deflection.at(SPEED), 0, atol=1e-20)


def hinged(frame: Frame) -> Frame:
    """The shaft with a short soft member behind each inner main: cut, but for forces and twist."""
    short = 1e-6
    mains = np.arange(6, len(frame.node) - 1, 6)
    node = np.insert(frame.node, mains + 1, frame.node[mains] + (0, 0, short), axis=0)
    section = list(frame.section)
    across = np.insert(frame.across, mains, frame.across[mains], axis=0)
    for main in mains[::-1]:
        journal = section[main]
        soft = dataclasses.replace(
            journal,
            second_moment_y=1e-11 * journal.second_moment_y,
            second_moment_z=1e-11 * journal.second_moment_z,
        )
        section.insert(main, soft)
    start = np.arange(len(section))
    ends = np.stack((start, start + 1), axis=-1)
    return dataclasses.replace(frame, node=node, ends=ends, across=across, section=tuple(section))


@every_demo
def test_cut_at_its_mains_it_is_the_determinate_shaft(train: RigidTrain) -> None:
    design, throws = train.design, train.design.layout.throws
    frame = hinged(
        crank_frame(
            shaft_throw(design),
            np.array(design.layout.throw_angles),
            design.crank_material.shear_modulus,
        )
    )
    first = np.append(0, 6 + 7 * np.arange(throws - 1))  # front main of each throw
    inside = np.append(0, first[1:] + 1)  # where its nodes count from
    main = np.append(first, len(frame.node) - 1)
    held = Supports(
        np.append(np.repeat(main, 2), (main[-1],) * 2),
        np.append(np.tile((0, 1), throws + 1), (2, 5)),
        np.full(2 * throws + 4, math.inf),
    )
    pick = [0, 100, 333, 600]
    load = np.zeros((len(frame.node), 6, len(pick)))
    load[inside + 3, :2] = pins_of(train).at(SPEED)[..., pick]
    load[inside + 1, :2] += SPEED**2 * web_pulls(design)[0::2, :, None]
    load[inside + 5, :2] += SPEED**2 * web_pulls(design)[1::2, :, None]
    reaction = solve_frame(frame, held, load).reaction[: 2 * len(main)]
    close(-reaction.reshape(-1, 2, len(pick)), train.main_crank.at(SPEED)[..., pick], 1e-4)


@every_demo
def test_on_soft_mains_it_moves_as_a_rigid_body(train: RigidTrain) -> None:
    """Main i bears F/m + z_i M/Σz²; what is left, in proportion to the stiffness, is taken off."""
    place = elastic(train).station[::4]
    total = train.main_block.at(SPEED)
    moment = np.tensordot(place, total, (0, 0))
    rigid = total.mean(axis=0) + place[:, None, None] * moment / (place @ place)
    soft, softer = (elastic(train, stiffness=k).main_block.at(SPEED) for k in (1e4, 1e3))
    close(soft, rigid, 1e-2)
    close(softer + (softer - soft) / 9, rigid, 1e-5)


@every_demo
def test_loads_are_those_of_the_whole_engine_at_a_speed(train: RigidTrain) -> None:
    """Gas and speed² · inertia add up to one frame under the rods' forces of one moment.

    Loads come from each throw's own frame, counterweights from the design.
    """
    design, index = train.design, 123
    layout, shaft = design.layout, elastic(train, stiffness=4e8, housing=8e8)
    solid = solid_throw(design).stiffness
    frame = crank_frame(
        shaft_throw(design),
        np.array(layout.throw_angles),
        design.crank_material.shear_modulus,
        solid,
    )
    load = np.zeros((len(frame.node), 6, 1))
    in_throw = Cycle(train, SPEED).bearings.big_end_load("crank")[..., index]
    for throw, angle in enumerate(layout.throw_angles):
        tangential, radial = -rods_on_throws(layout)[throw] @ in_throw
        outward = np.array([math.sin(angle), math.cos(angle)])
        onward = np.array([math.cos(angle), -math.sin(angle)])
        load[6 * throw + 3, :2, 0] = radial * outward + tangential * onward
    pulls = SPEED**2 * web_pulls(design)
    load[1::6, :2, 0], load[5::6, :2, 0] = pulls[0::2], pulls[1::2]
    main = np.arange(layout.throws + 1) * 6
    held = Supports(
        np.append(np.repeat(main, 2), (main[-1],) * 2),
        np.append(np.tile((0, 1), len(main)), (2, 5)),
        np.append(np.full(2 * len(main), 4e8 * 8 / 12), (math.inf,) * 2),
    )
    result = solve_frame(frame, held, load)
    close(shaft.main_crank.at(SPEED)[..., index].ravel(), -result.reaction[:-2, 0])
    angle = train.crank_angle[[index]]
    back = Turn(np.sin(angle), np.cos(angle)).back
    shift = result.displacement[main]
    close(shaft.deflection.at(SPEED)[..., [index]], turned(shift[:, :2], back))
    slope = np.stack((shift[:, 4], -shift[:, 3]), axis=1)
    close(shaft.slope.at(SPEED)[..., [index]], turned(slope, back))
    torque = train.crank_torque.at(SPEED)[index]
    assert result.reaction[-1, 0] == pytest.approx(torque, rel=1e-9)  # turns count from x to y
    end_force = journal_end_forces(frame, result.displacement[..., 0])
    close(shaft.web_bending.at(SPEED)[..., index], end_force[..., 0], 1e-7)
    close(shaft.web_shear.at(SPEED)[..., index], end_force[..., 1], 1e-7)


def journal_end_forces(frame: Frame, shift: np.ndarray) -> np.ndarray:
    """Bending and shear at the webs (2t, 2, 2) by the journals' stiffness in place of statics.

    In front of a throw it is the journal's rear end that counts, behind it the front end.
    """
    ends = np.concatenate((shift[frame.ends[:, 0]], shift[frame.ends[:, 1]]), axis=1)
    of_members = np.einsum("eij,ej->ei", member_stiffness(frame), ends)
    found = []
    for web in range(len(frame.section) // 3):
        member, behind = 6 * (web // 2) + 5 * (web % 2), web % 2 == 1
        force, couple = of_members[member].reshape(2, 2, 3)[0 if behind else 1]
        couple = couple if behind else -couple
        outward = frame.across[member]
        across = np.array([outward[1], -outward[0], 0.0])  # in the sense of rotation
        bending = (-couple @ across, couple @ outward)
        found.append(list(zip(bending, (force @ outward, force @ across), strict=True)))
    return np.array(found)


def test_a_mirrored_shaft_bears_mirrored_loads() -> None:
    """The six's throws mirror one another; what pulls outward has no torque to hold at the rear."""
    angles = np.radians([0, 240, 120, 120, 240, 0])
    frame = crank_frame(shaft_throw(TOURING.design), angles, 80e9)
    size = np.array([3.0, -1.0, 2.0])[[0, 1, 2, 2, 1, 0]]
    load = np.zeros((37, 6, 1))
    load[3::6, 0, 0], load[3::6, 1, 0] = size * np.sin(angles), size * np.cos(angles)
    main = np.arange(7) * 6
    held = Supports(
        np.append(np.repeat(main, 2), (36, 36)),
        np.append(np.tile((0, 1), 7), (2, 5)),
        np.append(np.full(14, 5e8), (math.inf, math.inf)),
    )
    result = solve_frame(frame, held, load)
    reaction = result.reaction[:14].reshape(7, 2)
    close(reaction, reaction[::-1])
    turns = result.displacement[main, 3:5, 0]
    close(turns, -turns[::-1])


@pytest.mark.parametrize("axis", [0, 1])
def test_with_hardly_any_throw_it_is_a_straight_beam(axis: int) -> None:
    """Three equal spans loaded in their middles bear 0.35, 1.15, 1.15, 0.35 (0.15 is 3/20).

    A bar so thin that its shear counts for nothing, webs a hundredth of a millimetre high.
    """
    bar = CrankThrow(0.004, 0.09, 0.004, 0.09, 0.01, 0.4, 1e-5)
    frame = crank_frame(bar, np.zeros(3), 80e9)
    load = np.zeros((19, 6, 1))
    load[3::6, axis] = 1.0
    main = np.arange(4) * 6
    held = Supports(
        np.append(np.repeat(main, 2), (18, 18)),
        np.append(np.tile((0, 1), 4), (2, 5)),
        np.full(10, math.inf),
    )
    reaction = -solve_frame(frame, held, load).reaction[axis:8:2, 0]
    np.testing.assert_allclose(reaction, [0.35, 1.15, 1.15, 0.35], atol=3e-3)


@every_demo
def test_the_curve_meets_webs_and_pins(train: RigidTrain) -> None:
    shaft, index = elastic(train), 200
    curve = shaft.bending_curve(index, SPEED)
    at = np.repeat(np.array(train.design.layout.throw_angles), 2) + train.crank_angle[index]
    outward = np.stack((np.sin(at), np.cos(at)))
    onward = np.stack((np.cos(at), -np.sin(at)))
    webs, pins = curve.moment[:, 1::2], curve.moment[:, 2::4]
    bending, pin = shaft.web_bending.at(SPEED)[..., index], shaft.pin_bending.at(SPEED)[..., index]
    close((webs * outward).sum(axis=0), bending[:, 0])
    close((webs * onward).sum(axis=0), bending[:, 1])
    close((pins * outward[:, ::2]).sum(axis=0), pin[:, 0])
    close((pins * onward[:, ::2]).sum(axis=0), pin[:, 1])


def test_a_main_gives_way_by_its_load_over_its_stiffness() -> None:
    film = np.linspace(2e8, 8e8, 7)
    shaft = elastic(TOURING, stiffness=film, housing=6e8)
    np.testing.assert_allclose(shaft.stiffness, 1 / (1 / film + 1 / 6e8))
    load = shaft.main_block.at(SPEED) / shaft.stiffness[:, None, None]
    close(shaft.deflection.at(SPEED), load)


def test_the_film_without_a_given_stiffness() -> None:
    """The largest main load at rated speed takes up the clearance."""
    design = TOURING.design
    peak = Cycle(TOURING, design.layout.rated_speed).bearings.main_peaks.peak.max()
    assert stiffness_of(TOURING) == pytest.approx(peak / design.main_bearing.radial_clearance)
    np.testing.assert_allclose(elastic(TOURING).stiffness, stiffness_of(TOURING))


def test_peaks_are_those_of_the_loads() -> None:
    shaft = elastic(TOURING)
    expected = bearing_peaks(shaft.main_block.at(SPEED), shaft.main_crank.at(SPEED))
    size = np.hypot(*np.moveaxis(shaft.main_block.at(SPEED), 1, 0))
    peaks = shaft.main_peaks(SPEED)
    np.testing.assert_allclose(peaks.peak, size.max(axis=1))
    np.testing.assert_array_equal(peaks.index, expected.index)


def test_web_pulls_are_all_that_turns() -> None:
    """A throw's unbalance in halves, each counterweight on its own web and at its own angle."""
    design = dataclasses.replace(
        TOURING.design,
        counterweights=(Counterweight(3, 0.02, math.pi), Counterweight(4, 0.03, math.pi / 2)),
    )
    design = changed(design, "crank", throw_unbalance=0.05)
    pulls = web_pulls(design)
    angle = design.layout.throw_angles[1]
    throw = 0.025 * np.array([math.sin(angle), math.cos(angle)])
    across = 0.03 * np.array([math.cos(angle), -math.sin(angle)])
    np.testing.assert_allclose(pulls[2], throw - 0.8 * throw, atol=1e-15)
    np.testing.assert_allclose(pulls[3], throw + across, atol=1e-15)
    np.testing.assert_allclose(pulls[0], [0, 0.025], atol=1e-15)


@pytest.mark.parametrize(
    ("stiffness", "housing", "field"),
    [
        (0.0, math.inf, "stiffness"),
        (math.nan, math.inf, "stiffness"),
        (np.full(6, 1e8), math.inf, "stiffness"),
        (1e8, -1.0, "housing"),
    ],
)
def test_a_stiffness_that_cannot_be(
    stiffness: float | np.ndarray, housing: float, field: str
) -> None:
    with pytest.raises(DesignError) as refused:
        elastic(TOURING, stiffness=stiffness, housing=housing)
    assert refused.value.field == field


@pytest.mark.parametrize("group", ["crank_throw", "crank_material", "big_end", "main_bearing"])
def test_a_missing_group_is_named(group: str) -> None:
    without: Design = dataclasses.replace(TOURING.design, **{group: None})
    with pytest.raises(DesignError) as refused:
        elastic(RigidTrain(without), stiffness=1e9)
    assert refused.value.field == group


def test_all_steel_is_one_steel():
    """Rods, pins, bolts, tilt and frame share E; for the defaults E = 2 (1 + ν) G holds."""
    default = {
        (record, one.name): one.default
        for record in (RodMaterial, CrankMaterialChoice)
        for one in dataclasses.fields(record)
    }
    frame = crank_frame(
        shaft_throw(TOURING.design), np.zeros(6), default[CrankMaterialChoice, "shear_modulus"]
    )
    assert frame.elastic_modulus == pytest.approx(STEEL_MODULUS, rel=1e-12)
    assert default[RodMaterial, "elastic_modulus"] == STEEL_MODULUS
    assert default[RodMaterial, "density"] == default[CrankMaterialChoice, "density"]
    assert default[RodMaterial, "density"] == STEEL_DENSITY
