"""Main-bearing loads with the crankshaft as one elastic body on elastic mains.

The shaft runs through: what one throw bears bends its neighbours, and a main bears some of the
load of throws that it does not touch. `bearing_loads` cuts the shaft at each main instead.

Each throw is half a journal, a web, the pin, a web, half a journal: round bars and rectangular
webs, their lengths between the middles of the webs' thickness and between the shaft's and the
pin's axis. Webs are as stiff as lets the whole throw have its stiffness by finite elements,
overlap and stiff joints counted (`throw_frame`). Outside what the surface of those was
sampled for, webs are as drawn: too soft by up to half. Each main holds its journal by a spring,
alike in all directions, so that the shaft may be solved once, in axes that turn with it. Its
turning is held at the rear, where the flywheel is, and its place along z too. Rods press on the
pins' middles; throws and counterweights pull at their webs. The mass of the shaft does not
vibrate, the film does not damp, the mains stand in line, and nose, flywheel and belt do not load
it.

Source: the frame is that of `shaft_beam`; a journal in its clearance as a linear spring is common
practice, no source.
"""

import math

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.design.design_parts import STEEL_POISSON
from kinematics.design.shaft_throw import shaft_throw
from kinematics.design.solid_throw import solid_throw
from kinematics.errors import DesignError
from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia
from kinematics.mechanics.shaft_beam import (
    FREEDOMS,
    DeflectedFrame,
    Frame,
    Supports,
    solve_frame,
)
from kinematics.one_line import frozen_record
from kinematics.throw.throw_frame import bar_sections, solid_sections
from kinematics.throw.throw_surface import ThrowStiffness
from kinematics.torsion.shaft_stiffness import CrankThrow
from kinematics.train.bearing_loads import (
    BearingPeaks,
    Turn,
    bearing_peaks,
    main_bearing_loads,
    rods_on_throws,
    rotating_parts,
    turned,
    turned_load,
    weighted_sums,
)

THROW_NODES = 6  # main, web at the shaft's axis and at the pin's, pin's middle, and the web behind
_FRONT_FOOT, _PIN, _REAR_FOOT = 1, 3, 5
_ALONG_Z, _TURN_ABOUT_Z = 2, 5
_PURPOSE = "the continuous crankshaft"


@frozen_record
class BendingCurve:
    """Bending of the shaft at one angle and one speed, straight between its k places."""

    place: Array  # [m] (k,), along z from the middle of the crank
    moment: Array  # [N·m] (2, k), by forces along the block's x and y


