"""The frame: cantilevers, spans and single throws in closed form, equilibrium, reciprocity."""

import dataclasses
import math

import numpy as np
import pytest

from kinematics import DesignError
from kinematics.mechanics.shaft_beam import (
    Frame,
    Section,
    Supports,
    member_stiffness,
    rectangle_section,
    round_section,
    solve_frame,
)
from kinematics.torsion.shaft_stiffness import CrankThrow
from kinematics.train.continuous_shaft import crank_frame

E, G = 206e9, 80e9
BAR = Section(1.3e-3, 2.1e-7, 3.7e-7, 4.9e-7, 1.1e-3, 0.8e-3)
THROW = CrankThrow(0.06, 0.03, 0.05, 0.028, 0.02, 0.09, 0.045, journal_bore=0.02, pin_bore=0.015)
RIGID = math.inf


def straight(length: float, members: int, turn: np.ndarray | None = None) -> Frame:
    """A bar along x from the origin, y across; or turned."""
    node = np.zeros((members + 1, 3))
    node[:, 0] = np.linspace(0, length, members + 1)
    across = np.tile((0.3, 1.0, 0.0), (members, 1))
    if turn is not None:
        node, across = node @ turn.T, across @ turn.T
    start = np.arange(members)
    ends = np.stack((start, start + 1), axis=-1)
    return Frame(node, ends, across, (BAR,) * members, E, G)


def built_in(node: int = 0) -> Supports:
    return Supports(np.full(6, node), np.arange(6), np.full(6, RIGID))


def supported(places: list[tuple[int, int]], stiffness: float = RIGID) -> Supports:
    node, freedom = np.array(places).T
    return Supports(node, freedom, np.full(len(node), stiffness))


def turned_anyhow() -> np.ndarray:
    """A rotation off all axes."""
    q, _ = np.linalg.qr(np.random.default_rng(3).normal(size=(3, 3)))
    return q * np.sign(np.linalg.det(q))


@pytest.mark.parametrize("members", [1, 4])
@pytest.mark.parametrize("turn", [np.eye(3), turned_anyhow()], ids=["along x", "askew"])
def test_cantilever_under_force_and_couple(members: int, turn: np.ndarray) -> None:
    """Force: F l³/3EI + F l/GA_s and F l²/2EI; couple: M l²/2EI and M l/EI; stretch and twist."""
    l, force, couple = 0.37, 800.0, 90.0
    frame = straight(l, members, turn)
    load = np.zeros((members + 1, 6, 6))
    for column, size in enumerate((force, force, force, couple, couple, couple)):
        first = 0 if column < 3 else 3
        load[-1, first : first + 3, column] = size * turn[:, column % 3]
    end = solve_frame(frame, built_in(), load).displacement[-1]
    own = np.concatenate((turn.T @ end[:3], turn.T @ end[3:]))
    stiff_y, stiff_z = E * BAR.second_moment_z, E * BAR.second_moment_y  # bending along y, along z
    expected = np.zeros((6, 6))
    expected[0, 0] = force * l / (E * BAR.area)
    expected[1, 1] = force * (l**3 / (3 * stiff_y) + l / (G * BAR.shear_area_y))
    expected[2, 2] = force * (l**3 / (3 * stiff_z) + l / (G * BAR.shear_area_z))
    expected[5, 1], expected[4, 2] = force * l**2 / 2 / stiff_y, -force * l**2 / 2 / stiff_z
    expected[3, 3] = couple * l / (G * BAR.torsion_constant)
    expected[4, 4], expected[5, 5] = couple * l / stiff_z, couple * l / stiff_y
    expected[2, 4], expected[1, 5] = -couple * l**2 / 2 / stiff_z, couple * l**2 / 2 / stiff_y
    np.testing.assert_allclose(own, expected, rtol=1e-9, atol=1e-9 * np.abs(expected).max())


