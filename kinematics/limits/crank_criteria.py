"""What limits speed at the crankshaft: fillets and oil bore in fatigue, torsional vibration.

The fillets' method was fitted to larger shafts, those of ships' engines: for a car's crankshaft
it is indicative only. Torsion in it is that of the vibrating shaft where the design has the
group `torsion`, else that of a stiff one. Sources of the formulas are in `crank_strength`,
`stress_concentration` and `torsion`.
"""

import math
from dataclasses import fields, replace
from functools import cached_property

import numpy as np

from kinematics.array import Array
from kinematics.design.design_parts import STEEL_DENSITY
from kinematics.errors import DesignError
from kinematics.fit.axial_fit import fillet_rooms
from kinematics.limits.criterion import Criterion, OptionalGroup
from kinematics.limits.kept_answers import KeptAnswers
from kinematics.limits.left_out import (
    gas_at_every_speed,
    lightened_webs,
    second_mode,
    strength_gas_at_every_speed,
    throw_outside_surface,
    together,
    torsion_by_the_mean,
)
from kinematics.limits.other_models import by_throw_stiffness, by_throws_and_main_loads
from kinematics.mechanics.gas_and_inertia_loads import BySpeed, GasAndInertia
from kinematics.shaft.torsion_train import (
    HIGHEST_ORDER,
    POINTS_A_WAVE,
    TorsionalChain,
    TorsionalStrain,
    critical_speed_table,
    damper_power,
    idling,
    torsional_chain,
    torsional_strain,
    vibratory_stress,
)
from kinematics.strength.crank_strength import (
    EMPIRICAL_FACTORS,
    LEAST_RADIUS,
    AtPlaces,
    CrankMaterial,
    NominalStresses,
    SurfaceTreatment,
    ThrowBeam,
    ThrowMoments,
    acceptability,
    alternating_over_speed,
    bending_modulus,
    equivalent_stresses,
    fatigue_strengths,
    force_on_pin,
    nominal_stresses,
    throw_moments,
    treated_acceptability,
)
from kinematics.strength.stress_concentration import (
    VALIDITY,
    StressConcentration,
    ThrowSection,
    outside_validity,
    stress_concentration,
)
from kinematics.torsion.cyclic_irregularity import degree_of_irregularity, energy_fluctuation
from kinematics.torsion.torsion_damper import RING_WIDTH, damper_surface, ring_diameter
from kinematics.torsion.torsion_response import synthesis
from kinematics.train.bearing_loads import rods_on_throws, weighted_sums
from kinematics.train.cycle import RigidTrain, rigid_train
from kinematics.units import in_words

_PURPOSE = "the fatigue of the crankshaft"
RESONANT_MODES = 2  # whose critical speeds are looked at one by one


