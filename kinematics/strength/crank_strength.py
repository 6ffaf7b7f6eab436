"""Fatigue strength of crank throws: nominal stresses, equivalent stress, acceptability.

Each throw is a beam between the middles of two main bearings, statically determinate, with the
rods' force in its middle. Only the alternating parts count: half the range over the cycle;
constant centrifugal loads drop out. The method was fitted to larger shafts, those of ships'
engines: for a car's crankshaft its results are indicative only. Torsional vibration is left out
unless the caller adds its torque.

Source: IACS Unified Requirement M53, Calculations for I.C. Engine Crankshafts, as adopted in
Korean Register, Rules for the Classification of Steel Ships, 2025, Part 5, Annex 5-3 (read in a
public reprint). The symbols in brackets are those of M53.
"""

import math
from dataclasses import dataclass, fields

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia
from kinematics.one_line import frozen_record
from kinematics.strength.stress_concentration import StressConcentration, ThrowSection
from kinematics.units import UNITS

MILLIMETRE, MEGAPASCAL = UNITS["mm"].factor, UNITS["MPa"].factor

REQUIRED_ACCEPTABILITY = 1.15
ADDITIONAL_STRESS = 10e6  # (σ_add) [Pa] of trunk-piston engines, for misalignment and bedplate
LEAST_RADIUS = 2e-3  # [m], a smaller radius counts as this in the fatigue strength
EMPIRICAL_FACTORS = {"four_stroke": 1.0, "two_stroke": 0.8}  # (K_e)
AT_ONCE = 8  # speeds whose courses are made at once: what the processor keeps near
PROCESSES = {"grain_flow": 1.05, "drop_forged": 1.05, "free_forged": 1.0, "rolled_cast": 0.93}


@dataclass(frozen=True, slots=True)
class ThrowBeam:
    """A throw as a beam [m]."""

    span: float  # between the middles of its main bearings
    web_arm: float  # from a main bearing's middle to that of the web's thickness
    crank_radius: float

    def __post_init__(self) -> None:
        if not 0 < self.web_arm < self.span / 2:
            raise DesignError(
                "web_arm", f"must lie between 0 and {self.span / 2:g} m (got {self.web_arm:g} m)"
            )


@frozen_record
class ThrowMoments:
    """Loads inside each throw, (…, t, n)."""

    web_bending: Array  # (M_BRF) [N·m] at the middle of the web's thickness
    web_shear: Array  # (Q_RF) [N]
    pin_bending_radial: Array  # (M_BRO) [N·m] at the crankpin's middle, in the throw's plane
    pin_bending_tangential: Array  # (M_BTO) [N·m], across it
    pin_torque: Array  # (M_T) [N·m]
    front_torque: Array  # [N·m], in the journal in front of the throw
    rear_torque: Array  # [N·m], in the journal behind it


@frozen_record
class NominalStresses:
    """Nominal stresses of each throw [Pa]: (t, n) over the angle, or alternating parts (t,)."""

    web_bending: Array  # (σ_BF)
    web_shear: Array  # (σ_QF)
    pin_torsion: Array  # (τ) of the crankpin
    front_torsion: Array  # (τ) of the journal in front
    rear_torsion: Array  # (τ) of the journal behind
    bore_bending: Array  # (σ_BO) of the crankpin where the oil bore leaves it

    @property
    def journal_torsion(self) -> Array:
        """The larger torsion of the two journals, for alternating parts."""
        return np.maximum(self.front_torsion, self.rear_torsion)


@frozen_record
class AtPlaces:
    """A quantity at the three places where a throw may fail, all of one shape."""

    pin_fillet: Array
    journal_fillet: Array
    oil_bore: Array

    @property
    def least(self) -> Array:
        """The least of the three."""
        return np.minimum(np.minimum(self.pin_fillet, self.journal_fillet), self.oil_bore)


@dataclass(frozen=True, slots=True)
class CrankMaterial:
    """Tensile strength of the core (σ_B) [Pa] and how the shaft was made, one of `PROCESSES`."""

    tensile_strength: float
    process: str = "free_forged"

    def __post_init__(self) -> None:
        if not 0 < self.tensile_strength < math.inf:
            raise DesignError(
                "tensile_strength", f"must be above 0 (got {self.tensile_strength:g})"
            )
        if self.process not in PROCESSES:
            known = ", ".join(PROCESSES)
            raise DesignError("process", f"must be one of {known} (got {self.process!r})")


