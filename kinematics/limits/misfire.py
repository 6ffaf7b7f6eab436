"""The rungs of torsion and fillets once more, with the worst cylinder misfiring.

Which cylinder is the worst is found for all of them at once: the shaft's vibration is linear, so a
misfire exchanges the gas harmonics of one cylinder. That cylinder's rung is then assessed as that
of the design in which it is motored, so both read the same.

Sources are those of the criteria; a misfire as of `firing_state`.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.design.design_firing import ALL_FIRE, MOTORED
from kinematics.limits.crank_criteria import CRANK_CRITERIA, CrankParts
from kinematics.limits.speed_limits import Ladder, Rung, assessed
from kinematics.one_line import one_line
from kinematics.shaft.torsion_train import (
    TorsionalStrain,
    damper_power,
    idling,
    misfire_response,
    strain_of,
    vibratory_stress,
)
from kinematics.strength.crank_strength import NominalStresses
from kinematics.torsion.cyclic_irregularity import energy_fluctuation, speed_drop
from kinematics.train.cycle import RigidTrain, rigid_train

SCREENING_POINTS = 12  # a wave of the highest order, to tell the worst cylinder
SCREENING_SPEEDS = 48
_PLACES = ("pin_fillet", "journal_fillet", "oil_bore")


@dataclass(frozen=True, slots=True, eq=False)
class MisfireRung:
    """A criterion with one cylinder motored, the one that uses most of the allowable."""

    cylinder: int  # from 1
    rung: Rung  # of the design with that cylinder motored

    def __repr__(self) -> str:
        return one_line(self, f"cylinder {self.cylinder}", repr(self.rung))


@dataclass(frozen=True, slots=True)
class IdleSag:
    """What a misfire at idle takes from the flywheel until the next cylinder fires."""

    missing_work: float  # [J] per cycle
    inertia: float  # of all that turns with the crank [kg·m²]
    speed: float  # [rad/s]
    drop: float  # of the speed [rad/s]

    __repr__ = one_line


def idle_sag(found: MisfireRung) -> IdleSag:
    """Return how much the speed drops at idle in the interval of the cylinder that misfires.

    The load stays, so the flywheel gives all of the missing work: what firing and motored cycle
    differ by, at the idle's load and speed.

    Reference: as of `speed_drop`.
    """
    parts, speed = found.rung.parts, found.rung.at
    design = parts.design
    firing = rigid_train(replace(idling(design), firing=replace(design.firing, state=ALL_FIRE)))
    lost = firing.crank_torque.at(speed).mean() - parts.idle_torque.at(speed).mean()
    work, inertia = float(lost) * design.layout.cycle_angle, float(sum(parts.chain.system.inertias))
    return IdleSag(work, inertia, speed, speed_drop(work, inertia=inertia, speed=speed))


def motored_design(design: Design, cylinder: int) -> Design:
    """Return a design with one cylinder, from 1, motored and the others firing."""
    return replace(design, firing=replace(design.firing, state=MOTORED, cylinder=cylinder))


@lru_cache(maxsize=16)
def misfire_rungs(ladder: Ladder) -> dict[str, MisfireRung]:
    """Return the rungs of crankshaft and torsion with their worst cylinder misfiring, by key.

    The worst is the one that uses most of the allowable up to the rated speed. Empty for a design
    of one cylinder, or without the group of torsion.

    Reference: follows from the state's definition; the criteria's own sources.

    >>> from kinematics import load_demo, speed_limits
    >>> from kinematics.limits.misfire import misfire_rungs
    >>> misfire_rungs(speed_limits(load_demo("hill_climb_six")))["shaft_stress"].cylinder
    3
    """
    design = ladder.design
    found = [rung for rung in ladder.rungs if _is_marked(rung)]
    if design.torsion is None or design.layout.cylinders == 1 or not found:
        return {}
    firing = replace(design, firing=replace(design.firing, state=ALL_FIRE))
    worst = worst_cylinders(CrankParts(rigid_train(firing)), found)
    rungs, parts = {}, {}
    for rung in found:
        key = rung.criterion.key
        cylinder = worst[key]
        if cylinder not in parts:
            parts[cylinder] = CrankParts(rigid_train(motored_design(design, cylinder)))
        at = rung.at if rung.criterion.at_idle else ladder.rated
        own = assessed(rung.criterion, parts[cylinder], (ladder.low, ladder.high), at)
        if isinstance(own, Rung):
            rungs[key] = MisfireRung(cylinder, own)
    return rungs


def misfire_rung(ladder: Ladder, rung: Rung) -> MisfireRung | None:
    """Return a rung with its worst cylinder misfiring; None where it has no such mark.

    Reference: as of `misfire_rungs`.
    """
    return misfire_rungs(ladder).get(rung.criterion.key) if _is_marked(rung) else None


def _is_marked(rung: Rung) -> bool:
    return rung.criterion in CRANK_CRITERIA


def worst_cylinders(parts: CrankParts, rungs: list[Rung]) -> dict[str, int]:
    """Return for each rung the cylinder, from 1, whose misfire uses most of its allowable.

    Parameters
    ----------
    parts : of the design with all cylinders firing
    rungs : of `CRANK_CRITERIA`

    Notes
    -----
    Of a continuous shaft the bending of the neighbouring throws counts as with all firing.

    Reference: value over allowable, by definition.
    """
    uses = {}
    resonant = [rung for rung in rungs if rung.criterion.resonant]
    if resonant:
        speed = _screened_speeds(parts, resonant[0])
        values = _values(parts, speed)
        for rung in resonant:
            value = values[rung.criterion.key]
            uses[rung.criterion.key] = rung.criterion.use(value, rung.allowed.value).max(axis=-1)
    for rung in rungs:
        if rung.criterion.at_idle:
            uses[rung.criterion.key] = _idle_swings(parts, rung.at)
    return {key: int(use.argmax()) + 1 for key, use in uses.items()}


def _screened_speeds(parts: CrankParts, rung: Rung) -> Array:
    """Return speeds up to the rated one [rad/s], those of the resonances among them."""
    low, rated = float(rung.speed[0]), parts.design.layout.rated_speed
    grid = np.geomspace(low, rated, SCREENING_SPEEDS)
    return np.union1d(grid, parts.resonances(low, rated))


def _values(parts: CrankParts, speed: Array) -> dict[str, Array]:
    """Return the values of all resonant criteria with each cylinder motored, (c, s)."""
    motored = RigidTrain(parts.design, misfiring=_all(parts.design))
    response = misfire_response(parts.train, motored, parts.chain, speed)
    strain = strain_of(parts.chain, response, points_a_wave=SCREENING_POINTS)
    by_place = _acceptability(parts, strain, speed)
    return {
        "shaft_stress": vibratory_stress(strain, parts.design).max(axis=-1),
        "free_end_angle": strain.free_end,
        "damper_heat": damper_power(response),
        **by_place,
    }


def _acceptability(parts: CrankParts, strain: TorsionalStrain, speed: Array) -> dict[str, Array]:
    """Return Q of the weakest throw at its three places with each cylinder motored, (c, s)."""
    cylinders = len(strain.free_end)
    flat = replace(
        strain,
        span_torque=strain.span_torque.reshape(-1, strain.span_torque.shape[-1]),
        pin_torque=strain.pin_torque.reshape(-1, strain.pin_torque.shape[-1]),
    )
    bending, shear, bore = _bending(parts, speed)
    pin, front, rear = parts.torsion(flat)
    found = parts.acceptability_of(NominalStresses(bending, shear, pin, front, rear, bore))
    return {place: getattr(found, place).min(axis=0).reshape(cylinders, -1) for place in _PLACES}


def _bending(parts: CrankParts, speed: Array) -> list[Array]:
    """Return the stresses of `CrankParts.bending` with each cylinder motored, (t, c s).

    Only the throw of that cylinder bends otherwise.
    """
    layout = parts.design.layout
    throw = np.array(layout.throw_of_cylinder) - 1
    place = [int((throw[:k] == throw[k]).sum()) for k in range(layout.cylinders)]  # on its throw
    firing = parts.bending(speed)
    states = [np.repeat(part[:, None], layout.cylinders, axis=1) for part in firing]
    for at in set(place):
        rows = [k for k in range(layout.cylinders) if place[k] == at]
        dead = RigidTrain(parts.design, misfiring=tuple(k + 1 for k in rows))
        for state, part in zip(states, CrankParts(dead).bending(speed), strict=True):
            state[throw[rows], rows] = part[throw[rows]]
    return [state.reshape(layout.throws, -1) for state in states]


def _idle_swings(parts: CrankParts, speed: float) -> Array:
    """Return the fluctuation of energy at idle with each cylinder motored [J], (c,)."""
    design = idling(parts.design)
    firing, dead = rigid_train(design), RigidTrain(design, misfiring=_all(design))
    own, motored = (train.loads.cylinder_torque.at(speed) for train in (firing, dead))
    states = firing.crank_torque.at(speed) - own + motored
    return energy_fluctuation(states, design.layout.cycle_angle).largest


def _all(design: Design) -> tuple[int, ...]:
    return tuple(range(1, design.layout.cylinders + 1))
