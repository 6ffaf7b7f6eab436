"""Whether the gas of a design is believable: trapped charge, indicated efficiency, temperature.

The charge is an ideal gas of constant mass, all of it counted as air: residual gas and the
vapour of the fuel, some hundredths, are left out. Fuel heat is what the fuel would release that
the trapped air of full load is given; a petrol mixture richer than stoichiometric burns no more
than that air allows. Sources: J. B. Heywood, Internal Combustion Engine Fundamentals, 1988,
sections 2.6 to 2.10 and table D.4 (from memory); the bands and the charge's temperatures are
common practice, from memory.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from kinematics.one_line import one_line, quantity
from kinematics.train.cylinder_pressure import charge_share, cylinder_volume, volume_at
from kinematics.train.full_load import has_curve, row_design

GAS_CONSTANT = 287.0  # of air [J/(kg·K)]
Band = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Fuel:
    """What is taken of a fuel and its charge at full load; all from memory."""

    name: str
    charge_temperature: float  # [K] when the intake closes, residual heat and walls counted in
    air_per_fuel: float  # mass of trapped air that full load has per mass of fuel
    heating_value: float  # lower [J/kg]
    efficiency: Band  # usual indicated efficiency at full load
    temperature: Band  # [K] usual peak of the mean gas temperature at full load


PETROL = Fuel("petrol", 340.0, 14.7, 44.0e6, (0.36, 0.42), (2200.0, 2900.0))
DIESEL = Fuel("diesel", 360.0, 1.6 * 14.5, 42.8e6, (0.42, 0.50), (1700.0, 2400.0))


@dataclass(frozen=True, slots=True)
class GasCheck:
    """Charge, heat and temperature of one cylinder over a cycle."""

    fuel: Fuel
    closing_pressure: float  # [Pa] when the intake closes
    closing_volume: float  # [m³] then
    full_pressure: float  # [Pa] when the intake closes, at full load
    heat_share: float  # heat released, against full load
    work: float  # [J] indicated
    peak_pressure: float  # [Pa] where the gas is hottest
    peak_volume: float  # [m³] there
    peak_index: int  # place there on the angle grid, of the cylinder assessed

    def __repr__(self) -> str:
        return one_line(
            self,
            self.fuel.name,
            f"trapped mass {quantity(self.trapped_mass, 'g', 3)}",
            f"efficiency {self.efficiency:.3g}",
            f"peak temperature {self.peak_temperature:.4g} K",
        )

    @property
    def trapped_mass(self) -> float:
        """Mass in the cylinder [kg], p V / (R T) when the intake closes.

        Reference: ideal gas, p V = m R T.
        """
        return _mass(self.closing_pressure, self.closing_volume, self.fuel)

    @property
    def fuel_heat(self) -> float:
        """Heat of the fuel of a cycle [J]: that of full load times the share released.

        Reference: heat of the fuel in the trapped charge, by definition.
        """
        full = _mass(self.full_pressure, self.closing_volume, self.fuel)
        return self.heat_share * full * self.fuel.heating_value / self.fuel.air_per_fuel

    @property
    def efficiency(self) -> float:
        """Indicated work over fuel heat, NaN without fuel.

        Reference: work over heat, by definition.
        """
        return self.work / self.fuel_heat if self.fuel_heat > 0 else math.nan

    @property
    def peak_temperature(self) -> float:
        """Largest mean temperature of the gas with the valves shut [K], p V / (m R).

        Reference: ideal gas, p V = m R T.
        """
        return self.peak_pressure * self.peak_volume / (self.trapped_mass * GAS_CONSTANT)


def gas_check(cycle: Any) -> GasCheck | None:
    """Return what tells whether the gas of a `Cycle` is believable; None on a measured trace.

    A trace does not tell load and fuel. Throttle control means petrol, load by the mixture for
    diesel.
    """
    design, train = cycle.design, cycle.train
    pressure, layout = design.pressure, design.layout
    if pressure.source == "trace" or pressure.intake is None:
        return None
    half, assessed = layout.cycle_angle / 2, train.assessed_cylinder
    after_tdc = (train.own_angle[assessed] - train.crank.top_dead_centre + half) % (2 * half) - half
    volume = volume_at(design.cylinder, train.motion.displacement[assessed])
    closing = pressure.exhaust_opens if layout.strokes_per_cycle == 2 else pressure.intake_closes
    shut = (after_tdc >= closing - math.pi) & (after_tdc <= math.pi - pressure.exhaust_opens)
    course = cycle.forces.cylinder_pressure[assessed]
    hottest = int(np.where(shut, course * volume, 0.0).argmax())
    closed_at, full, burnt = _charge(cycle)
    return GasCheck(
        fuel=PETROL if pressure.load_control == "throttle" else DIESEL,
        closing_pressure=closed_at,
        closing_volume=float(cylinder_volume(design.cylinder, np.array([closing - math.pi]))[0]),
        full_pressure=full,
        heat_share=burnt / full,
        work=float(cycle.cylinder_work[assessed]),
        peak_pressure=float(course[hottest]),
        peak_volume=float(volume[hottest]),
        peak_index=hottest,
    )


def gas_doubts(check: GasCheck, where: str) -> tuple[str, ...]:
    """Return in words what is not usual at full load, a sentence each."""
    fuel, found = check.fuel, []
    for name, value, (low, high), words in (
        ("indicated efficiency", 100 * check.efficiency, _percent(fuel.efficiency), "%"),
        ("peak gas temperature", check.peak_temperature, fuel.temperature, "K"),
    ):
        if not low <= value <= high:
            side = "below" if value < low else "above"
            found.append(
                f"At {where} the {name} is {value:.4g} {words}, {side} the usual "
                f"{low:.4g} to {high:.4g} {words} of {fuel.name} at full load: compare intake "
                "and peak pressure."
            )
    return tuple(found)


def _percent(band: Band) -> Band:
    return 100 * band[0], 100 * band[1]


def _mass(pressure: float, volume: float, fuel: Fuel) -> float:
    return pressure * volume / (GAS_CONSTANT * fuel.charge_temperature)


def _charge(cycle: Any) -> tuple[float, float, float]:
    """Return pressure when the intake closes [Pa], that of full load, and its share burnt."""
    design = cycle.design
    rows = [design]
    if has_curve(design):
        rows = [row_design(design, row) for row in range(len(design.full_load))]
    share = cycle.train.pressure.shares(np.array([cycle.speed]))[0]
    full = np.array([row.pressure.intake or 0.0 for row in rows])
    heat = np.array([row.pressure.load for row in rows])
    charge = np.array([charge_share(row.pressure) for row in rows])
    return float(share @ (full * charge)), float(share @ full), float(share @ (full * heat))
