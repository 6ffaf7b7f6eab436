"""Dampers of torsional vibration at the free end: viscous (untuned) and rubber (tuned).

Damping ratios are Den Hartog's c / (2 I_d ω): the damper's own inertia I_d, the main system's
natural frequency ω. Referred to the main inertia I they are I_d / I times this; referred to the
tuned damper's own frequency, over the tuning.

Source: Den Hartog, Mechanical Vibrations, sections 3.2 to 3.4 (from memory). The closed forms hold
for one undamped mode, its torque at the damper's place.
"""

import math
from dataclasses import dataclass, replace

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.torsion.torsion_modes import TorsionModes
from kinematics.torsion.torsional_system import TorsionalSystem


@dataclass(frozen=True, slots=True)
class TorsionDamper:
    """A ring that a spring and a viscous element join to the free end."""

    inertia: float  # [kg·m²]
    stiffness: float  # [N·m/rad], 0 of a viscous damper
    damping: float  # [N·m·s/rad]


@dataclass(frozen=True, slots=True)
class DamperOptimum:
    """The damper of a given inertia that leaves the smallest peak."""

    inertia_ratio: float  # damper over main
    tuning: float  # damper's own frequency over the main system's, 0 of a viscous damper
    damping_ratio: float  # c / (2 I_d ω)
    peak: float  # amplification that remains


def untuned_optimum(inertia_ratio: float) -> DamperOptimum:
    """Return the optimum viscous damper: ζ = 1 / √(2 (1 + μ) (2 + μ)), peak (2 + μ) / μ.

    Exact. The peak is at √(2 / (2 + μ)) of the main frequency.

    References
    ----------
    Den Hartog, Mechanical Vibrations, section 3.4 (from memory).
    """
    mu = _checked(inertia_ratio)
    return DamperOptimum(mu, 0.0, 1 / math.sqrt(2 * (1 + mu) * (2 + mu)), (2 + mu) / mu)


def tuned_optimum(inertia_ratio: float) -> DamperOptimum:
    """Return the optimum tuned damper: tuning 1 / (1 + μ), ζ = √(3 μ / (8 (1 + μ)³)).

    Its peak √(1 + 2 / μ) is that of the fixed points, some 0.3 % below the true one.

    References
    ----------
    Den Hartog, Mechanical Vibrations, section 3.3 (from memory).
    """
    mu = _checked(inertia_ratio)
    damping_ratio = math.sqrt(3 * mu / (8 * (1 + mu) ** 3))
    return DamperOptimum(mu, 1 / (1 + mu), damping_ratio, math.sqrt(1 + 2 / mu))


OPTIMA = {"viscous": untuned_optimum, "tuned": tuned_optimum}


def amplification(
    frequency_ratio: Array, *, inertia_ratio: float, tuning: float, damping_ratio: float
) -> Array:
    """Return the main inertia's amplitude over its static twist, of the frequency ratio's shape.

    Parameters
    ----------
    frequency_ratio : of excitation to the undamped main system, any shape
    inertia_ratio, tuning, damping_ratio : as in `DamperOptimum`

    References
    ----------
    Den Hartog, Mechanical Vibrations, section 3.3, equation for x1 / x_st (from memory).
    """
    square = frequency_ratio**2
    loss = 2 * damping_ratio * frequency_ratio
    spring = square - tuning**2
    below = inertia_ratio * tuning**2 * square - (square - 1) * spring
    return np.sqrt(
        (loss**2 + spring**2) / (loss**2 * (square - 1 + inertia_ratio * square) ** 2 + below**2)
    )


def optimum_damper(
    modes: TorsionModes, inertia: float, *, kind: str, mode: int = 1
) -> TorsionDamper:
    """Return the damper of an inertia [kg·m²] that is best for one mode of a chain.

    Parameters
    ----------
    kind : "viscous" or "tuned"
    mode : from 1, the slowest after turning as a whole

    Notes
    -----
    The mode counts as one inertia, `modes.effective_inertia` at the free end. Raises DesignError
    on another kind, and where the free end does not move in that mode.

    Reference: Den Hartog, Mechanical Vibrations, sections 3.2 to 3.4 (from memory).
    """
    if kind not in OPTIMA:
        raise DesignError("", f"must be one of {', '.join(OPTIMA)} (got {kind!r})")
    if not 1 <= mode < len(modes.angular_frequency):
        last = len(modes.angular_frequency) - 1
        raise DesignError("", f"no mode {mode}; the chain has 1 … {last}")
    if abs(modes.shape[mode, 0] - 1) > 1e-9 or modes.angular_frequency[mode] == 0:
        raise DesignError("", f"the free end does not vibrate in mode {mode}")
    frequency = float(modes.angular_frequency[mode])
    best = OPTIMA[kind](inertia / float(modes.effective_inertia[mode]))
    return TorsionDamper(
        inertia=inertia,
        stiffness=inertia * (best.tuning * frequency) ** 2,
        damping=2 * best.damping_ratio * inertia * frequency,
    )


def with_damper(system: TorsionalSystem, damper: TorsionDamper) -> TorsionalSystem:
    """Return the chain with the damper's ring before its free end: every place moves up by one.

    Reference: Den Hartog, Mechanical Vibrations, chapter 5 (from memory).
    """
    return replace(
        system,
        inertias=(damper.inertia, *system.inertias),
        stiffnesses=(damper.stiffness, *system.stiffnesses),
        ground_damping=(0.0, *system.ground_damping),
        span_damping=(damper.damping, *system.span_damping),
    )


RING_BORE, RING_WIDTH = 0.5, 0.15  # of a ring's outer diameter; common practice, no source


def ring_diameter(inertia: float, density: float) -> float:
    """Return the outer diameter [m] of a usual ring of an inertia [kg·m²].

    Its bore is half and its width 0.15 of that: J = π ρ w (D⁴ - d⁴) / 32.

    Reference: moment of inertia of a ring; proportions common practice, no source.
    """
    share = math.pi * density * RING_WIDTH * (1 - RING_BORE**4) / 32
    return float((inertia / share) ** 0.2)


def damper_surface(diameter: float, width: float) -> float:
    """Return the surface [m²] that gives off a damper's heat: rim and both faces, π D w + π D²/2.

    Reference: surface of a cylinder, by definition.
    """
    return math.pi * diameter * (width + diameter / 2)


def _checked(inertia_ratio: float) -> float:
    if not (math.isfinite(inertia_ratio) and inertia_ratio > 0):
        raise DesignError("torsion.damper", f"must be above 0 and finite (got {inertia_ratio:g})")
    return inertia_ratio
