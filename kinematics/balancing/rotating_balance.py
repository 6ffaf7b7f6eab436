"""What the rotating masses of a whole shaft leave over: static moment, and moment along the shaft.

Throws, counterweights and the rods' big-end shares, these on their pins. A shaft whose throws do
not cancel one another leaves something that only counterweights can take away. With the pistons'
first order beside it, that is what the block feels once a turn.

Source: statics of a rigid rotor; the first order from the phasors of `balance`.
"""

from dataclasses import dataclass

import numpy as np

from kinematics.array import ComplexArray
from kinematics.design.design import Design
from kinematics.design.shaft_throw import throw_unbalance
from kinematics.one_line import one_line, quantity
from kinematics.shaft.counterweight_schemes import throw_moments
from kinematics.train.balance import ellipse, inertia_phasors, rotating_phasors, throw_positions
from kinematics.train.cycle import rigid_train

NEGLIGIBLE_MOMENT = 1e-6  # of one throw's: as good as none


@dataclass(frozen=True, slots=True)
class RotatingBalance:
    """Sums over all that rotates, and what one throw carries, to compare them with."""

    static: complex  # Σ U [kg·m], exp(i angle) from throw 1 with rotation
    moment: complex  # Σ z U [kg·m²], about the middle of the shaft
    one_throw: float  # [kg·m], the largest rotating moment of a throw, bare
    spacing: float  # [m], of the throws

    def __repr__(self) -> str:
        return one_line(
            self,
            f"static {quantity(abs(self.static), 'kg_mm', 3)}",
            f"moment {quantity(abs(self.moment), 'kg_mm2', 3)}",
            f"one throw {quantity(self.one_throw, 'kg_mm')}",
        )

    @property
    def static_is_left(self) -> bool:
        """Whether the shaft is left statically unbalanced."""
        return abs(self.static) > NEGLIGIBLE_MOMENT * self.one_throw

    @property
    def moment_is_left(self) -> bool:
        """Whether the shaft is left with a moment that shakes its ends."""
        return abs(self.moment) > NEGLIGIBLE_MOMENT * self.one_throw * self.spacing


def rotating_balance(design: Design) -> RotatingBalance:
    """Return what throws, counterweights and big ends leave over.

    Returns
    -------
    Static moment Σ U [kg·m] and couple Σ z U [kg·m²], complex, from throw 1 with rotation.

    Reference: follows from statics of a rigid rotor.

    >>> from kinematics import load_demo, rotating_balance
    >>> rotating_balance(load_demo("v6_60_six_throws"))
    RotatingBalance(static 7.34e-14 kg·mm, moment 4650 kg·mm², one throw 41.78 kg·mm)
    """
    size, place = rotating_phasors(design)
    carried = throw_moments(design).rotating
    angles = np.array(design.layout.throw_angles)
    rods: ComplexArray = np.exp(1j * angles) * (carried - throw_unbalance(design))
    return RotatingBalance(
        static=complex(size.sum() + rods.sum()),
        moment=complex((size * place).sum() + (rods * throw_positions(design)).sum()),
        one_throw=float(carried.max()),
        spacing=design.layout.throw_spacing,
    )


@dataclass(frozen=True, slots=True)
class FirstOrder:
    """First-order force and moment of all that moves on the block, at 1 rad/s.

    Each draws an ellipse; its long half axis is given.
    """

    force: float  # [kg·m]: N at 1 rad/s
    moment: float  # [kg·m²], pitching and yawing about the middle of the shaft

    def __repr__(self) -> str:
        force, moment = quantity(self.force, "kg_mm", 3), quantity(self.moment, "kg_mm2", 3)
        return one_line(self, f"force {force} · ω²", f"moment {moment} · ω²")


def first_order(design: Design) -> FirstOrder:
    """Return what pistons, rods, throws and counterweights together leave of the first order.

    Returns
    -------
    Half axes at 1 rad/s of the force [kg·m] and of the moment [kg·m²].

    References
    ----------
    Den Hartog, Mechanical Vibrations, section 1.3 and chapter 5 (from memory).

    >>> from kinematics import first_order, load_demo
    >>> first_order(load_demo("v6_60_six_throws"))
    FirstOrder(force 5.78e-14 kg·mm · ω², moment 7.05e-12 kg·mm² · ω²)
    """
    train = rigid_train(design)
    found = inertia_phasors(design, train.crank, train.masses)
    force, moment = (ellipse(*both).largest[0] for both in (found.force, found.moment))
    return FirstOrder(float(force), float(moment))
