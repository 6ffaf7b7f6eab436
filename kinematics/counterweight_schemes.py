"""Where counterweights stand and how much they balance: schemes, and the moment inside the shaft.

A throw's rotating mass is its own and the rods' shares at the big end; its oscillating mass is
pistons and the rods' small-end shares. A scheme balances so much of each, on some of the webs.

Source: K. Maass and H. Klier, Kräfte, Momente und deren Ausgleich in der Verbrennungskraftmaschine,
1981, internal moment and its balance (from memory); schemes are common practice, no source.
"""

import math
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array, ComplexArray
from kinematics.balance import rotating_phasors, throw_positions
from kinematics.bearing_loads import rods_on_throws
from kinematics.design import Counterweight, Design
from kinematics.errors import DesignError
from kinematics.rod_mass import two_mass_rod
from kinematics.shaft_throw import throw_unbalance

SCHEMES = {
    "every_web": "every web",
    "every_second": "every second web",
    "two_large": "two large at the ends, small between",
    "none_in_middle": "every web but the middle throws'",
    "none": "none",
}


@dataclass(frozen=True, slots=True)
class ThrowMoments:
    """What each throw carries off centre [kg·m], (t,)."""

    rotating: Array  # throw and the rods' big-end shares
    oscillating: Array  # pistons and the rods' small-end shares


def throw_moments(design: Design) -> ThrowMoments:
    """Return the static moments of every throw, counterweights left out."""
    rod, r = design.rod, design.cylinder.crank_radius
    split = two_mass_rod(
        rod.mass, rod.cg_from_big_end, rod.inertia_about_cg, design.cylinder.rod_length
    )
    rods = rods_on_throws(design.layout).sum(axis=1)
    oscillating = design.piston.assembly_mass + split.oscillating
    return ThrowMoments(throw_unbalance(design) + rods * split.rotating * r, rods * oscillating * r)


def scheme_shares(scheme: str, throws: int) -> Array:
    """Return the share of its throw's moment that each web bears (2t,), front to rear.

    Raises DesignError if there is no such scheme.
    """
    shares, throw = np.zeros((throws, 2)), np.arange(throws)
    outer = (throw >= throws / 2).astype(int)  # the web of a throw that is farther from the middle
    if scheme == "every_web":
        shares[:] = 0.5
    elif scheme == "every_second":
        shares[throw, outer] = 1.0
    elif scheme == "two_large":
        shares[throw, outer] = 0.5
        shares[[0, -1], outer[[0, -1]]] = 1.0
    elif scheme == "none_in_middle":
        shares[:] = 0.5
        shares[(throws - 1) // 2 : throws // 2 + 1] = 0.0
    elif scheme != "none":
        raise DesignError("scheme", f"found {scheme!r:.40}; allowed are {', '.join(SCHEMES)}")
    return shares.ravel()


def scheme_counterweights(
    design: Design, scheme: str, rotating: float, oscillating: float
) -> tuple[Counterweight, ...]:
    """Return counterweights opposite their pins that balance shares of every throw's masses.

    Raises DesignError if there is no such scheme or a share is not within 0 and 2.
    """
    for name, share in (("rotating", rotating), ("oscillating", oscillating)):
        if not 0 <= share <= 2:
            raise DesignError(name, f"found {100 * share:g} %; allowed is 0 to 200 %")
    moments = throw_moments(design)
    whole = rotating * moments.rotating + oscillating * moments.oscillating
    bears = scheme_shares(scheme, design.layout.throws) * np.repeat(whole, 2)
    return tuple(
        Counterweight(web, float(unbalance), math.pi)
        for web, unbalance in enumerate(bears, 1)
        if unbalance > 0
    )


@dataclass(frozen=True, slots=True, eq=False)
class InternalMoment:
    """Moment inside the free turning shaft at 1 rad/s, real part in the plane of throw 1."""

    z: Array  # [m] (k,), from the middle of the shaft to the rear
    moment: ComplexArray  # [kg·m²] (k,), exp(i angle) from throw 1 with rotation

    @property
    def largest(self) -> float:
        """Largest size [kg·m²]."""
        return float(np.abs(self.moment).max())


def internal_moment(design: Design, points: int = 241) -> InternalMoment:
    """Return the bending moment that what rotates puts into the shaft, held by no bearing.

    M(z) = Σ U_i (z − z_i) over what stands before z; rods count with their rotating shares. It
    comes back to zero at the rear where the shaft is balanced.
    """
    size, place = rotating_phasors(design)
    moments = throw_moments(design).rotating - throw_unbalance(design)
    angles = np.array(design.layout.throw_angles)
    size = np.concatenate((size, moments * np.exp(1j * angles)))
    place = np.concatenate((place, throw_positions(design)))
    half = design.layout.throws * design.layout.throw_spacing / 2
    z = np.unique(np.concatenate((np.linspace(-half, half, points), place)))
    arm = np.maximum(z[:, None] - place, 0.0)
    return InternalMoment(z, arm @ size)
