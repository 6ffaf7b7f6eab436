"""The damper that leaves the smallest stress on the real chain, beside that of the closed formula.

The formula takes the first mode as one undamped inertia with its torque at the damper. The chain
has several modes, its own damping, all orders of all cylinders, and a highest speed.

Sources: Den Hartog, Mechanical Vibrations, sections 3.2 to 3.4 (from memory) for the formula;
J. A. Nelder and R. Mead, A Simplex Method for Function Minimization, Computer Journal 7, 1965 (from
memory) for the search.
"""

import dataclasses
import math
from collections.abc import Callable
from functools import lru_cache
from itertools import product

import numpy as np
from scipy.optimize import minimize  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.design.allowables import red_line
from kinematics.design.design import Design
from kinematics.design.design_torsion import Torsion
from kinematics.errors import DesignError
from kinematics.one_line import frozen_record, one_line, quantity
from kinematics.shaft.torsion_train import (
    POINTS_A_WAVE,
    RUBBER_LOSS,
    TorsionalChain,
    chain_harmonics,
    eliminated_response,
    strain_of,
    torsional_chain,
    vibratory_stress,
)
from kinematics.torsion.torsion_damper import TorsionDamper
from kinematics.torsion.torsion_response import excitation
from kinematics.train.cycle import RigidTrain, rigid_train
from kinematics.train.full_load import full_load_from

OVER_RED_LINE = 1.1  # highest speed looked at over the red line; common practice, no source
SEARCHED_SPEEDS, SEARCHED_POINTS = 72, 8  # while searching; points a wave of the highest order
JUDGED_SPEEDS = 241
STIFFNESS_SHARES = (0.4, 0.7, 1.0, 1.5, 2.2)  # of the formula's, where the search may begin
DAMPING_SHARES = (0.4, 0.7, 1.0, 1.5, 2.2)
FIRST_STEP = 0.2  # of the logarithms
CLOSE = 1e-3  # of stiffness, damping and peak: where the search ends

Peak = Callable[[TorsionDamper], float]


@frozen_record
class DamperChoice:
    """A damper and the largest vibratory stress [Pa] that it leaves."""

    damper: TorsionDamper
    peak: float


@frozen_record
class DamperOptima:
    """The optimum of the formula, that of the chain and the design's own damper, of one ring."""

    kind: str  # "viscous" or "tuned"
    formula: DamperChoice
    chain: DamperChoice
    own: DamperChoice  # as the design has it
    lowest: float  # [rad/s] from which the peak counts
    highest: float  # [rad/s] up to which it does

    def __repr__(self) -> str:
        formula, chain = (quantity(choice.peak, "MPa") for choice in (self.formula, self.chain))
        return one_line(self, self.kind, f"peak by formula {formula}", f"on the chain {chain}")

    @property
    def excess(self) -> float:
        """How much more peak the formula's damper leaves, as a share of the chain's own.

        Reference: a quotient, by definition.
        """
        return self.formula.peak / self.chain.peak - 1


@lru_cache(maxsize=16)
def damper_optima(design: Design) -> DamperOptima:
    """Return the damper of a design's kind and ring by the formula and on the chain.

    The chain's own leaves the smallest peak of vibratory stress between the lowest speed of full
    load and 1.1 times the red line; rubber keeps within its loss factor.

    Raises DesignError where the design has no damper.

    Reference: search by Nelder and Mead, 1965 (from memory).

    >>> from kinematics import load_demo
    >>> from kinematics.shaft.damper_optimum import damper_optima
    >>> damper_optima(load_demo("hill_climb_six")).excess >= 0
    True
    """
    torsion = design.needed("torsion", "the damper")
    free = dataclasses.replace(torsion, damper_stiffness=None, damper_damping=None)
    train = rigid_train(dataclasses.replace(design, torsion=free))
    chain = torsional_chain(train)
    if chain.damper is None:
        raise DesignError("torsion.damper", "is none: there is no damper to optimise")
    low = full_load_from(design)
    high = OVER_RED_LINE * red_line(design.limits, design.layout.rated_speed)
    searched = _peak(train, chain, np.geomspace(low, high, SEARCHED_SPEEDS), SEARCHED_POINTS)
    judged = _peak(train, chain, np.geomspace(low, high, JUDGED_SPEEDS), POINTS_A_WAVE)
    found = _searched(chain.damper, free, searched)
    formula, own = (DamperChoice(each, judged(each)) for each in (chain.damper, found))
    best = min((own, formula), key=lambda choice: choice.peak)
    given = torsional_chain(rigid_train(design)).damper or chain.damper
    return DamperOptima(free.damper, formula, best, DamperChoice(given, judged(given)), low, high)


def with_damper_values(design: Design, damper: TorsionDamper | None) -> Design:
    """Return a design with a damper's values given; None: those of the formula, by default."""
    torsion: Torsion = design.needed("torsion", "the damper")
    stiffness = None if damper is None or torsion.damper != "tuned" else damper.stiffness
    damping = None if damper is None else damper.damping
    changed = dataclasses.replace(torsion, damper_stiffness=stiffness, damper_damping=damping)
    return dataclasses.replace(design, torsion=changed)


def _peak(train: RigidTrain, chain: TorsionalChain, speeds: Array, points: int) -> Peak:
    """Return a function from a damper to the largest vibratory stress [Pa] at some speeds."""
    harmonics, system = chain_harmonics(train), chain.system
    torque = excitation(harmonics, speeds, place=chain.places, inertias=len(system.inertias))

    def peak(damper: TorsionDamper) -> float:
        joined = dataclasses.replace(
            system,
            stiffnesses=(damper.stiffness, *system.stiffnesses[1:]),
            span_damping=(damper.damping, *system.span_damping[1:]),
        )
        response = eliminated_response(joined, speeds, harmonics.order, torque)
        strain = strain_of(chain, response, points_a_wave=points)
        return float(vibratory_stress(strain, train.design).max())

    return peak


def _searched(formula: TorsionDamper, torsion: Torsion, peak: Peak) -> TorsionDamper:
    """Return the damper of the smallest peak; a viscous one has damping alone."""
    tuned = torsion.damper == "tuned"

    def damper(logarithms: Array) -> TorsionDamper:
        stiffness = formula.stiffness * math.exp(logarithms[1]) if tuned else 0.0
        damping = formula.damping * math.exp(logarithms[0])
        if tuned:
            damping = min(damping, RUBBER_LOSS * math.sqrt(stiffness * formula.inertia))
        return TorsionDamper(formula.inertia, stiffness, damping)

    def stress(logarithms: Array) -> float:
        return peak(damper(logarithms))

    shares = product(DAMPING_SHARES, STIFFNESS_SHARES) if tuned else ((s,) for s in DAMPING_SHARES)
    start = min((np.log(np.array(share)) for share in shares), key=stress)
    found = minimize(
        stress, start, method="Nelder-Mead",
        options={
            "xatol": CLOSE,
            "fatol": CLOSE * stress(start),
            "initial_simplex": np.vstack((start, start + FIRST_STEP * np.eye(len(start)))),
        },
    )  # fmt: skip
    return damper(found.x)