class CrankParts:
    """Every throw of the shaft, its loads as gas and inertia, and the twisting chain.

    Of measured cycles the throws have that which strength takes. The chain has the mean: vibration
    builds up over many cycles.
    """

    def __init__(self, train: RigidTrain) -> None:
        self.train = train
        self.design = train.design
        self._kept = KeptAnswers()

    @cached_property
    def section(self) -> ThrowSection:
        """Dimensions of a throw; a web wider than the factors were fitted to counts as widest."""
        design = self.design
        throw = design.needed("crank_throw", _PURPOSE)
        pin = design.needed("big_end", _PURPOSE).diameter
        return ThrowSection(
            pin_diameter=pin,
            journal_diameter=design.needed("main_bearing", _PURPOSE).diameter,
            crank_radius=design.cylinder.crank_radius,
            web_thickness=throw.web_thickness,
            web_width=min(throw.web_width, VALIDITY["web width"][1] * pin),
            pin_fillet=throw.pin_fillet,
            journal_fillet=throw.journal_fillet,
            oil_bore=throw.oil_bore,
            pin_bore=throw.pin_bore,
            journal_bore=throw.journal_bore,
        )

    @cached_property
    def factors(self) -> StressConcentration:
        """Stress concentration of a throw.

        Raises DesignError where the fitted formulas lose their sense: a factor below 1.

        Reference: IACS Unified Requirement M53 (read in a public reprint).
        """
        factors = stress_concentration(self.section)
        for name in ("pin_bending", "pin_torsion", "journal_bending", "journal_shear",
                     "journal_torsion"):  # fmt: skip
            if not getattr(factors, name) >= 1:
                words = "; ".join(outside_validity(self.section)) or "the throw is out of range"
                raise DesignError(
                    "crank_throw",
                    f"the fitted factor of {name.replace('_', ' ')} falls below 1: {words}",
                )
        return factors

    @cached_property
    def material(self) -> CrankMaterial:
        """The shaft's steel."""
        chosen = self.design.needed("crank_material", _PURPOSE)
        return CrankMaterial(chosen.tensile, chosen.process)

    @cached_property
    def treatment(self) -> SurfaceTreatment | None:
        """How the fillets are treated, None where they are not."""
        chosen = self.design.needed("crank_material", _PURPOSE)
        if chosen.treatment == "none":
            return None
        return SurfaceTreatment(
            chosen.treatment, chosen.surface_hardness, chosen.core_hardness, chosen.case_depth
        )

    @property
    def validity(self) -> tuple[str, ...]:
        """In words, where the fitted factors are stretched."""
        found = [f"{words}." for words in outside_validity(self.section)]
        throw = self.design.needed("crank_throw", _PURPOSE)
        if throw.web_width > self.section.web_width:
            found.append("A web wider than 2.2 crankpin diameters counts as one of 2.2.")
        found += self._shells_on_fillets()
        if min(self.section.pin_fillet, self.section.journal_fillet) < LEAST_RADIUS:
            found.append("A fillet under 2 mm counts as one of 2 mm in the fatigue strength.")
        if self.design.torsion is None:
            found.append("Without the group torsion the shaft counts as torsionally stiff.")
        return tuple(words[0].upper() + words[1:] for words in found)

    def _shells_on_fillets(self) -> list[str]:
        """Return in words the shells that are wider than what the fillets leave."""
        return [
            f"The {room.journal}'s shells need {in_words(room.shells, 'mm', 3)}, its fillets leave "
            f"{in_words(room.left, 'mm', 3)}: they would ride on the radii."
            for room in fillet_rooms(self.design, _PURPOSE)
            if not room.is_enough
        ]

    @property
    def moments(self) -> ThrowMoments:
        """Loads inside all throws over the cycle, (k, t, n), by each part of the load.

        With a continuous shaft, bending and shear are those of each web, (k, 2t, n).
        """
        layout, load = self.design.layout, self.train.for_strength.big_end_crank
        beam = ThrowBeam(
            layout.throw_spacing,
            layout.throw_spacing / 2 - self.design.crank.web_offset,
            self.design.cylinder.crank_radius,
        )
        on_throw = weighted_sums(rods_on_throws(layout), load.parts)
        alone = throw_moments(beam, *force_on_pin(on_throw))
        return self._continuous_moments(alone) if self.continuous else alone

    @property
    def continuous(self) -> bool:
        """Whether the design takes its shaft as continuous over all mains."""
        return self.design.continuous

    def _continuous_moments(self, alone: ThrowMoments) -> ThrowMoments:
        shaft = self.train.for_strength.continuous_shaft
        radial, tangential = np.moveaxis(shaft.pin_bending.parts, -2, 0)
        return replace(
            alone,
            web_bending=shaft.web_bending[:, 0].parts,
            web_shear=shaft.web_shear[:, 0].parts,
            pin_bending_radial=radial,
            pin_bending_tangential=tangential,
        )

    @cached_property
    def stresses(self) -> dict[str, GasAndInertia]:
        """Nominal stresses over the cycle [Pa] by their names: of throws (t, n) or webs (2t, n).

        Reference: IACS Unified Requirement M53 (read in a public reprint).
        """
        throw = self.design.needed("crank_throw", _PURPOSE)
        strokes = "four_stroke" if self.design.layout.strokes_per_cycle == 4 else "two_stroke"
        stresses = nominal_stresses(
            self.section,
            self.moments,
            bore_angle=math.pi / 2 - throw.oil_hole_angle,
            empirical_factor=EMPIRICAL_FACTORS[strokes],
        )
        speeds = self.train.for_strength.big_end_crank.gas.speeds
        parts = {stress.name: getattr(stresses, stress.name) for stress in fields(stresses)}
        return {
            name: GasAndInertia(BySpeed(part[:-1], speeds), part[-1])
            for name, part in parts.items()
        }

    @cached_property
    def chain(self) -> TorsionalChain:
        """The shaft as inertias and springs."""
        return torsional_chain(self.train)

    def strain(self, speed: Array) -> TorsionalStrain:
        """Return the torsional vibration at speeds (s,) [rad/s]; answers are kept.

        Reference: as of `torsional_strain`.
        """
        strain: TorsionalStrain = self._kept.of(
            "strain", speed, lambda asked: torsional_strain(self.train, self.chain, asked)
        )
        return strain

    def resonances(self, low: float, high: float) -> Array:
        """Return the speeds [rad/s] between two at which an order meets one of the first modes."""
        if self.design.torsion is None:
            return np.array([])
        return self._kept.array("resonances", np.array([low, high]), self._resonances)

    def _resonances(self, ends: Array) -> Array:
        table = critical_speed_table(self.chain, float(ends[0]), float(ends[1]))
        found = sorted({critical.mode for critical in table})[:RESONANT_MODES]
        return np.array([critical.speed for critical in table if critical.mode in found])

    def alternating(self, speed: Array) -> NominalStresses:
        """Return the alternating nominal stresses of all throws [Pa], (t, s).

        Reference: IACS Unified Requirement M53 (read in a public reprint).
        """
        if self.design.torsion is None:
            pin, front, rear = (
                self._alternating(name, speed)
                for name in ("pin_torsion", "front_torsion", "rear_torsion")
            )
        else:
            pin, front, rear = self.torsion(self.strain(speed))
        bending, shear, bore = self.bending(speed)
        return NominalStresses(bending, shear, pin, front, rear, bore)

    def bending(self, speed: Array) -> tuple[Array, Array, Array]:
        """Return the alternating bending and shear of webs and bending at oil bores [Pa], (t, s).

        Reference: IACS Unified Requirement M53 (read in a public reprint).
        """
        return (
            self._bending("web_bending", speed),
            self._bending("web_shear", speed),
            self._bending("bore_bending", speed),
        )

    def web_bending(self, speed: Array) -> Array:
        """Return the alternating nominal bending stress of the webs of all throws [Pa], (t, s).

        Reference: IACS Unified Requirement M53 (read in a public reprint).
        """
        return self._bending("web_bending", speed)

    def _bending(self, name: str, speed: Array) -> Array:
        """Return an alternating stress of bending of all throws [Pa], (t, s).

        With a cylinder a throw, all firing alike, and a determinate shaft all throws bend alike,
        each at its own time: one is looked at. Of a continuous shaft the worse of a throw's two
        webs counts.
        """
        layout = self.design.layout
        one_each = layout.cylinders == layout.throws and self.design.cylinders_alike
        alike = one_each and not self.continuous
        found = self._alternating(name, speed, slice(0, 1 if alike else None))
        by_throw = found.reshape(1 if alike else layout.throws, -1, len(speed)).max(axis=1)
        return np.broadcast_to(by_throw, (layout.throws, len(speed)))

    def _alternating(self, name: str, speed: Array, rows: slice = slice(None)) -> Array:
        return alternating_over_speed(self.stresses[name][rows], speed)

    def torsion(self, strain: TorsionalStrain) -> tuple[Array, Array, Array]:
        """Return the alternating torsion of crankpin, front and rear journal [Pa], (t, s).

        Of a strain at speeds (s,).

        Reference: IACS Unified Requirement M53 (read in a public reprint).
        """
        pin = 2 * bending_modulus(self.section.pin_diameter, self.section.pin_bore)
        journal = 2 * bending_modulus(self.section.journal_diameter, self.section.journal_bore)
        front, rear = strain.journal_torque[..., 0].T, strain.journal_torque[..., 1].T
        return strain.pin_torque.T / pin, front / journal, rear / journal

    def acceptability(self, speed: Array) -> AtPlaces:
        """Return Q of every throw at its three places, (t, s), at speeds (s,) [rad/s].

        Reference: IACS Unified Requirement M53 (read in a public reprint).
        """
        result: AtPlaces = self._kept.of("acceptability", speed, self._acceptability_at)
        return result

    def _acceptability_at(self, speed: Array) -> AtPlaces:
        return self.acceptability_of(self.alternating(speed))

    def acceptability_of(self, nominal: NominalStresses) -> AtPlaces:
        """Return Q at the three places for alternating nominal stresses, of their shape.

        Reference: IACS Unified Requirement M53 (read in a public reprint).
        """
        if self.treatment is None:
            strength = fatigue_strengths(self.section, self.material)
            return acceptability(strength, equivalent_stresses(self.factors, nominal))
        return treated_acceptability(
            self.section, self.material, self.factors, nominal, self.treatment
        )

    def pin_fillet(self, speed: Array) -> Array:
        """Return Q of the weakest crankpin fillet, (s,).

        Reference: IACS Unified Requirement M53 (read in a public reprint).
        """
        return self.acceptability(speed).pin_fillet.min(axis=0)

    def journal_fillet(self, speed: Array) -> Array:
        """Return Q of the weakest journal fillet, (s,).

        Reference: IACS Unified Requirement M53 (read in a public reprint).
        """
        return self.acceptability(speed).journal_fillet.min(axis=0)

    def oil_bore(self, speed: Array) -> Array:
        """Return Q of the weakest oil bore, (s,); raises DesignError where there is none.

        Reference: IACS Unified Requirement M53 (read in a public reprint).
        """
        if self.section.oil_bore == 0:
            raise DesignError("crank_throw.oil_bore_mm", "is 0: there is no oil bore to assess")
        return self.acceptability(speed).oil_bore.min(axis=0)

    def shaft_stress(self, speed: Array) -> Array:
        """Return the maximum vibratory stress of all spans [Pa], (s,).

        Reference: as of `torsional_strain`.
        """
        return vibratory_stress(self.strain(speed), self.design).max(axis=-1)

    def free_end(self, speed: Array) -> Array:
        """Return the torsional amplitude of the free end against the flywheel [rad], (s,).

        Reference: as of `torsional_strain`.
        """
        return self.strain(speed).free_end

    def twist_over_cycle(self, speed: Array) -> Array:
        """Return the twist between free end and flywheel over a cycle [rad], (s, p)."""
        chain, response = self.chain, self.strain(speed).response
        points = POINTS_A_WAVE * HIGHEST_ORDER * chain.turns
        angle = np.arange(points) * (2 * math.pi * chain.turns / points)
        twist = response.angle[..., chain.hub, None] - response.angle[..., -1:]
        return synthesis(response.order, twist, angle)[:, 0]

    @cached_property
    def damper_surface(self) -> float:
        """Surface of the damper [m²]; raises DesignError where there is none.

        Reference: as of `damper_surface` in `torsion_damper`.
        """
        torsion = self.design.needed("torsion", "the damper's heat")
        if self.chain.damper is None:
            raise DesignError("torsion.damper", "is none: there is no damper to assess")
        usual = ring_diameter(self.chain.damper.inertia, STEEL_DENSITY)
        diameter = torsion.damper_diameter or usual
        return damper_surface(diameter, torsion.damper_width or RING_WIDTH * diameter)

    def damper_heat(self, speed: Array) -> Array:
        """Return the damper's heat over its surface [W/m²], (s,), of all orders.

        Reference: c |Δω|² / 2 of each order, Den Hartog, Mechanical Vibrations (from memory).
        """
        surface = self.damper_surface  # refused here where there is no damper
        return damper_power(self.strain(speed).response) / surface

    @cached_property
    def idle_torque(self) -> GasAndInertia:
        """Torque of all cylinders at the idle's load [N·m], (n,).

        Raises DesignError where the pressure is a trace.
        """
        if self.design.pressure.source == "trace":
            raise DesignError("pressure.source", "is a trace, which does not describe the idle")
        return rigid_train(idling(self.design)).crank_torque

    def irregularity(self, speed: Array) -> Array:
        """Return the degree of irregularity at the idle's load, (s,), the shaft stiff.

        Reference: Khurmi and Gupta, Theory of Machines, 14th ed., chapter 16
        (public worked solutions).
        """
        torque, cycle = self.idle_torque, self.design.layout.cycle_angle
        swing = energy_fluctuation(torque.over(speed), cycle)
        inertia = sum(self.chain.system.inertias)
        return degree_of_irregularity(swing.largest, inertia=inertia, speed=speed)


