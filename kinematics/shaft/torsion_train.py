"""The torsional system of a design, how its cylinders make it vibrate, and how evenly it turns.

From the front: the damper's ring if there is one, the hub, the throws, the flywheel. Amplitudes
are half the range over a cycle, of all orders together. Sources are those of `torsion`.
"""

import math
from dataclasses import dataclass, replace

import numpy as np

from kinematics.array import Array, ComplexArray
from kinematics.design.design import Design
from kinematics.design.design_torsion import Torsion
from kinematics.design.shaft_throw import shaft_throw
from kinematics.design.solid_throw import SolidThrow, solid_throw
from kinematics.errors import DesignError
from kinematics.kept_with import kept_with_first
from kinematics.mechanics.firing_order import firing_angles
from kinematics.mechanics.rod_mass import two_mass_rod
from kinematics.one_line import frozen_record, one_line, quantity
from kinematics.shaft.shaft_geometry import shaft_geometry
from kinematics.throw.throw_surface import FINITE_ELEMENTS
from kinematics.torsion.cyclic_irregularity import (
    EnergyFluctuation,
    degree_of_irregularity,
    energy_fluctuation,
)
from kinematics.torsion.shaft_stiffness import (
    THROW_FORMULAS,
    cylinder_stiffness,
    running_gear_inertia,
    series_stiffness,
    throw_stiffness,
)
from kinematics.torsion.torsion_damper import TorsionDamper, optimum_damper, with_damper
from kinematics.torsion.torsion_modes import (
    STANDS_STILL,
    TorsionModes,
    critical_speeds,
    torsion_modes,
)
from kinematics.torsion.torsion_response import (
    ForcedResponse,
    TorqueHarmonics,
    excitation,
    phase_vectors,
    phasor_sums,
    polar_section_modulus,
    torque_harmonics,
    torsional_stress,
    vibratory_amplitude,
)
from kinematics.torsion.torsional_system import TorsionalSystem
from kinematics.train.cycle import RigidTrain, rigid_train

HIGHEST_ORDER = 12
POINTS_A_WAVE = 32  # of the highest order: a crest is missed by 0.5 % at most
RUBBER_LOSS = 0.25  # largest loss factor c ω / k of a damper's rubber (from memory)
BEFORE = "ker_wilson"  # where finite elements do not hold
_PURPOSE = "torsional vibration"


@frozen_record
class TorsionalChain:
    """A design's torsional system and what stands where in it."""

    system: TorsionalSystem
    hub: int  # place of the free end: 0, or 1 behind a damper's ring
    first_throw: int  # place of throw 1
    places: tuple[int, ...]  # of each cylinder, the throw that it drives
    firing_angles: tuple[float, ...]  # of each cylinder [rad]
    turns: int  # of the crank in a cycle
    damper: TorsionDamper | None
    stiffness_band: dict[str, float]  # of a throw by each formula that holds for it [N·m/rad]
    formula: str  # the one used
    outside: tuple[str, ...] = ()  # why finite elements do not hold, in words

    def __repr__(self) -> str:
        inertia = quantity(sum(self.system.inertias), "kg_mm2")
        return one_line(
            self,
            f"{len(self.system.inertias)} inertias, {inertia} in all",
            f"throw stiffness {quantity(self.stiffness_band[self.formula], 'kNm_rad')}",
            f"by {self.formula}",
        )

    @property
    def stiffness_spread(self) -> float:
        """How much stiffer the band's highest is than its lowest, as a share of that."""
        return max(self.stiffness_band.values()) / min(self.stiffness_band.values()) - 1


@frozen_record
class TorsionalStrain:
    """Amplitudes at each speed (s,), or of several vibrations (..., s)."""

    chain: TorsionalChain
    response: ForcedResponse
    span_torque: Array  # [N·m] (s, N - 1), the damper's span included
    pin_torque: Array  # [N·m] (s, t), midway between the spans before and behind a throw
    free_end: Array  # [rad] (s,), of the hub against the flywheel: the whole shaft's twist

    def __repr__(self) -> str:
        return one_line(
            self,
            f"speeds {quantity(self.response.speed, 'rpm', 5)}",
            f"free end up to {quantity(self.free_end.max(), 'deg', 3)}",
            f"span torque up to {quantity(self.span_torque.max(), 'Nm')}",
        )

    @property
    def journal_torque(self) -> Array:
        """In the journals before and behind each throw [N·m], (s, t, 2)."""
        shaft = self.span_torque[..., self.chain.hub :]
        return np.stack((shaft[..., :-1], shaft[..., 1:]), axis=-1)


