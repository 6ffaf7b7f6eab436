"""What limits speed at the piston: its speed and acceleration, the top ring and the pin.

Loads are those of cylinder 1; every cylinder's are the same at their own time. Sources of the
formulas are in `piston_strength`, of the allowables in `allowables`.
"""

import math
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.design.allowables import GIVEN, Allowable, Origin
from kinematics.design.design_parts import STEEL_MODULUS
from kinematics.errors import DesignError
from kinematics.limits.criterion import Criterion, OptionalGroup
from kinematics.limits.kept_answers import KeptAnswers
from kinematics.limits.left_out import (
    gas_of_one_cylinder,
    land_pressure,
    strength_gas_of_one_cylinder,
    together,
)
from kinematics.mechanics.gas_and_inertia_loads import BySpeed, GasAndInertia
from kinematics.strength.piston_strength import (
    FLUTTER_THRESHOLDS,
    PIN_BORE_RATIOS,
    PinStress,
    PistonPin,
    Ring,
    flutter_acceleration,
    pin_stress,
    projected_pressure,
    ring_seat_force,
)
from kinematics.train.cycle import RigidTrain
from kinematics.units import in_words


class PistonParts:
    """Piston, top ring and pin of cylinder 1, their loads as gas and inertia, (n,).

    Of measured cycles the pin's loads are those that strength takes; the ring has the mean, whose
    lower pressure holds it down less.
    """

    def __init__(self, train: RigidTrain) -> None:
        self.train = train
        self.design = train.design
        self._kept = KeptAnswers()

    @cached_property
    def pin(self) -> PistonPin:
        """The piston pin."""
        size = self.design.needed("piston_pin", "the piston pin's strength")
        return PistonPin(
            size.outer_diameter, size.inner_diameter, size.length, size.small_end_width,
            size.boss_gap,
        )  # fmt: skip

    @cached_property
    def ring(self) -> Ring:
        """The top ring in its groove."""
        size = self.design.needed("top_ring", "the lift of the top ring")
        bore = self.design.cylinder.bore
        area = math.pi * size.radial_width * (bore - size.radial_width)
        return Ring(size.density * area * size.axial_height, area)

    @cached_property
    def valves_shut(self) -> NDArray[np.bool_]:
        """Whether the valves are shut, (n,) of bool, of the cylinder assessed: it seals then."""
        pressure, cycle = self.design.pressure, self.design.layout.cycle_angle
        own = (self.train.own_angle[self.train.assessed_cylinder] + cycle / 2) % cycle - cycle / 2
        return (own > pressure.intake_closes - math.pi) & (own < math.pi - pressure.exhaust_opens)

    @cached_property
    def ring_seat(self) -> GasAndInertia:
        """Force of the top ring on the lower flank of its groove [N], over the whole cycle.

        Reference: balance of forces on pin and piston.
        """
        motion, one = self.train.motion, self.train.assessed_cylinder
        return ring_seat_force(
            self.ring, motion.acceleration[one], motion.velocity[one], self.ring_pressure_drop
        )

    @cached_property
    def ring_pressure_drop(self) -> BySpeed:
        """Pressure above the top ring less that on the land below it [Pa], (n,).

        The land takes a given share of the drop to the crankcase, at the same time.
        """
        size = self.design.needed("top_ring", "the lift of the top ring")
        crankcase, held = self.design.pressure.crankcase, 1 - size.land_pressure
        one = self.train.assessed_cylinder
        return self.train.pressure[one].mapped(lambda course: held * (course - crankcase))

    def ring_shares(self, speed: Array) -> Array:
        """Return the ring's inertia at 1 rad/s over the gas force that holds it down, (s, n).

        0 where the valves are open or nothing lifts, infinite where gas does not hold it down.
        """
        seat = self.ring_seat
        lift = np.where(self.valves_shut, np.maximum(-seat.inertia, 0.0), 0.0)
        hold = seat.gas.over(speed)
        lift = np.broadcast_to(lift, hold.shape)
        share = np.divide(lift, hold, out=np.full(hold.shape, math.inf), where=hold > 0)
        return np.where(lift > 0, share, 0.0)

    @property
    def piston_alone(self) -> float:
        """Mass of the piston assembly without its pin [kg]."""
        pin = self.design.needed("piston_pin", "the piston pin's strength")
        alone: float = self.design.piston.assembly_mass - pin.mass
        return alone

    def boss_load(self, speed: Array) -> Array:
        """Return the force between piston and pin [N], (s, n), at speeds (s,) [rad/s].

        Reference: balance of forces on pin and piston.
        """
        return self._pin_load(speed, self.piston_alone)

    def small_end_load(self, speed: Array) -> Array:
        """Return the force between pin and rod [N], (s, n), at speeds (s,) [rad/s].

        Reference: balance of forces on pin and piston.
        """
        return self._pin_load(speed, self.design.piston.assembly_mass)

    def _pin_load(self, speed: Array, mass: float) -> Array:
        train, square = self.train.for_strength, speed[:, None] ** 2
        one, loads = train.assessed_cylinder, train.loads
        gas = loads.gas_force[one].over(speed)
        along = gas - square * mass * train.motion.acceleration[one]
        return np.hypot(along, loads.side_thrust[one].over(speed))

    def pin_stress(self, speed: Array) -> PinStress:
        """Return the pin's classical results at the maximum load of the cycle, (s,) each."""
        peak = self._kept.array("bosses", speed, lambda at: self.boss_load(at).max(axis=-1))
        return pin_stress(self.pin, peak, STEEL_MODULUS)

    def mean_piston_speed(self, speed: Array) -> Array:
        """Return two strokes a turn [m/s], the true stroke where the pin is offset.

        Reference: two strokes a turn, by definition.
        """
        return self.train.crank.stroke * speed / math.pi

    def acceleration(self, speed: Array) -> Array:
        """Return the maximum piston acceleration [m/s²], (s,)."""
        return speed**2 * np.abs(self.train.motion.acceleration[0]).max()

    def acceleration_allowed(self) -> Allowable:
        """Return the acceleration given, or that at which a ring of this height flutters."""
        given = self.design.limits.piston_acceleration
        if given is not None:
            return Allowable(given, Origin(GIVEN, "given"))
        height = self.design.needed("top_ring", "the acceleration allowed").axial_height
        words = (
            f"Jennings, Two-Stroke Tuner's Handbook, 1973, as reprinted, of two-strokes: rings "
            f"{in_words(height, 'mm')} high begin to flutter"
        )
        try:
            return Allowable(flutter_acceleration(height), Origin(words, "weak"))
        except DesignError:
            low, high = (in_words(FLUTTER_THRESHOLDS[i][0], "mm", 3) for i in (0, -1))
            raise DesignError(
                "top_ring.axial_height_mm",
                f"must be {low} to {high} for the flutter table (got {in_words(height, 'mm')}); "
                "give limits.piston_acceleration_km_s2 to assess it",
            ) from None

    def lift(self, speed: Array) -> Array:
        """Return the maximum of the ring's inertia over its gas force, valves shut."""
        return self.ring_shares(speed).max(axis=-1) * speed**2

    def lift_allowed(self) -> Allowable:
        """Return the whole gas force: equilibrium, no guide value."""
        return Allowable(1.0, Origin("equilibrium: the ring lifts at 100 %", "physics"))

    def ovalisation(self, speed: Array) -> Array:
        """Return the growth of the pin's diameter [m], (s,)."""
        self._check_bore_ratio()
        return self.pin_stress(speed).ovalisation

    def _check_bore_ratio(self) -> None:
        """Raise DesignError where the pin's wall is thicker than its ovality was fitted to."""
        least = PIN_BORE_RATIOS[0]
        if self.pin.bore_ratio < least:
            raise DesignError(
                "piston_pin.inner_diameter_mm",
                f"over the outer diameter must be at least {least:g} to assess ovality (got "
                f"{self.pin.bore_ratio:.3g}): the formula was not fitted to a thicker wall",
            )

    def hoop(self, speed: Array) -> Array:
        """Return the pin's maximum hoop stress by ovalisation in size [Pa], (s,)."""
        self._check_bore_ratio()
        return np.abs(self.pin_stress(speed).hoop).max(axis=0)

    def small_end_pressure(self, speed: Array) -> Array:
        """Return the maximum pressure in the small end [Pa], (s,).

        Reference: force over projected area, by definition.
        """
        load = self.small_end_load(speed).max(axis=-1)
        return projected_pressure(load, self.pin.outer_diameter, self.pin.small_end_width)