@frozen_record
class ContinuousShaft:
    """What the continuous shaft does to its mains over the cycle, and what it carries itself.

    Bending and shear are positive as those of a single throw are under a force on its pin
    outward, or across the throw in the sense of rotation.
    """

    stiffness: Array  # [N/m] (m,), of film and housing of each main together
    main_block: GasAndInertia  # [N] (m, 2, n), load on the shell
    main_crank: GasAndInertia  # [N] (m, 2, n), load on the journal, in throw 1's frame
    throw_angle: Array  # [rad] (t,), of each throw from throw 1
    station: Array  # [m] (4t + 1,), along z: main, web, pin, web, main …
    station_unit: Array  # [N] (4t + 1, 2, c), all forces on the shaft under the unit loads
    crank_angle: Array  # [rad] (n,)
    pins: GasAndInertia  # [N] (t, 2, n), the rods' forces, throw 1's frame
    deflected: DeflectedFrame  # under 1 N along x and y on each pin, and all pulls of the webs

    @property
    def station_force(self) -> GasAndInertia:
        """All forces on the shaft [N], (4t + 1, 2, n), in throw 1's frame.

        Reference: equilibrium of the shaft.
        """
        return _over_cycle(self.station_unit, self.pins)

    @property
    def web_bending(self) -> GasAndInertia:
        """Bending at mid web [N·m], (2t, 2, n), in the throw's plane and across it.

        Reference: statics, all forces in front of a place.
        """
        return self._in_throws(self._moments[:, 1::2])

    @property
    def web_shear(self) -> GasAndInertia:
        """Force of a web on its journal [N], (2t, 2, n), outward and with rotation.

        Reference: statics, all forces in front of a place.
        """
        before = self._by_throw(self.station_unit.cumsum(axis=0)[:-1])
        return self._in_throws(np.stack((-before[:, 0], before[:, 3]), axis=1))

    @property
    def pin_bending(self) -> GasAndInertia:
        """Bending at the pins' middles [N·m], (t, 2, n), as of the webs.

        Reference: statics, all forces in front of a place.
        """
        return self._in_throws(self._moments[:, 2:3])

    @property
    def _moments(self) -> Array:
        """Moments at each throw's main, web, pin and web under the unit loads (t, 4, 2, c)."""
        return self._by_throw(weighted_sums(_moments(self.station)[:-1], self.station_unit))

    def _by_throw(self, values: Array) -> Array:
        return values.reshape(len(self.throw_angle), 4, *values.shape[1:])

    def _in_throws(self, influence: Array) -> GasAndInertia:
        """Return what unit loads do at k places of each throw (t, k, 2, c), over the cycle.

        Along the throw's outward direction and across it, (t k, 2, n).
        """
        angle = self.throw_angle[:, None, None]
        own = turned(influence, Turn(np.sin(angle), np.cos(angle)))[..., ::-1, :]
        return _over_cycle(own.reshape(-1, *own.shape[2:]), self.pins)

    @property
    def deflection(self) -> GasAndInertia:
        """Shift of the journals' middles [m] (m, 2, n), block axes.

        Reference: Przemieniecki, Theory of Matrix Structural Analysis (from memory), as of
        `shaft_beam`.
        """
        main = np.arange(len(self.stiffness)) * THROW_NODES
        return self._in_block(self.deflected.displacement[main, :2])

    @property
    def slope(self) -> GasAndInertia:
        """Slopes dx/dz and dy/dz of the journals [rad] (m, 2, n), block axes.

        Reference: as of `deflection`.
        """
        main = np.arange(len(self.stiffness)) * THROW_NODES
        return self._in_block(slopes(self.deflected, main))

    def _in_block(self, influence: Array) -> GasAndInertia:
        turn = Turn(np.sin(self.crank_angle), np.cos(self.crank_angle)).back
        return turned_load(_over_cycle(influence, self.pins), turn)

    def main_peaks(self, speed: float) -> BearingPeaks:
        """Return peaks of the main bearings at a speed [rad/s]."""
        return bearing_peaks(self.main_block.at(speed), self.main_crank.at(speed))

    def bending_curve(self, index: int, speed: float) -> BendingCurve:
        """Return the bending along the shaft at a place on the angle grid and a speed [rad/s].

        Reference: Przemieniecki, Theory of Matrix Structural Analysis (from memory), as of
        `shaft_beam`.
        """
        load, angle = self.station_force, self.crank_angle[index : index + 1]
        force = load[..., [index]].at(speed)
        in_block = turned(force, Turn(np.sin(angle), np.cos(angle)).back)[..., 0]
        return BendingCurve(self.station, (_moments(self.station) @ in_block).T)