@dataclass(frozen=True, slots=True)
class CriticalSpeed:
    """Where an order meets a mode."""

    mode: int  # as in `modes`
    order: float
    speed: float  # [rad/s]
    phasor_sum: float  # of the throws' swings, that of the free end being 1

    def __repr__(self) -> str:
        return one_line(
            self,
            f"mode {self.mode}",
            f"order {self.order:g}",
            quantity(self.speed, "rpm"),
            f"phasor sum {self.phasor_sum:.3g}",
        )


@frozen_record
class IdleTurning:
    """How evenly a stiff crank turns; irregularity is (ω_max - ω_min) / ω_mean."""

    inertia: float  # of all that turns [kg·m²]
    idle: EnergyFluctuation
    idle_irregularity: float
    idle_from: str  # "model": at the idle load; "trace": the whole trace, whatever its load
    rated: EnergyFluctuation
    rated_irregularity: float
    flywheel_needed: float  # [kg·m²] for the allowable at idle, 0 where the rest suffices

    def __repr__(self) -> str:
        return one_line(
            self,
            f"irregularity at idle {self.idle_irregularity:.3g}",
            f"at rated speed {self.rated_irregularity:.3g}",
            f"inertia {quantity(self.inertia, 'kg_mm2')}",
            f"flywheel needed {quantity(self.flywheel_needed, 'kg_mm2')}",
        )


def throw_inertia(design: Design) -> Array:
    """Return the inertia of each throw of the bare shaft about the main axis [kg·m²], (t,).

    As the design gives it, else by the shaft's bodies.

    Reference: a sum over the shaft's bodies, as of `shaft_geometry`.
    """
    given = design.needed("torsion", _PURPOSE).throw_inertia
    throws = design.layout.throws
    if given is not None:
        return np.full(throws, given)
    return shaft_geometry(design, _PURPOSE).throw_inertias(throws)


def torsional_chain(train: RigidTrain) -> TorsionalChain:
    """Return the torsional system of a design; raises DesignError where groups are missing.

    Parameters
    ----------
    train : of a design with the groups of the crankshaft and torsion

    Returns
    -------
    N inertias [kg·m²] and N - 1 stiffnesses [N·m/rad], from the free end.

    Reference: Den Hartog, Mechanical Vibrations, chapter 5 (from memory).

    >>> from kinematics import load_demo, rigid_train, torsional_chain
    >>> torsional_chain(rigid_train(load_demo("hill_climb_six")))
    TorsionalChain(9 inertias, 139800 kg·mm² in all, throw stiffness 455.4 kN·m/rad, by
    finite_elements)
    """
    design, layout = train.design, train.design.layout
    torsion, turns = design.needed("torsion", _PURPOSE), layout.strokes_per_cycle // 2
    solid, firing = solid_throw(design, _PURPOSE), firing_angles(layout)
    band = _stiffness_band(design, solid)
    formula = _formula_used(torsion.throw_formula, band, solid)
    bare = _bare_shaft(design, torsion, band[formula])
    damper = _damper(torsion, bare)
    system, hub = (bare, 0) if damper is None else (with_damper(bare, damper), 1)
    places = tuple(hub + throw for throw in layout.throw_of_cylinder)
    return TorsionalChain(
        system, hub, hub + 1, places, firing, turns, damper, band, formula, solid.outside
    )


def modes(chain: TorsionalChain) -> TorsionModes:
    """Return natural frequencies and mode shapes, turning as a whole included.

    Reference: Den Hartog, Mechanical Vibrations, chapter 5 (from memory).
    """
    return torsion_modes(chain.system)


