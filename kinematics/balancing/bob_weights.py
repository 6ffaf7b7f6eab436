"""The bob weights that stand in for rods and pistons while a V engine's shaft is balanced.

A bob weight on a pin is Σ (big end + share · reciprocating mass) over the pin's rods, plus oil. Of
an engine whose cylinders stand in one plane the reciprocating masses do not turn with the crank, so
its shaft runs alone.

Source: half the reciprocating mass, and a few grams of oil where oil is counted, are common
practice, no source.
"""

from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design, Layout
from kinematics.errors import DesignError
from kinematics.mechanics.rod_mass import two_mass_rod
from kinematics.one_line import one_line, quantity
from kinematics.units import in_words

BOB_SHARE = 0.5  # of the reciprocating mass
MOST_OIL = 1.0  # [kg] on a pin


def bob_weight(
    rotating: Array | float, reciprocating: Array | float, share: float = BOB_SHARE
) -> Array:
    """Return the mass [kg] of a bob weight for each rod on its pin, of the masses' shape.

    Parameters
    ----------
    rotating : big end and shells [kg];  reciprocating : piston, pin, rings, small end [kg]
    share : of the reciprocating mass, common practice 0.5

    Raises DesignError for a share outside 0 … 1.

    Reference: common practice, no source.
    """
    _check_share(share)
    return np.asarray(rotating) + share * np.asarray(reciprocating)


def _check_share(share: float) -> None:
    if not 0 <= share <= 1:
        raise DesignError("share", f"must be 0 to 1 (got {share:g})")


def needs_bob_weights(layout: Layout) -> bool:
    """Return whether cylinders stand in a V, so that the shaft is no balanced rotor by itself.

    Reference: follows from plane geometry.
    """
    lean = np.sin(np.array(layout.bank_angle) - layout.bank_angle[0])
    return bool(np.any(np.abs(lean) > 1e-9))


@dataclass(frozen=True, slots=True)
class PinBobWeight:
    """What a pin's bob weight [kg] is made of; big end, piston and small end are of one rod."""

    throw: int  # from the front, 1 is the first
    rods: int
    big_end: float  # with its shells
    piston: float  # with pin and rings
    small_end: float
    share: float  # of piston and small end
    oil: float

    def __repr__(self) -> str:
        return one_line(
            self,
            f"throw {self.throw}",
            f"{self.rods} rods",
            f"bob weight {quantity(self.mass, 'g', 5)}",
        )

    @property
    def rotating(self) -> float:
        """Big ends of all its rods [kg]."""
        return self.rods * self.big_end

    @property
    def reciprocating(self) -> float:
        """Pistons and small ends of all its rods [kg]."""
        return self.rods * (self.piston + self.small_end)

    @property
    def mass(self) -> float:
        """The bob weight [kg].

        Reference: as of `bob_weight`.
        """
        return float(bob_weight(self.rotating, self.reciprocating, self.share)) + self.oil


def pin_bob_weights(
    design: Design, share: float = BOB_SHARE, oil: float = 0.0
) -> tuple[PinBobWeight, ...]:
    """Return every pin's bob weight, from the front.

    Parameters
    ----------
    share : of the reciprocating mass;  oil : allowed for on each pin [kg]

    Returns
    -------
    One per pin, its parts and sum [kg].

    Raises DesignError for a share outside 0 … 1, or oil outside 0 … 1 kg.

    Reference: as of `bob_weight`.

    >>> from kinematics import load_demo, pin_bob_weights
    >>> pin_bob_weights(load_demo("v6_60_six_throws"), share=0.5, oil=0.005)[0]
    PinBobWeight(throw 1, 1 rods, bob weight 668.5 g)
    """
    _check_share(share)
    if not 0 <= oil <= MOST_OIL:
        found, most = in_words(oil, "g"), in_words(MOST_OIL, "g")
        raise DesignError("oil", f"must be 0 to {most} (got {found})")
    rod = design.rod
    split = two_mass_rod(
        rod.mass, rod.cg_from_big_end, rod.inertia_about_cg, design.cylinder.rod_length
    )
    return tuple(
        PinBobWeight(
            throw, design.layout.throw_of_cylinder.count(throw), split.rotating,
            design.piston.assembly_mass, split.reciprocating, share, oil,
        )
        for throw in range(1, design.layout.throws + 1)
    )  # fmt: skip