def force_on_pin(load: Array) -> tuple[Array, Array]:
    """Return radial and tangential force (…, n) [N] on the crankpin from a big-end load.

    The load (…, 2, n) is that of the pin on the rod in the crank's frame; radial is positive
    outward, tangential in the sense of rotation.

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    return -load[..., 1, :], -load[..., 0, :]


def throw_moments(beam: ThrowBeam, radial: Array, tangential: Array) -> ThrowMoments:
    """Return the loads inside all throws from the forces (…, t, n) [N] on their crankpins.

    Throws count from the front, whose end is free; two rods on a pin count by their sum. Each
    main bears half of a throw's force (the load on a bearing itself is that of both its
    throws), so all results are linear in the forces: they hold for a gas part and for an
    inertia part alike.

    Reference: statics of a beam between two mains.
    """
    own = tangential * beam.crank_radius
    rear = np.cumsum(own, axis=-2)
    front = rear - own
    return ThrowMoments(
        web_bending=radial / 2 * beam.web_arm,
        web_shear=radial / 2,
        pin_bending_radial=radial * beam.span / 4,
        pin_bending_tangential=tangential * beam.span / 4,
        pin_torque=front + own / 2,
        front_torque=front,
        rear_torque=rear,
    )


def nominal_stresses(
    section: ThrowSection,
    moments: ThrowMoments,
    *,
    bore_angle: float = 0.0,
    empirical_factor: float = EMPIRICAL_FACTORS["four_stroke"],
) -> NominalStresses:
    """Return the nominal stresses [Pa] that loads inside the throws make, of their shape.

    Parameters
    ----------
    bore_angle : (ψ) [rad] of the oil bore, from the tangential direction (0) to the radial (π/2)

    Notes
    -----
    Web W_eq = B W²/6, area B W; solid or hollow shaft W_e = π (D⁴ - d⁴)/(32 D), W_p = 2 W_e.

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    area = section.web_width * section.web_thickness
    pin = bending_modulus(section.pin_diameter, section.pin_bore)
    journal = bending_modulus(section.journal_diameter, section.journal_bore)
    bore = moments.pin_bending_tangential * math.cos(bore_angle)
    bore = bore + moments.pin_bending_radial * math.sin(bore_angle)
    return NominalStresses(
        web_bending=moments.web_bending * empirical_factor / (area * section.web_thickness / 6),
        web_shear=moments.web_shear * empirical_factor / area,
        pin_torsion=moments.pin_torque / (2 * pin),
        front_torsion=moments.front_torque / (2 * journal),
        rear_torsion=moments.rear_torque / (2 * journal),
        bore_bending=bore / pin,
    )


def bending_modulus(diameter: float, bore: float = 0.0) -> float:
    """Return the section modulus [m³] of a round shaft in bending; half that in torsion.

    Reference: π (D⁴ - d⁴) / (32 D), from the second moment of a ring.
    """
    return math.pi * (diameter**4 - bore**4) / (32 * diameter)


def alternating(values: Array) -> Array:
    """Return half the range over the last axis, shape (…) from (…, n).

    Reference: amplitude is half the range, by definition.
    """
    return (values.max(axis=-1) - values.min(axis=-1)) / 2