def critical_speed_table(chain: TorsionalChain, low: float, high: float) -> list[CriticalSpeed]:
    """Return where orders meet modes from one speed to another [rad/s], slowest first.

    Reference: order meets mode where order · speed is the natural frequency, by definition.
    """
    free = modes(chain)
    order = np.arange(1, HIGHEST_ORDER * chain.turns + 1) / chain.turns
    speed = critical_speeds(free, order)
    phases = phase_vectors(order, np.array(chain.firing_angles))
    swing = np.maximum(np.abs(free.shape[:, chain.hub, None]), STANDS_STILL)
    sums = np.abs(phasor_sums(phases, free.shape[:, list(chain.places)])) / swing
    found = [
        CriticalSpeed(int(m), float(order[k]), float(speed[m, k]), float(sums[m, k]))
        for m, k in np.argwhere((low <= speed) & (speed <= high) & (speed > 0))
    ]
    return sorted(found, key=lambda critical: critical.speed)


@kept_with_first
def chain_harmonics(train: RigidTrain) -> TorqueHarmonics:
    """Return the torque of each cylinder by order, (c, k), up to `HIGHEST_ORDER`; kept.

    Reference: Fourier series; any book on vibration.
    """
    turns = train.design.layout.strokes_per_cycle // 2
    return torque_harmonics(train.loads.cylinder_torque, turns=turns, highest_order=HIGHEST_ORDER)


def chain_response(train: RigidTrain, chain: TorsionalChain, speeds: Array) -> ForcedResponse:
    """Return the steady vibration at speeds [rad/s], (s,), above zero.

    Reference: as of `eliminated_response`.
    """
    harmonics = chain_harmonics(train)
    inertias = len(chain.system.inertias)
    torque = excitation(harmonics, speeds, place=chain.places, inertias=inertias)
    return eliminated_response(chain.system, speeds, harmonics.order, torque)


def misfire_response(
    train: RigidTrain, motored: RigidTrain, chain: TorsionalChain, speeds: Array
) -> ForcedResponse:
    """Return the vibration with each cylinder in turn motored, its angles (c, s, k, N).

    Parameters
    ----------
    motored : the same design with no cylinder burning

    Reference: the chain is linear: only the harmonics of that cylinder's torque are exchanged.
    """
    harmonics, dead = chain_harmonics(train), chain_harmonics(motored)
    inertias = len(chain.system.inertias)
    torque = excitation(harmonics, speeds, place=chain.places, inertias=inertias)
    change = dead.at(speeds) - harmonics.at(speeds)
    place, row = np.array(chain.places), np.arange(len(chain.places))
    states = np.repeat(torque[None], len(place), axis=0)
    states[row, :, :, place] += np.moveaxis(change, 1, 0)
    return eliminated_response(chain.system, speeds, harmonics.order, states)


def eliminated_response(
    system: TorsionalSystem, speeds: Array, order: Array, torque: ComplexArray
) -> ForcedResponse:
    """Return the steady response of a chain to torques [N·m], (..., s, k, N).

    As `forced_response`, but a chain is eliminated from its free end, which is faster: what lies
    before a span acts behind it as a dynamic stiffness and a torque.

    Reference: elimination of the chain of `forced_response`, span by span.
    """
    rate, outer = np.multiply.outer(speeds, order), np.multiply.outer
    own = outer(system.ground_damping, 1j * rate) - outer(system.inertias, rate**2)
    joints = outer(system.stiffnesses, np.ones_like(rate)) + outer(system.span_damping, 1j * rate)
    stiffness, carried, passed = own[0], torque[..., 0], []
    for place, joint in enumerate(joints, start=1):
        total = stiffness + joint
        total = np.where(total == 0, np.finfo(float).eps * joint, total)  # a front end resonates
        share = joint / total
        passed.append((share, carried / total))
        stiffness = own[place] + stiffness * share
        carried = torque[..., place] + carried * share
    angles = [carried / stiffness]
    for share, alone in reversed(passed):
        angles.append(alone + share * angles[-1])
    return ForcedResponse(system, speeds, order, np.stack(angles[::-1], axis=-1))


