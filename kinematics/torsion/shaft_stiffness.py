"""Torsional stiffness of shafts and crank throws, and the inertia of the running gear.

Source: W. Ker Wilson, Practical Solution of Torsional Vibration Problems, vol. 1; Den Hartog,
Mechanical Vibrations, chapter 5 (both from memory).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from kinematics.errors import DesignError


@dataclass(frozen=True, slots=True)
class CrankThrow:
    """Dimensions of one throw, from the middle of a main journal to that of the next [m]."""

    journal_diameter: float
    journal_length: float
    pin_diameter: float
    pin_length: float
    web_thickness: float
    web_width: float
    crank_radius: float
    journal_bore: float = 0.0
    pin_bore: float = 0.0

    @property
    def journal_fourth_power(self) -> float:
        """Diameter less bore of the journal, each to the fourth [m⁴]."""
        return self.journal_diameter**4 - self.journal_bore**4

    @property
    def pin_fourth_power(self) -> float:
        """Diameter less bore of the pin, each to the fourth [m⁴]."""
        return self.pin_diameter**4 - self.pin_bore**4


def cylinder_stiffness(
    diameter: float, length: float, shear_modulus: float, *, bore: float = 0.0
) -> float:
    """Return the torsional stiffness π G (D⁴ - d⁴) / (32 l) of a plain shaft [N·m/rad].

    Parameters
    ----------
    diameter, length, bore : [m];  shear_modulus : [Pa]

    Reference: torsion of a round bar, Shigley, Mechanical Engineering Design (from memory).
    """
    return math.pi * shear_modulus * (diameter**4 - bore**4) / (32 * length)


def series_stiffness(stiffnesses: tuple[float, ...]) -> float:
    """Return the stiffness of shafts end to end, in the unit of each, none of them zero.

    Reference: flexibilities add up, statics of springs in series.
    """
    return 1 / sum(1 / stiffness for stiffness in stiffnesses)


def geared(value: float, speed_ratio: float) -> float:
    """Return an inertia, stiffness or damping as felt on a shaft that turns at another speed.

    Parameters
    ----------
    value : in its own unit
    speed_ratio : speed of its own shaft over that of the shaft referred to

    Reference: equal energy, as in Den Hartog, Mechanical Vibrations, section 5.1 (from memory).
    """
    return value * speed_ratio**2


def running_gear_inertia(
    rotating_mass: float, reciprocating_mass: float, crank_radius: float
) -> float:
    """Return the constant inertia (m_rot + m_osc / 2) r² of a cylinder's moving masses [kg·m²].

    Parameters
    ----------
    rotating_mass, reciprocating_mass : [kg];  crank_radius : [m]

    The mean over a turn but for λ²/4 of the reciprocating half, λ = r/l.

    Reference: Den Hartog, Mechanical Vibrations, section 5.2 (from memory).
    """
    return (rotating_mass + reciprocating_mass / 2) * crank_radius**2


def carter_flexibility(throw: CrankThrow) -> float:
    """Return a throw's equivalent length over equivalent diameter⁴ [1/m³], after Carter.

    (L_j + 0.8 t) / D_j⁴ + 0.75 L_p / D_p⁴ + 1.5 r / (t b³). For throws of stiff webs.

    References
    ----------
    Carter's formula as given in Ker Wilson, Practical Solution of Torsional Vibration Problems,
    vol. 1 (from memory).
    """
    t, r = throw.web_thickness, throw.crank_radius
    journal = (throw.journal_length + 0.8 * t) / throw.journal_fourth_power
    return journal + 0.75 * throw.pin_length / throw.pin_fourth_power + 1.5 * r * _web(throw)


def ker_wilson_flexibility(throw: CrankThrow) -> float:
    """Return a throw's equivalent length over equivalent diameter⁴ [1/m³], after Ker Wilson.

    (L_j + 0.4 D_j) / D_j⁴ + (L_p + 0.4 D_p) / D_p⁴ + (r - 0.2 (D_j + D_p)) / (t b³). For
    r > 0.2 (D_j + D_p), little overlap of pin and journal.

    References
    ----------
    Ker Wilson, Practical Solution of Torsional Vibration Problems, vol. 1 (from memory).
    """
    journal, pin = throw.journal_diameter, throw.pin_diameter
    return (
        (throw.journal_length + 0.4 * journal) / throw.journal_fourth_power
        + (throw.pin_length + 0.4 * pin) / throw.pin_fourth_power
        + (throw.crank_radius - 0.2 * (journal + pin)) * _web(throw)
    )


def zimanenko_flexibility(throw: CrankThrow) -> float:
    """Return a throw's equivalent length over equivalent diameter⁴ [1/m³], after Zimanenko.

    (L_j + 0.6 t D_j / L_j) / D_j⁴ + (0.8 L_p + 0.2 b D_j / r) / D_p⁴ + r √(r / D_p) / (t b³).

    References
    ----------
    Zimanenko's formula (from memory, less sure than the others); typical, unverified.
    """
    j, r = throw.journal_diameter, throw.crank_radius
    journal = throw.journal_length + 0.6 * throw.web_thickness * j / throw.journal_length
    pin = 0.8 * throw.pin_length + 0.2 * throw.web_width * j / r
    return (
        journal / throw.journal_fourth_power
        + pin / throw.pin_fourth_power
        + r * math.sqrt(r / throw.pin_diameter) * _web(throw)
    )


THROW_FORMULAS: dict[str, Callable[[CrankThrow], float]] = {
    "carter": carter_flexibility,
    "ker_wilson": ker_wilson_flexibility,
    "zimanenko": zimanenko_flexibility,
}


def throw_stiffness(throw: CrankThrow, shear_modulus: float, *, formula: str) -> float:
    """Return a throw's torsional stiffness [N·m/rad] by a formula of `THROW_FORMULAS`.

    Parameters
    ----------
    shear_modulus : [Pa]

    Notes
    -----
    The formulas disagree, by how much a design's `TorsionalChain.stiffness_spread` tells: take
    them as a band. Raises DesignError where there is no such formula.
    """
    if formula not in THROW_FORMULAS:
        raise DesignError("", f"must be one of {', '.join(THROW_FORMULAS)} (got {formula!r})")
    return math.pi * shear_modulus / (32 * THROW_FORMULAS[formula](throw))


def _web(throw: CrankThrow) -> float:
    """1 / (t b³) [1/m⁴]."""
    return 1 / (throw.web_thickness * throw.web_width**3)