_FILLETS, _TWIST = "Crankshaft", "Torsion"
_THROW: tuple[OptionalGroup, ...] = ("crank_throw", "crank_material", "big_end", "main_bearing")
_CHAIN: tuple[OptionalGroup, ...] = ("torsion", *_THROW)
_FILLET_MARKS = together(
    second_mode, throw_outside_surface, lightened_webs, strength_gas_at_every_speed,
    torsion_by_the_mean,
)  # fmt: skip
_MARKS = together(second_mode, throw_outside_surface, lightened_webs, gas_at_every_speed)
CRANK_CRITERIA = (
    Criterion(
        "pin_fillet", _FILLETS, "Crankpin fillet, Q", "", "acceptability", _THROW,
        CrankParts.pin_fillet, at_least=True, resonant=True, left_out=_FILLET_MARKS,
        band=by_throws_and_main_loads),
    Criterion(
        "journal_fillet", _FILLETS, "Journal fillet, Q", "", "acceptability", _THROW,
        CrankParts.journal_fillet, at_least=True, resonant=True, left_out=_FILLET_MARKS,
        band=by_throws_and_main_loads),
    Criterion(
        "oil_bore", _FILLETS, "Oil bore, Q", "", "acceptability", _THROW,
        CrankParts.oil_bore, at_least=True, resonant=True, left_out=_FILLET_MARKS,
        band=by_throws_and_main_loads),
    Criterion(
        "shaft_stress", _TWIST, "Vibratory stress", "MPa", "shaft_stress", _CHAIN,
        CrankParts.shaft_stress, resonant=True, left_out=_MARKS, band=by_throw_stiffness),
    Criterion(
        "free_end_angle", _TWIST, "Torsional amplitude at free end", "deg", "free_end_angle",
        _CHAIN, CrankParts.free_end, resonant=True, guide=True, left_out=_MARKS,
        band=by_throw_stiffness),
    Criterion(
        "damper_heat", _TWIST, "Damper heat", "kW_m2", "damper_heat", _CHAIN,
        CrankParts.damper_heat, resonant=True, guide=True, left_out=_MARKS,
        band=by_throw_stiffness),
    Criterion(
        "irregularity", _TWIST, "Cyclic irregularity at idle", "percent", "irregularity", _CHAIN,
        CrankParts.irregularity, at_idle=True),
)  # fmt: skip
