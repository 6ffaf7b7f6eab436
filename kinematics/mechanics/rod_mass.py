"""The rod's mass: two masses at the pins, and the couple that makes the split exact.

Source: Khurmi and Gupta, Theory of Machines, 14th ed., sections 15.12 to 15.15, examples 15.15
to 15.20 (public worked solutions); Bevan, The Theory of Machines, chapter 12 (the same).
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TwoMassRod:
    """A rod as two masses at its pin centres plus an inertia that they leave out."""

    reciprocating: float  # mass at the small end [kg]
    rotating: float  # mass at the big end [kg]
    correction_inertia: float  # true inertia less that of the two masses [kg·m²], mostly negative


def two_mass_rod(
    mass: float, cg_from_big_end: float, inertia_about_cg: float, rod_length: float
) -> TwoMassRod:
    """Split a rod so that mass and centre of gravity are kept, and report what inertia is not.

    Parameters
    ----------
    mass : [kg];  cg_from_big_end, rod_length : [m];  inertia_about_cg : [kg·m²]

    References
    ----------
    Khurmi and Gupta, Theory of Machines, 14th ed., section 15.14
    (public worked solutions): correction couple m (l1 l3 - k²) α.
    """
    reciprocating = mass * cg_from_big_end / rod_length
    two_masses = mass * cg_from_big_end * (rod_length - cg_from_big_end)
    return TwoMassRod(reciprocating, mass - reciprocating, inertia_about_cg - two_masses)
