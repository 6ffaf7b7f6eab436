"""Where counterweights stand and how much they balance: schemes, and the moment inside the shaft.

A throw's rotating mass is its own and the rods' shares at the big end; its reciprocating mass is
pistons and the rods' small-end shares. A scheme balances so much of each, on some of the webs.
Counterweights that do not balance every throw for itself may still balance the whole shaft, turned
aside from their pins.

Source: K. Maass and H. Klier, Kräfte, Momente und deren Ausgleich in der Verbrennungskraftmaschine,
1981, internal moment and its balance (from memory); schemes are common practice, no source.
"""

import cmath
import math
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array, ComplexArray
from kinematics.design.design import Counterweight, Design
from kinematics.design.shaft_throw import throw_unbalance
from kinematics.errors import DesignError
from kinematics.mechanics.rod_mass import two_mass_rod
from kinematics.one_line import frozen_record, one_line, quantity
from kinematics.train.balance import rotating_phasors, throw_positions, web_positions
from kinematics.train.bearing_loads import rods_on_throws

SCHEMES = {
    "every_web": "every web",
    "every_second": "every second web",
    "two_large": "two large at the ends, small between",
    "none_in_middle": "every web but the middle throws'",
    "none": "none",
}
NEGLIGIBLE_UNBALANCE = 1e-9  # of a throw's moment: as good as none


@dataclass(frozen=True, slots=True)
class ThrowMoments:
    """What each throw carries off centre [kg·m], (t,)."""

    rotating: Array  # throw and the rods' big-end shares
    reciprocating: Array  # pistons and the rods' small-end shares


def throw_moments(design: Design) -> ThrowMoments:
    """Return the static moments of every throw, counterweights left out.

    Reference: elementary mechanics, as of `shaft_throw`.
    """
    rod, r = design.rod, design.cylinder.crank_radius
    split = two_mass_rod(
        rod.mass, rod.cg_from_big_end, rod.inertia_about_cg, design.cylinder.rod_length
    )
    rods = rods_on_throws(design.layout).sum(axis=1)
    reciprocating = design.piston.assembly_mass + split.reciprocating
    return ThrowMoments(
        throw_unbalance(design) + rods * split.rotating * r, rods * reciprocating * r
    )


def scheme_shares(scheme: str, throws: int) -> Array:
    """Return the share of its throw's moment that each web bears (2t,), front to rear.

    Raises DesignError if there is no such scheme.

    Reference: common practice, no source.
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
        raise DesignError("scheme", f"must be one of {', '.join(SCHEMES)} (got {scheme!r:.40})")
    return shares.ravel()


def scheme_counterweights(
    design: Design, scheme: str, rotating: float, reciprocating: float, *, aside: bool = False
) -> tuple[Counterweight, ...]:
    """Return counterweights that balance shares of every throw's masses.

    They stand opposite their pins, or with `aside` turned so that static moment and moment along
    the shaft are what weights on every web would make them. Raises DesignError if there is no
    such scheme, a share is not within 0 and 2, the scheme's webs cannot do that, or nothing would
    be left on them.

    Reference: common practice, no source.
    """
    for name, share in (("rotating", rotating), ("reciprocating", reciprocating)):
        if not 0 <= share <= 2:
            raise DesignError(name, f"must be 0 to 200 % (got {100 * share:g} %)")
    moments = throw_moments(design)
    whole = rotating * moments.rotating + reciprocating * moments.reciprocating
    bears = scheme_shares(scheme, design.layout.throws) * np.repeat(whole, 2)
    vectors: ComplexArray = bears.astype(complex)
    if aside:
        vectors = vectors + _turning(design, scheme, whole)
    least = NEGLIGIBLE_UNBALANCE * float(whole.max())
    if bears.max() > least >= np.abs(vectors).max():
        raise DesignError(
            "scheme",
            f"must leave counterweights to hang (got {SCHEMES[scheme]!r}): the bare throws are "
            "inherently balanced, and kept so, the counterweights on these webs shrink to nothing",
        )
    return tuple(
        Counterweight(web, abs(vector), math.pi + cmath.phase(vector))
        for web, vector in enumerate(vectors.tolist(), 1)
        if abs(vector) > least
    )


def _turning(design: Design, scheme: str, whole: Array) -> ComplexArray:
    """Return what a scheme's counterweights (2t,) [kg·m] take on, from opposite their pins.

    Σ u and Σ z u become those of weights on every web, which balance each throw's whole (t,). Of
    all that do so it has the least Σ |d|²/share: d = W Aᵀ (A W Aᵀ)⁻¹ r, W the shares, r what lacks.
    """
    throws = design.layout.throws
    shares = scheme_shares(scheme, throws)
    toward: ComplexArray = np.exp(1j * np.repeat(design.layout.throw_angles, 2))
    arms = np.stack((np.ones(2 * throws), web_positions(design) / design.layout.throw_spacing))
    lacks = arms @ (toward * (scheme_shares("every_web", throws) - shares) * whole.repeat(2))
    least = NEGLIGIBLE_UNBALANCE * float(whole.max())
    if np.abs(lacks).max() <= least:
        return 0 * toward
    weighted = arms * shares
    spread = weighted.T @ np.linalg.pinv(weighted @ arms.T, rcond=NEGLIGIBLE_UNBALANCE)
    taken: ComplexArray = spread @ lacks
    if np.abs(arms @ taken - lacks).max() > least:
        raise DesignError(
            "scheme",
            "must name webs whose counterweights can balance the shaft's static moment and couple "
            f"(got {scheme!r})",
        )
    return taken / toward


@frozen_record
class InternalMoment:
    """Moment inside the free turning shaft at 1 rad/s, real part in the plane of throw 1."""

    z: Array  # [m] (k,), from the middle of the shaft to the rear
    moment: ComplexArray  # [kg·m²] (k,), exp(i angle) from throw 1 with rotation

    def __repr__(self) -> str:
        return one_line(self, f"largest {quantity(self.largest, 'Nm')}")

    @property
    def largest(self) -> float:
        """Largest size [kg·m²]."""
        return float(np.abs(self.moment).max())


def internal_moment(design: Design, points: int = 241) -> InternalMoment:
    """Return the bending moment that what rotates puts into the shaft, held by no bearing.

    M(z) = Σ U_i (z − z_i) over what stands before z; rods count with their rotating shares. It
    comes back to zero at the rear where the shaft is balanced.

    Parameters
    ----------
    points : number of places along the shaft, k

    Returns
    -------
    Places z (k,) [m] and complex moments (k,) [kg·m²], which times ω² are N·m.

    Reference: Maass and Klier, Kräfte, Momente und deren Ausgleich, 1981 (from memory).

    >>> from kinematics import internal_moment, load_demo
    >>> internal_moment(load_demo("hill_climb_six"))
    InternalMoment(largest 0.0005833 N·m)
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