def continuous_main_loads(
    design: Design,
    crank_angle: Array,
    big_end_block: GasAndInertia,
    *,
    stiffness: float | Array | None = None,
    housing: float = math.inf,
) -> ContinuousShaft:
    """Return loads, slopes and bending of a design's continuous shaft over the cycle.

    Parameters
    ----------
    crank_angle : [rad] (n,)
    big_end_block : [N] (c, 2, n), big-end loads in the block's frame
    stiffness : [N/m] of a main's film, one or (m,); infinite is rigid; without, that of the
        design, else `film_stiffness`
    housing : [N/m] of a main's housing, under the film

    Raises
    ------
    DesignError
        Where a stiffness is not above 0, has a wrong count, or where crank_throw, crank_material,
        big_end or main_bearing is missing.

    Reference: Przemieniecki, Theory of Matrix Structural Analysis (from memory), as of
    `shaft_beam`.
    """
    to_throw = Turn(np.sin(crank_angle), np.cos(crank_angle))
    if stiffness is None:
        given = design.crank.main_stiffness
        stiffness = film_stiffness(design, to_throw, big_end_block) if given is None else given
    springs = _springs(design.layout.throws + 1, stiffness, housing)
    frame, main = design_frame(design), main_nodes(design)
    pulls, pins = web_pulls(design), pin_forces(design, to_throw, big_end_block)
    result = solve_frame(frame, _supports(main, springs), _unit_loads(len(frame.node), pulls))
    held = result.reaction[: 2 * len(main)].reshape(len(main), 2, -1)
    main_crank = _over_cycle(-held, pins)
    return ContinuousShaft(
        stiffness=springs,
        main_block=turned_load(main_crank, to_throw.back),
        main_crank=main_crank,
        throw_angle=np.array(design.layout.throw_angles),
        station=_stations(frame, main),
        station_unit=_station_forces(-held, pulls),
        crank_angle=crank_angle,
        pins=pins,
        deflected=result,
    )


def journal_slopes(
    design: Design, crank_angle: Array, big_end_block: Array, main_shift: Array, speed: float
) -> tuple[Array, Array]:
    """Return slopes of the shaft with its mains where their films put them, block axes [rad].

    Parameters
    ----------
    crank_angle : [rad] (n,)
    big_end_block : [N] (c, 2, n), at the speed
    main_shift : [m] (m, 2, n), of the main journals' middles, block axes
    speed : [rad/s]

    Returns dx/dz and dy/dz of the mains (m, 2, n) and of the pins' middles (t, 2, n). Raises
    DesignError as `continuous_main_loads`.

    Reference: Przemieniecki, Theory of Matrix Structural Analysis (from memory), as of
    `shaft_beam`.
    """
    to_throw = Turn(np.sin(crank_angle), np.cos(crank_angle))
    frame, main = design_frame(design), main_nodes(design)
    pins = _on_pins(design, to_throw, big_end_block)
    loads = _unit_loads(len(frame.node), web_pulls(design))
    shifts = 2 * len(main)
    load = np.concatenate((loads, np.zeros((*loads.shape[:2], shifts))), axis=-1)
    settled = np.zeros((shifts + 2, load.shape[-1]))  # the last two hold place and turn about z
    settled[np.arange(shifts), loads.shape[-1] + np.arange(shifts)] = 1.0
    rigid = _supports(main, np.full(len(main), math.inf))
    result = solve_frame(frame, rigid, load, settled)
    causes = np.concatenate((
        pins.reshape(-1, len(crank_angle)),
        np.full((1, len(crank_angle)), speed**2),
        turned(main_shift, to_throw).reshape(-1, len(crank_angle)),
    ))  # fmt: skip
    of_mains, of_pins = (
        turned(slopes(result, node) @ causes, to_throw.back) for node in (main, pin_nodes(design))
    )
    return of_mains, of_pins


def film_stiffness(design: Design, to_throw: Turn, big_end_block: GasAndInertia) -> float:
    """Return a stiffness of a main's film [N/m]: the largest load at rated speed over clearance.

    The load is the largest of all mains by the determinate rule, the clearance the radial one: a
    spring that gives way as far as a journal can. Films are softer under a small load and much
    stiffer when thin, so try others too. Arguments as of `main_bearing_loads`.

    Reference: a linear spring for the film: common practice, no source.
    """
    bearing = design.needed("main_bearing", _PURPOSE)
    load = main_bearing_loads(design, to_throw, big_end_block).at(design.layout.rated_speed)
    return float(np.hypot(load[:, 0], load[:, 1]).max() / bearing.radial_clearance)


def pin_forces(design: Design, to_throw: Turn, big_end_block: GasAndInertia) -> GasAndInertia:
    """Return the rods' forces on each pin [N] (t, 2, n), in throw 1's frame.

    Arguments as of `main_bearing_loads`.

    Reference: a turn of axes, vector geometry.
    """
    return big_end_block.mapped(lambda load: _on_pins(design, to_throw, load))