@pytest.mark.parametrize("part", [0.5, 0.2])
def test_one_span_with_a_force_anywhere(part: float) -> None:
    """Under it F a² b²/3EIl + F a b/GA_s l; slopes F a b (l + b)/6EIl and F a b (l + a)/6EIl."""
    l, force = 0.5, 1000.0
    a, b = part * l, (1 - part) * l
    frame = dataclasses.replace(straight(l, 2), node=np.array([[0, 0, 0], [a, 0, 0], [l, 0, 0]]))
    load = np.zeros((3, 6, 1))
    load[1, 1] = force
    held = supported([(0, 0), (0, 1), (0, 2), (0, 3), (2, 1), (2, 2)])
    result = solve_frame(frame, held, load)
    shift = result.displacement[..., 0]
    stiff = E * BAR.second_moment_z
    under = force * (a**2 * b**2 / (3 * stiff * l) + a * b / (G * BAR.shear_area_y * l))
    # shear turns no section at the ends of a span whose couples are none: slopes are of bending
    assert shift[1, 1] == pytest.approx(under, rel=1e-9)
    assert shift[0, 5] == pytest.approx(force * a * b * (l + b) / (6 * stiff * l), rel=1e-9)
    assert shift[2, 5] == pytest.approx(-force * a * b * (l + a) / (6 * stiff * l), rel=1e-9)
    np.testing.assert_allclose(result.reaction[[1, 4], 0], [-force * b / l, -force * a / l])


@pytest.mark.parametrize("shear_area", [1e-9, 0.8e-3, math.inf])
def test_two_spans_with_shear(shear_area: float) -> None:
    """The inner support bears F (11 l³/48EI + l/2GA) / (l³/6EI + l/2GA): 2 F · 11/16, or F.

    By the force method: what it takes to bring the middle of a span of 2 l back.
    """
    l, force = 0.3, 500.0
    bar = dataclasses.replace(BAR, shear_area_y=shear_area)
    frame = dataclasses.replace(straight(2 * l, 4), section=(bar,) * 4)
    load = np.zeros((5, 6, 1))
    load[[1, 3], 1] = force
    held = supported([(0, 0), (0, 1), (0, 2), (0, 3), (2, 1), (4, 1), (4, 2)])
    bending, shear = l**3 / (E * BAR.second_moment_z), l / (G * shear_area)
    inner = force * (11 / 48 * bending + shear / 2) / (bending / 6 + shear / 2)
    assert -solve_frame(frame, held, load).reaction[4, 0] == pytest.approx(inner, rel=1e-9)


@pytest.mark.parametrize("stiffness", [1e5, 1e8, 1e11])
def test_a_beam_on_three_springs(stiffness: float) -> None:
    """Load F at the middle one of three: R/k = (F - R)/2k + (F - R) (l³/6EI + l/2GA)."""
    l, force = 0.3, 500.0
    frame = straight(2 * l, 2)
    load = np.zeros((3, 6, 1))
    load[1, 1] = force
    springs = supported([(0, 1), (1, 1), (2, 1)], stiffness)
    rest = supported([(0, 0), (0, 2), (0, 3), (2, 2)])
    held = Supports(*(np.concatenate((getattr(springs, n), getattr(rest, n)))
                      for n in ("node", "freedom", "stiffness")))  # fmt: skip
    give = 1 / (2 * stiffness) + l**3 / (6 * E * BAR.second_moment_z)
    give += l / (2 * G * BAR.shear_area_y)
    reaction = -solve_frame(frame, held, load).reaction[:3, 0]
    assert reaction[1] == pytest.approx(force * give / (give + 1 / stiffness), rel=1e-8)
    assert reaction.sum() == pytest.approx(force, rel=1e-9)


def test_a_bracket_pushed_out_of_its_plane() -> None:
    """Arm l, then r square to it: F (l³/3EI + l/GA + l r²/GJ + r³/3EI + r/GA), by Castigliano."""
    l, r, force = 0.25, 0.11, 300.0
    frame = Frame(
        np.array([[0, 0, 0], [0, 0, l], [0, r, l]]),
        np.array([[0, 1], [1, 2]]),
        np.array([[0.0, 1, 0], [0, 0, 1]]),
        (BAR, BAR),
        E,
        G,
    )
    load = np.zeros((3, 6, 1))
    load[2, 0] = force
    shaft = l**3 / (3 * E * BAR.second_moment_y) + l / (G * BAR.shear_area_z)
    arm = r**3 / (3 * E * BAR.second_moment_y) + r / (G * BAR.shear_area_z)
    twist = l * r**2 / (G * BAR.torsion_constant)
    found = solve_frame(frame, built_in(), load).displacement[2, 0, 0]
    assert found == pytest.approx(force * (shaft + arm + twist), rel=1e-9)