def torsional_strain(train: RigidTrain, chain: TorsionalChain, speeds: Array) -> TorsionalStrain:
    """Return what the shaft bears at speeds [rad/s], (s,), above zero.

    Reference: amplitude is half the range, by definition.
    """
    return strain_of(chain, chain_response(train, chain, speeds))


def strain_of(
    chain: TorsionalChain, response: ForcedResponse, *, points_a_wave: int = POINTS_A_WAVE
) -> TorsionalStrain:
    """Return what the shaft bears in a vibration, its angles (..., s, k, N).

    `points_a_wave` of the highest order are looked at.

    Reference: amplitude is half the range, by definition.
    """
    spans = response.span_torque
    pins = (spans[..., chain.hub : -1] + spans[..., chain.hub + 1 :]) / 2
    twist = response.angle[..., chain.hub, None] - response.angle[..., -1:]
    signals = np.concatenate((spans, pins, twist), axis=-1)
    points = points_a_wave * HIGHEST_ORDER * chain.turns
    amplitude = vibratory_amplitude(response.order, signals, turns=chain.turns, points=points)
    span_torque, pin_torque, free_end = np.split(amplitude, (spans.shape[-1], -1), axis=-1)
    return TorsionalStrain(chain, response, span_torque, pin_torque, free_end[..., 0])


def order_amplitudes(response: ForcedResponse, chain: TorsionalChain) -> Array:
    """Return by order the amplitude of the free end against the flywheel [rad], (s, k)."""
    return np.abs(response.angle[..., chain.hub] - response.angle[..., -1])


def damper_power(response: ForcedResponse) -> Array:
    """Return the power that the damper turns into heat [W], (..., s), of all orders.

    The damper's is the first span of a chain that has one.

    Reference: c |Δω|² / 2 of each order, Den Hartog, Mechanical Vibrations (from memory).
    """
    return response.span_heat[..., 0].sum(axis=-1)


def vibratory_stress(strain: TorsionalStrain, design: Design) -> Array:
    """Return the nominal torsional stress of each span from hub to flywheel, (..., s, t + 1) [Pa].

    In the weaker of pin and journal; in the front span also of the nose.

    Reference: torque over section modulus, as of `torsional_stress`.
    """
    throw, nose = shaft_throw(design, _PURPOSE), design.needed("torsion", _PURPOSE).nose_diameter
    pin = polar_section_modulus(throw.pin_diameter, throw.pin_bore)
    section = min(pin, polar_section_modulus(throw.journal_diameter, throw.journal_bore))
    front = min(section, polar_section_modulus(nose))
    weakest = np.array((front, *[section] * design.layout.throws))
    return torsional_stress(strain.span_torque[..., strain.chain.hub :], weakest)


def idling(design: Design) -> Design:
    """Return a design at the load of its idle, against full load there; on a trace, as it is."""
    if design.pressure.source == "trace":
        return design
    load = design.needed("torsion", _PURPOSE).idle_load
    full = tuple(replace(row, load=1.0) for row in design.full_load)
    return replace(design, pressure=replace(design.pressure, load=load), full_load=full)


def idle_irregularity(design: Design, allowable: float) -> IdleTurning:
    """Return how evenly the crank turns at idle and at rated speed; `allowable` is that at idle.

    Parameters
    ----------
    allowable : greatest (ω_max - ω_min) / ω_mean at idle [1]

    Returns
    -------
    Irregularities [1], inertia of all that turns and flywheel needed [kg·m²].

    Raises DesignError where groups are missing.

    Reference: Khurmi and Gupta, Theory of Machines, 14th ed., chapter 16 (public worked solutions).

    >>> from kinematics import idle_irregularity, load_demo
    >>> idle_irregularity(load_demo("hill_climb_six"), 0.03)
    IdleTurning(irregularity at idle 0.03, at rated speed 0.0021, inertia 139800 kg·mm²,
    flywheel needed 90160 kg·mm²)
    """
    torsion, train = design.needed("torsion", _PURPOSE), rigid_train(design)
    inertia = sum(torsional_chain(train).system.inertias)
    idle, idle_uneven = _turning(rigid_train(idling(design)), torsion.idle_speed, inertia)
    rated, rated_uneven = _turning(train, design.layout.rated_speed, inertia)
    needed = max(inertia * idle_uneven / allowable - (inertia - torsion.flywheel_inertia), 0.0)
    return IdleTurning(
        inertia, idle, idle_uneven, design.pressure.source, rated, rated_uneven, needed
    )