def _on_pins(design: Design, to_throw: Turn, load: Array) -> Array:
    return turned(weighted_sums(-rods_on_throws(design.layout), load), to_throw)


def web_pulls(design: Design) -> Array:
    """Return what throws and counterweights do to each web [N] at 1 rad/s, (2t, 2), throw 1's axes.

    A throw's unbalance is halved between its webs; each pull goes through the shaft's axis.

    Reference: follows from statics of a rigid rotor.
    """
    parts, throws = rotating_parts(design), design.layout.throws
    pull = np.zeros(2 * throws, dtype=complex)
    pull += np.repeat(parts.unbalance[:throws] / 2, 2)
    behind = parts.offset[throws:] > 0
    np.add.at(pull, 2 * parts.throw[throws:] + behind, parts.unbalance[throws:])
    return np.stack((pull.imag, pull.real), axis=-1)


def design_frame(design: Design) -> Frame:
    """Return the frame of a design's shaft, in throw 1's axes.

    Raises DesignError where crank_throw, crank_material, big_end or main_bearing is missing.

    Reference: Przemieniecki, Theory of Matrix Structural Analysis (from memory), as of
    `shaft_beam`.
    """
    shear = design.needed("crank_material", _PURPOSE).shear_modulus
    throw, solid = shaft_throw(design, _PURPOSE), solid_throw(design, _PURPOSE).stiffness
    return crank_frame(throw, np.array(design.layout.throw_angles), shear, solid)


def main_nodes(design: Design) -> NDArray[np.intp]:
    """Return the nodes of the mains' middles in the frame of `design_frame`, (m,)."""
    return np.arange(design.layout.throws + 1) * THROW_NODES


def pin_nodes(design: Design) -> NDArray[np.intp]:
    """Return the nodes of the pins' middles, (t,)."""
    return main_nodes(design)[:-1] + _PIN


def slopes(result: DeflectedFrame, node: NDArray[np.intp]) -> Array:
    """Return dx/dz and dy/dz of some nodes under each load [rad], (nodes, 2, c).

    Reference: Przemieniecki, Theory of Matrix Structural Analysis (from memory), as of
    `shaft_beam`.
    """
    turn = result.displacement[node, 3:5]
    return np.stack((turn[:, 1], -turn[:, 0]), axis=1)


def crank_frame(
    throw: CrankThrow,
    throw_angles: Array,
    shear_modulus: float,
    solid: ThrowStiffness | None = None,
) -> Frame:
    """Return the frame of a shaft whose throws stand at angles (t,) [rad], in throw 1's axes.

    Six nodes a throw from its front main on, then the last main. A journal's and a pin's y
    points outward, a web's along the shaft. `shear_modulus` [Pa] gives E = 2 (1 + ν) G. Each
    throw has the stiffness of `solid`; without it, that of its bars and webs as drawn.

    Reference: Przemieniecki, Theory of Matrix Structural Analysis (from memory), as of
    `shaft_beam`.
    """
    throws, web, radius = len(throw_angles), throw.web_thickness, throw.crank_radius
    to_web = (throw.pin_length + web) / 2
    to_main = to_web + (throw.journal_length + web) / 2
    along = np.array([-to_main, -to_web, -to_web, 0.0, to_web, to_web])
    off_axis = radius * np.array([0.0, 0.0, 1.0, 1.0, 1.0, 0.0])
    middle = 2 * to_main * (np.arange(throws) - (throws - 1) / 2)
    outward = np.stack((np.sin(throw_angles), np.cos(throw_angles), 0 * throw_angles), axis=-1)
    node = off_axis[:, None] * outward[:, None]
    node[..., 2] = middle[:, None] + along
    node = np.concatenate((node.reshape(-1, 3), [[0.0, 0.0, throws * to_main]]))
    across = np.repeat(outward[:, None], THROW_NODES, axis=1)
    across[:, [1, 4]] = (0.0, 0.0, 1.0)
    drawn = bar_sections(throw)
    parts = drawn if solid is None else solid_sections(throw, solid, shear_modulus)
    journal, plate, pin = parts.journal, parts.web, parts.pin
    start = np.arange(throws * THROW_NODES)
    return Frame(
        node=node,
        ends=np.stack((start, start + 1), axis=-1),
        across=across.reshape(-1, 3),
        section=(journal, plate, pin, pin, plate, journal) * throws,
        elastic_modulus=2 * (1 + STEEL_POISSON) * shear_modulus,
        shear_modulus=shear_modulus,
    )