def single_throw(axis: int) -> tuple[float, np.ndarray]:
    """Shift of the pin's middle along an axis under 1 kN there, and turns of the front main.

    The throw stands upright on rigid mains and is held along and about the shaft at the rear.
    """
    frame = crank_frame(THROW, np.array([0.0]), G)
    load = np.zeros((7, 6, 1))
    load[3, axis] = 1000.0
    held = supported([(0, 0), (0, 1), (6, 0), (6, 1), (6, 2), (6, 5)])
    shift = solve_frame(frame, held, load).displacement[..., 0]
    return float(shift[3, axis]), shift[0, 3:]


def throw_sizes() -> tuple[float, float, float, Section, Section, Section, float]:
    web = THROW.web_thickness
    a, w = (THROW.journal_length + web) / 2, (THROW.pin_length + web) / 2
    journal = round_section(THROW.journal_diameter, THROW.journal_bore, poisson=E / (2 * G) - 1)
    pin = round_section(THROW.pin_diameter, THROW.pin_bore, poisson=E / (2 * G) - 1)
    return a, w, THROW.crank_radius, journal, rectangle_section(web, THROW.web_width), pin, E


def test_a_throw_pressed_along_its_web() -> None:
    """Castigliano: 2 U / F with F/2 on each half; slope of a main by a pair of unit couples."""
    a, w, r, journal, web, pin, elastic = throw_sizes()
    half = 500.0
    energy = a**3 / (6 * elastic * journal.second_moment_y) + a / (2 * G * journal.shear_area_y)
    energy += a**2 * r / (2 * elastic * web.second_moment_z) + r / (2 * elastic * web.area)
    energy += ((a + w) ** 3 - a**3) / (6 * elastic * pin.second_moment_y)
    energy += w / (2 * G * pin.shear_area_y)
    slope = a**2 / (2 * elastic * journal.second_moment_y)
    slope += a * r / (elastic * web.second_moment_z)
    slope += ((a + w) ** 2 - a**2) / (2 * elastic * pin.second_moment_y)
    shift, turns = single_throw(1)
    assert shift == pytest.approx(2 * energy * half, rel=1e-8)
    np.testing.assert_allclose(turns, [-half * slope, 0, 0], atol=1e-9 * half * slope)


def test_a_throw_pressed_across_its_web() -> None:
    """Castigliano: the webs twist by F a/2, the pin by F r/2, the rear journal by F r."""
    a, w, r, journal, web, pin, elastic = throw_sizes()
    half = 500.0
    energy = 2 * a**3 / (6 * elastic * journal.second_moment_y)  # all over the half force squared
    energy += 2 * a / (2 * G * journal.shear_area_y)
    energy += (2 * r) ** 2 * a / (2 * G * journal.torsion_constant)  # behind the throw alone
    energy += 2 * a**2 * r / (2 * G * web.torsion_constant) + 2 * r / (2 * G * web.shear_area_z)
    front, rear = r**3 / 3, 7 * r**3 / 3  # of s², of (2 r - s)², each from 0 to r
    energy += (front + rear) / (2 * elastic * web.second_moment_y)
    energy += 2 * ((a + w) ** 3 - a**3) / (6 * elastic * pin.second_moment_y)
    energy += 2 * w / (2 * G * pin.shear_area_y) + 2 * r**2 * w / (2 * G * pin.torsion_constant)
    shift, _ = single_throw(0)
    assert shift == pytest.approx(energy * half, rel=1e-8)


def any_shaft() -> tuple[Frame, Supports, np.ndarray]:
    """A crank of four throws at odd angles on uneven springs, forces and couples everywhere."""
    frame = crank_frame(THROW, np.array([0.0, 1.3, 4.0, 2.2]), G)
    main = np.arange(5) * 6
    node = np.append(np.repeat(main, 2), (24, 24))
    freedom = np.append(np.tile((0, 1), 5), (2, 5))
    stiffness = np.append(np.repeat([3e8, RIGID, 1e8, 7e8, 2e9], 2), (RIGID, RIGID))
    load = np.random.default_rng(8).normal(size=(25, 6, 3)) * 1e3
    load[:, 3:] *= 0.05
    return frame, Supports(node, freedom, stiffness), load


def test_loads_and_reactions_are_in_equilibrium() -> None:
    frame, supports, load = any_shaft()
    result = solve_frame(frame, supports, load)
    total = load.copy()
    np.add.at(total, (supports.node, supports.freedom), result.reaction)
    force, couple = total[:, :3], total[:, 3:]
    moment = couple + np.cross(frame.node[:, None], force.transpose(0, 2, 1)).transpose(0, 2, 1)
    size = np.abs(load).sum()
    np.testing.assert_allclose(force.sum(axis=0), 0, atol=1e-11 * size)
    np.testing.assert_allclose(moment.sum(axis=0), 0, atol=1e-11 * size)