def _stiffness_band(design: Design, solid: SolidThrow) -> dict[str, float]:
    """Return a throw's stiffness by finite elements and each formula that give one [N·m/rad]."""
    shear = design.needed("crank_material", _PURPOSE).shear_modulus
    throw = shaft_throw(design, _PURPOSE)
    band = {} if solid.stiffness is None else {FINITE_ELEMENTS: solid.stiffness.torsion}
    band |= {name: throw_stiffness(throw, shear, formula=name) for name in THROW_FORMULAS}
    return {name: stiffness for name, stiffness in band.items() if stiffness > 0}


def _formula_used(wanted: str, band: dict[str, float], solid: SolidThrow) -> str:
    """Return the formula wanted; where finite elements do not hold, the first that does."""
    if wanted == FINITE_ELEMENTS and solid.outside:
        return BEFORE if BEFORE in band else next(iter(band))
    if wanted not in band:
        names = ", ".join(band)
        raise DesignError("torsion.throw_formula", f"must be one of {names} (got {wanted})")
    return wanted


def _bare_shaft(design: Design, torsion: Torsion, throw: float) -> TorsionalSystem:
    """Return hub, throws of one stiffness [N·m/rad] and flywheel, the throws damped alike.

    Each end span is half a throw and a plain shaft; the damping is that of the first mode.
    """
    rod, cylinder = design.rod, design.cylinder
    split = two_mass_rod(rod.mass, rod.cg_from_big_end, rod.inertia_about_cg, cylinder.rod_length)
    reciprocating = design.piston.assembly_mass + split.reciprocating
    gear = running_gear_inertia(split.rotating, reciprocating, cylinder.crank_radius)
    throws = throw_inertia(design) + np.bincount(design.layout.throw_of_cylinder)[1:] * gear
    shear = design.needed("crank_material", _PURPOSE).shear_modulus
    journal = design.needed("main_bearing", _PURPOSE).diameter
    nose = cylinder_stiffness(torsion.nose_diameter, torsion.nose_length, shear)
    flange = cylinder_stiffness(journal, torsion.flange_length, shear)
    front, rear = (series_stiffness((2 * throw, plain)) for plain in (nose, flange))
    unit = TorsionalSystem(
        inertias=(torsion.hub_inertia, *throws.tolist(), torsion.flywheel_inertia),
        stiffnesses=(front, *[throw] * (len(throws) - 1), rear),
        ground_damping=(0.0, *[1.0] * len(throws), 0.0),
    )
    damping = torsion.shaft_damping / float(torsion_modes(unit).damping_ratio[1])
    return replace(unit, ground_damping=tuple(damping * value for value in unit.ground_damping))


def _damper(torsion: Torsion, bare: TorsionalSystem) -> TorsionDamper | None:
    """Return the damper as given, what is left out of it the optimum for the first mode.

    A tuned damper's rubber has no more damping than its loss factor allows.
    """
    if torsion.damper == "none" or torsion.damper_inertia is None:
        return None
    best = optimum_damper(torsion_modes(bare), torsion.damper_inertia, kind=torsion.damper)
    spring, most = best.stiffness, math.inf
    if torsion.damper == "tuned":
        spring = torsion.damper_stiffness or spring
        most = RUBBER_LOSS * math.sqrt(spring * best.inertia)
    return TorsionDamper(best.inertia, spring, torsion.damper_damping or min(best.damping, most))


def _turning(train: RigidTrain, speed: float, inertia: float) -> tuple[EnergyFluctuation, float]:
    """Return the energy's swing and the degree of irregularity at a speed [rad/s]."""
    swing = energy_fluctuation(train.crank_torque.at(speed), train.design.layout.cycle_angle)
    degree = degree_of_irregularity(swing.largest, inertia=inertia, speed=np.array(speed))
    return swing, float(degree)