def _springs(mains: int, stiffness: float | Array, housing: float) -> Array:
    """Return film and housing of each main in series [N/m], (m,)."""
    film = np.asarray(stiffness, dtype=float)
    if film.shape not in ((), (mains,)):
        raise DesignError(
            "stiffness", f"must be one value or one per main, {mains} (got shape {film.shape})"
        )
    for name, value in (("stiffness", film), ("housing", np.asarray(housing, dtype=float))):
        if not np.all(value > 0):
            raise DesignError(name, f"must be above 0 (got {value.min():g} N/m)")
    with np.errstate(divide="ignore"):  # both rigid
        in_series = 1 / (1 / film + 1 / np.float64(housing))
    return np.broadcast_to(in_series, (mains,))


def _supports(main: NDArray[np.intp], springs: Array) -> Supports:
    """Return a spring along x and y at each main, and the last main held along and about z."""
    return Supports(
        node=np.append(np.repeat(main, 2), (main[-1], main[-1])),
        freedom=np.append(np.tile((0, 1), len(main)), (_ALONG_Z, _TURN_ABOUT_Z)),
        stiffness=np.append(np.repeat(springs, 2), (math.inf, math.inf)),
    )


def _unit_loads(nodes: int, pulls: Array) -> Array:
    """Return 1 N along x and y on each pin, and last all pulls of the webs, (k, 6, 2t + 1)."""
    throws = len(pulls) // 2
    load = np.zeros((nodes, FREEDOMS, 2 * throws + 1))
    first, column = np.arange(throws) * THROW_NODES, 2 * np.arange(throws)
    for axis in (0, 1):
        load[first + _PIN, axis, column + axis] = 1.0
    for web, foot in enumerate((_FRONT_FOOT, _REAR_FOOT)):
        load[first + foot, :2, -1] = pulls[web::2]
    return load


def _over_cycle(influence: Array, pins: GasAndInertia) -> GasAndInertia:
    """Return what unit loads do (k, 2, 2t + 1) times the loads over the cycle, (k, 2, n)."""
    of_pins, of_webs = influence[..., :-1], influence[..., -1:]
    rows = of_pins.reshape(-1, of_pins.shape[-1])

    def moved(force: Array) -> Array:
        *lead, throws, axes, points = force.shape
        caused = rows @ force.reshape(*lead, throws * axes, points)
        return caused.reshape(*lead, *influence.shape[:-1], points)

    load = pins.mapped(moved)
    return GasAndInertia(load.gas, load.inertia + of_webs)


def _stations(frame: Frame, main: NDArray[np.intp]) -> Array:
    """Return where forces act along the shaft [m], (4t + 1,): main, web, pin, web, main …"""
    of_throw = main[:-1, None] + (0, _FRONT_FOOT, _PIN, _REAR_FOOT)
    place: Array = frame.node[np.append(of_throw, main[-1]), 2]
    return place


def _station_forces(on_mains: Array, pulls: Array) -> Array:
    """Return all forces on the shaft under the unit loads [N], (4t + 1, 2, 2t + 1).

    Parameters
    ----------
    on_mains : [N] (m, 2, 2t + 1), of the journals on their mains
    pulls : [N] (2t, 2), the last of the loads
    """
    throws = len(on_mains) - 1
    force = np.zeros((4 * throws + 1, *on_mains.shape[1:]))
    force[0::4], force[1::2, :, -1] = -on_mains, pulls
    force[2::4, :, :-1] = np.eye(2 * throws).reshape(throws, 2, -1)
    return force


def _moments(place: Array) -> Array:
    """Return the bending at each station per force on each, (k, k) [m]: of all in front of it."""
    return -np.maximum(place[:, None] - place, 0.0)