_PISTON, _PIN = "Piston", "Piston pin"
_PIN_MARKS = strength_gas_of_one_cylinder
_NEEDS_PIN: tuple[OptionalGroup, ...] = ("piston_pin",)
PISTON_CRITERIA = (
    Criterion(
        "mean_piston_speed", _PISTON, "Mean piston speed", "m_s", "mean_piston_speed", (),
        PistonParts.mean_piston_speed, guide=True),
    Criterion(
        "piston_acceleration", _PISTON, "Ring flutter", "km_s2",
        "piston_acceleration", (), PistonParts.acceleration,
        allowed=PistonParts.acceleration_allowed, guide=True),
    Criterion(
        "ring_lift", _PISTON, "Top ring lift", "percent", None, ("top_ring",), PistonParts.lift,
        allowed=PistonParts.lift_allowed, left_out=together(land_pressure, gas_of_one_cylinder)),
    Criterion(
        "pin_bending", _PIN, "Bending", "MPa", "pin_bending", _NEEDS_PIN,
        lambda parts, speed: parts.pin_stress(speed).bending, left_out=_PIN_MARKS),
    Criterion(
        "pin_shear", _PIN, "Shear", "MPa", "pin_shear", _NEEDS_PIN,
        lambda parts, speed: parts.pin_stress(speed).shear, left_out=_PIN_MARKS),
    Criterion(
        "pin_ovalisation", _PIN, "Ovalisation", "um", "pin_ovalisation", _NEEDS_PIN,
        PistonParts.ovalisation, left_out=_PIN_MARKS),
    Criterion(
        "pin_hoop", _PIN, "Hoop stress", "MPa", "pin_hoop", _NEEDS_PIN, PistonParts.hoop,
        left_out=_PIN_MARKS),
    Criterion(
        "boss_pressure", _PIN, "Boss pressure", "MPa", "boss_pressure", _NEEDS_PIN,
        lambda parts, speed: parts.pin_stress(speed).boss_pressure, left_out=_PIN_MARKS),
    Criterion(
        "small_end_pressure", _PIN, "Small-end pressure", "MPa", "small_end_pressure",
        _NEEDS_PIN, PistonParts.small_end_pressure, left_out=_PIN_MARKS),
)  # fmt: skip