def alternating_over_speed(load: GasAndInertia, speed: Array) -> Array:
    """Return half the range over the angle at speeds (s,) [rad/s]: (…, s) from (…, n).

    Reference: amplitude is half the range, by definition.
    """
    batches = np.array_split(speed, max(1, len(speed) // AT_ONCE))
    return np.moveaxis(np.concatenate([alternating(load.over(some)) for some in batches]), 0, -1)


def alternating_stresses(stresses: NominalStresses) -> NominalStresses:
    """Return the alternating parts (t,) of stresses (t, n) over one whole cycle.

    Reference: amplitude is half the range, by definition.
    """
    names = [field.name for field in fields(stresses)]
    return NominalStresses(**{name: alternating(getattr(stresses, name)) for name in names})


def equivalent_stresses(
    factors: StressConcentration,
    nominal: NominalStresses,
    *,
    additional: float = ADDITIONAL_STRESS,
) -> AtPlaces:
    """Return the equivalent alternating stress (σ_v) [Pa] from alternating nominal stresses.

    Notes
    -----
    Fillets: √((σ_B + σ_add)² + 3 τ²). Oil bore: (σ + 2 √(σ² + 9/4 τ²)) / 3, which is the M53
    formula with the bending stress multiplied in, so that it may be 0.

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    pin = factors.pin_bending * nominal.web_bending + additional
    journal = (
        factors.journal_bending * nominal.web_bending
        + factors.journal_shear * nominal.web_shear
        + additional
    )
    pin_torsion = factors.pin_torsion * nominal.pin_torsion
    journal_torsion = factors.journal_torsion * nominal.journal_torsion
    bending = factors.bore_bending * nominal.bore_bending
    torsion = factors.bore_torsion * nominal.pin_torsion
    return AtPlaces(
        pin_fillet=np.sqrt(pin**2 + 3 * pin_torsion**2),
        journal_fillet=np.sqrt(journal**2 + 3 * journal_torsion**2),
        oil_bore=(bending + 2 * np.sqrt(bending**2 + 9 / 4 * torsion**2)) / 3,
    )


def fatigue_strength(
    material: CrankMaterial, diameter: float, radius: float, *, at_bore: bool = False
) -> float:
    """Return the alternating stress [Pa] that an untreated shaft bears at a notch (σ_DW).

    Parameters
    ----------
    diameter : [m] of crankpin or journal
    radius : [m] of the fillet, or half the oil bore; counts as 2 mm at least

    Notes
    -----
    K (0.42 σ_B + 39.3) (0.264 + 1.073 D^-0.2 + (785 - σ_B)/4900 + 196/σ_B √(1/R)), in N/mm² and
    mm. K above 1 holds at fillets only.

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    tensile = material.tensile_strength / MEGAPASCAL
    process = PROCESSES[material.process]
    size = 0.264 + 1.073 * (diameter / MILLIMETRE) ** -0.2
    notch = 196 / tensile * math.sqrt(MILLIMETRE / max(radius, LEAST_RADIUS))
    strength = (0.42 * tensile + 39.3) * (size + (785 - tensile) / 4900 + notch)
    return (min(process, 1.0) if at_bore else process) * strength * MEGAPASCAL


def fatigue_strengths(section: ThrowSection, material: CrankMaterial) -> AtPlaces:
    """Return the untreated fatigue strength [Pa] at the three places of a throw, each ().

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    pin, journal = section.pin_diameter, section.journal_diameter
    bore = fatigue_strength(material, pin, section.oil_bore / 2, at_bore=True)
    return AtPlaces(
        pin_fillet=np.array(fatigue_strength(material, pin, section.pin_fillet)),
        journal_fillet=np.array(fatigue_strength(material, journal, section.journal_fillet)),
        oil_bore=np.array(bore),
    )


def acceptability(strength: AtPlaces, stress: AtPlaces) -> AtPlaces:
    """Return the acceptability factor Q = σ_DW / σ_v [1]; 1.15 is required.

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    return AtPlaces(
        strength.pin_fillet / stress.pin_fillet,
        strength.journal_fillet / stress.journal_fillet,
        strength.oil_bore / stress.oil_bore,
    )


@dataclass(frozen=True, slots=True)
class SurfaceTreatment:
    """Treatment of both fillets: "induction_hardened", "gas_nitrided" or "rolled".

    Raises
    ------
    DesignError
        For an unknown kind, a surface too soft for its formula, a depth that is not positive, or
        rolled fillets without a tested strength, which only a test can give.
    """

    kind: str
    surface_hardness: float = 0.0  # [HV]
    core_hardness: float = 0.0  # [HV]
    depth: float = 0.0  # [m], where hardness has fallen to the core's (nitrided: core + 50 HV)
    tested_strength: float = 0.0  # [Pa], of rolled fillets

    def __post_init__(self) -> None:
        if self.kind == "rolled":
            if not self.tested_strength > 0:
                raise DesignError("tested_strength", "rolled fillets need a strength from a test")
            return
        if self.kind not in _LEAST_HARDNESS:
            known = ", ".join((*_LEAST_HARDNESS, "rolled"))
            raise DesignError("kind", f"must be one of {known} (got {self.kind!r})")
        least = max(_LEAST_HARDNESS[self.kind], self.core_hardness + 50)
        if not self.surface_hardness >= least:
            raise DesignError(
                "surface_hardness", f"must be {least:g} HV at least (got {self.surface_hardness:g})"
            )
        if not self.depth > 0:
            raise DesignError("depth", f"must be above 0 m (got {self.depth:g} m)")

    @property
    def transition_depth(self) -> float:
        """Depth [m] at which the core begins: 1.2 times the depth of a nitrided layer.

        Reference: IACS Unified Requirement M53 (read in a public reprint).
        """
        return 1.2 * self.depth if self.kind == "gas_nitrided" else self.depth

    @property
    def surface_strength(self) -> float:
        """Fatigue strength of the treated surface [Pa] (M53, appendix on surface treatment)."""
        if self.kind == "rolled":
            return self.tested_strength
        if self.kind == "gas_nitrided":
            return 450 * MEGAPASCAL
        return (400 + 0.5 * (self.surface_hardness - 400)) * MEGAPASCAL


_LEAST_HARDNESS = {"induction_hardened": 400.0, "gas_nitrided": 600.0}


def nitrided_hardness(treatment: SurfaceTreatment, depth: Array) -> Array:
    """Return the hardness [HV] of a nitrided layer at depths (n,) [m].

    core + (surface - core) (50 / (surface - core))^((t/t_N)²), so core + 50 HV at t_N.

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    rise = treatment.surface_hardness - treatment.core_hardness
    return treatment.core_hardness + rise * (50 / rise) ** ((depth / treatment.depth) ** 2)


def factors_below_surface(
    section: ThrowSection, factors: StressConcentration, depth: float
) -> StressConcentration:
    """Return the factors at a depth [m] below both fillets; those of the oil bore stay.

    Notes
    -----
    Bending: (α - 1) exp(-2t/R) + 1 - (2t/√(W² + S²))^(0.6/√α). Torsion: (α - 1) exp(-t/R) + 1 -
    (2t/D)^(1/√α). As read for α_B and α_T; the same for the journal's factors (from memory).

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    breadth = math.hypot(section.web_thickness, section.overlap)
    pin, journal = section.pin_fillet, section.journal_fillet

    def bending(factor: float, radius: float) -> float:
        lost = (2 * depth / breadth) ** (0.6 / math.sqrt(factor))
        return (factor - 1) * math.exp(-2 * depth / radius) + 1 - lost

    def torsion(factor: float, radius: float, diameter: float) -> float:
        lost = (2 * depth / diameter) ** (1 / math.sqrt(factor))
        return (factor - 1) * math.exp(-depth / radius) + 1 - lost

    return StressConcentration(
        pin_bending=bending(factors.pin_bending, pin),
        pin_torsion=torsion(factors.pin_torsion, pin, section.pin_diameter),
        journal_bending=bending(factors.journal_bending, journal),
        journal_shear=bending(factors.journal_shear, journal),
        journal_torsion=torsion(factors.journal_torsion, journal, section.journal_diameter),
        bore_bending=factors.bore_bending,
        bore_torsion=factors.bore_torsion,
    )


def treated_acceptability(
    section: ThrowSection,
    material: CrankMaterial,
    factors: StressConcentration,
    nominal: NominalStresses,
    treatment: SurfaceTreatment,
) -> AtPlaces:
    """Return Q of a throw with treated fillets: the lesser of surface and core; bore untreated.

    The core's strength below the layer is taken as the untreated fillet's, which the text read
    does not settle. Rolled fillets are judged at the surface alone.

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    stress, core = equivalent_stresses(factors, nominal), fatigue_strengths(section, material)
    surface = np.array(treatment.surface_strength)
    on_top = acceptability(AtPlaces(surface, surface, core.oil_bore), stress)
    if treatment.kind == "rolled":
        return on_top
    below = factors_below_surface(section, factors, treatment.transition_depth)
    inside = acceptability(core, equivalent_stresses(below, nominal))
    return AtPlaces(
        np.minimum(on_top.pin_fillet, inside.pin_fillet),
        np.minimum(on_top.journal_fillet, inside.journal_fillet),
        on_top.oil_bore,
    )