def test_what_one_force_does_to_another_is_mutual() -> None:
    """Maxwell and Betti: the work of one load on the other's shifts is that of the other on its."""
    frame, supports, load = any_shaft()
    shift = solve_frame(frame, supports, load).displacement
    work = np.einsum("kfa,kfb->ab", load, shift)
    np.testing.assert_allclose(work, work.T, rtol=1e-10)
    assert np.all(np.linalg.eigvalsh(work) > 0)


def test_members_moved_as_a_whole_bear_nothing() -> None:
    frame, _, _ = any_shaft()
    turn, shift = np.array([0.2, -0.7, 0.4]), np.array([1.0, 2.0, -0.5])
    moved = np.concatenate((shift + np.cross(turn, frame.node), np.tile(turn, (25, 1))), axis=1)
    ends = np.concatenate((moved[frame.ends[:, 0]], moved[frame.ends[:, 1]]), axis=1)
    stiffness = member_stiffness(frame)
    force = np.einsum("eij,ej->ei", stiffness, ends)
    np.testing.assert_allclose(force, 0, atol=1e-13 * np.abs(stiffness).max())
    np.testing.assert_allclose(stiffness, stiffness.transpose(0, 2, 1), atol=1e-3)


def test_rigid_is_the_limit_of_stiff() -> None:
    frame, supports, load = any_shaft()
    rigid = dataclasses.replace(supports, stiffness=np.full(12, RIGID))
    stiff = dataclasses.replace(supports, stiffness=np.full(12, 1e16))
    expected = solve_frame(frame, rigid, load).reaction
    found = solve_frame(frame, stiff, load).reaction
    np.testing.assert_allclose(found, expected, rtol=1e-5, atol=1e-5 * np.abs(expected).max())


def test_round_sections() -> None:
    """Cowper: whole 6 (1 + ν)/(7 + 6ν); thin tube 2 (1 + ν)/(4 + 3ν)."""
    whole, tube = (
        round_section(0.06, poisson=0.3),
        round_section(0.06, 0.06 * (1 - 1e-7), poisson=0.3),
    )
    assert whole.shear_area_y / whole.area == pytest.approx(7.8 / 8.8)
    assert tube.shear_area_z / tube.area == pytest.approx(2.6 / 4.9, rel=1e-6)
    assert whole.torsion_constant == pytest.approx(math.pi * 0.06**4 / 32)
    assert tube.second_moment_y == pytest.approx(tube.area * 0.06**2 / 8, rel=1e-6)


def series_torsion(long: float, short: float) -> float:
    """Saint-Venant: a b³/3 (1 - 192 b/π⁵a Σ tanh(n π a/2b)/n⁵), n odd."""
    odd = np.arange(1, 60, 2)
    sum_ = (np.tanh(odd * math.pi * long / (2 * short)) / odd**5).sum()
    return float(long * short**3 / 3 * (1 - 192 * short / (math.pi**5 * long) * sum_))


@pytest.mark.parametrize("ratio", [1.0, 1.5, 4.0, 20.0])
def test_rectangles(ratio: float) -> None:
    section = rectangle_section(0.02, 0.02 * ratio)
    assert section.torsion_constant == pytest.approx(series_torsion(0.02 * ratio, 0.02), rel=0.005)
    assert section.second_moment_z == pytest.approx(0.02 * ratio * 0.02**3 / 12)
    assert section.second_moment_y == pytest.approx(0.02 * (0.02 * ratio) ** 3 / 12)
    turned = rectangle_section(0.02 * ratio, 0.02)
    assert turned.torsion_constant == section.torsion_constant


def test_what_cannot_be_solved_is_said() -> None:
    frame, load = straight(0.3, 2), np.zeros((3, 6, 1))
    with pytest.raises(DesignError, match="free to move"):
        solve_frame(frame, supported([(0, 0), (0, 1)]), load)
    with pytest.raises(DesignError, match="member 1 of the frame has no length"):
        member_stiffness(dataclasses.replace(frame, node=frame.node[[0, 1, 1]]))
    with pytest.raises(DesignError, match="no direction across"):
        member_stiffness(dataclasses.replace(frame, across=np.tile((1.0, 0, 0), (2, 1))))
