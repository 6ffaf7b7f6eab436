"""What the numbers of the gas are made of, as it is put into their formulas."""

from typing import Any

import numpy as np

from kinematics.design.design import Design
from kinematics.train.cycle import Cycle, rigid_train
from kinematics.train.cylinder_pressure import burnt_share, closed_cycle
from kinematics.train.full_load import has_curve, row_design
from kinematics.train.gas_check import DIESEL, GAS_CONSTANT, PETROL, Band, GasCheck
from kinematics.units import UNITS, shown_unit
from viz.number_words import format_number, operand

FUEL_WORDS = (
    "All trapped mass counts as air; residual gas and fuel vapour, a few per cent, are left out. "
    f"Petrol: {PETROL.charge_temperature:g} K when the intake closes, stoichiometric "
    f"({PETROL.air_per_fuel:g} kg of air per kg; a richer full load burns no more than that air), "
    f"{PETROL.heating_value / 1e6:g} MJ/kg. Diesel: {DIESEL.charge_temperature:g} K, "
    f"{DIESEL.air_per_fuel:g} kg of air per kg at full load, "
    f"{DIESEL.heating_value / 1e6:g} MJ/kg. Throttle control means petrol. All from memory."
)


def pressure_expression(cycle: Cycle, row: int, column: int) -> str | None:
    """Return the pressure of a cylinder at a place of the grid from the model, None if not so.

    Between two rows of the full-load curve it is the sum of their shares.
    """
    if cycle.design.pressure.source != "model":
        return None
    if not has_curve(cycle.design):
        return _of_model(cycle, row, column)
    shares = cycle.train.pressure.shares(np.array([cycle.speed]))[0]
    counting = np.flatnonzero(shares)
    if len(counting) == 1:
        own = row_design(cycle.design, int(counting[0]))
        return _of_model(Cycle(rigid_train(own), cycle.speed), row, column)
    courses = cycle.train.pressure.courses[:, row, column]
    return " + ".join(f"{operand(float(shares[k]))}·{operand(float(courses[k]))}" for k in counting)


def _of_model(cycle: Cycle, row: int, column: int) -> str | None:
    compression, burnt, expansion = _pressure_parts(cycle, row, column)
    pressure = compression + burnt * (expansion - compression)
    found = float(cycle.forces.cylinder_pressure[row, column])
    if abs(pressure - found) >= 1e-6 * found:
        return None  # the valves are open
    return (
        f"{operand(compression)} + {operand(burnt)}·({operand(expansion)} − {operand(compression)})"
    )


def _pressure_parts(cycle: Cycle, row: int, column: int) -> tuple[float, float, float]:
    """Return pressure of compression [Pa], share burnt and pressure of expansion [Pa]."""
    train, design = cycle.train, cycle.design
    model = closed_cycle(design.cylinder, design.pressure, design.layout)
    clearance = train.swept_volume / (design.cylinder.compression_ratio - 1)
    swept = design.cylinder.piston_area * float(train.motion.displacement[row, column])
    here = np.array([clearance + swept])
    half = design.layout.cycle_angle / 2
    after = float(train.own_angle[row, column]) - train.crank.top_dead_centre
    after_tdc = np.array([(after + half) % (2 * half) - half])
    burnt = burnt_share(after_tdc, model.burn_start, model.burn_duration)
    return float(model.compression(here)[0]), float(burnt[0]), float(model.expansion(here)[0])


def efficiency_expression(check: GasCheck) -> str:
    """Return indicated efficiency with the values put in: work over the fuel's heat."""
    full = (
        f"{operand(check.full_pressure)}·{operand(check.closing_volume)}"
        f"/({operand(GAS_CONSTANT)}·{operand(check.fuel.charge_temperature)})"
    )
    heat = f"{operand(check.fuel.heating_value / check.fuel.air_per_fuel)}"
    return f"{operand(check.work)}/({operand(check.heat_share)}·{full}·{heat})"


def temperature_expression(check: GasCheck) -> str:
    """Return the largest gas temperature with the values put in: p V over that at closing."""
    return (
        f"{operand(check.fuel.charge_temperature)}·{operand(check.peak_pressure)}·{operand(check.peak_volume)}"
        f"/({operand(check.closing_pressure)}·{operand(check.closing_volume)})"
    )


def usual_words(value: float, band: Band, factor: float, unit: str) -> str:
    """Return whether a value lies in its usual band, in words that name the band."""
    low, high = (format_number(factor * end, 3).rstrip(".") for end in band)
    side = "below" if value < band[0] else "above" if value > band[1] else "within"
    return f"{side} the usual {low} to {high} {unit} of full load"


def full_load_rows(design: Design) -> list[tuple[float, float, float]]:
    """Return speed [rad/s], peak pressure and indicated mean pressure [Pa] of each row."""
    if not has_curve(design):
        return []
    train = rigid_train(design)
    cycles = [Cycle(train, row.speed) for row in design.full_load]
    return [
        (cycle.speed, _highest_pressure(cycle), cycle.indicated_mean_pressure) for cycle in cycles
    ]


def _highest_pressure(cycle: Cycle) -> float:
    return float(cycle.forces.cylinder_pressure[cycle.train.assessed_cylinder].max())


def full_load_picture(design: Design) -> dict[str, Any] | None:
    """Return what is drawn and listed of a full-load curve, in the unit shown; None without one."""
    rows = full_load_rows(design)
    if not rows:
        return None
    unit = shown_unit("bar")
    return {
        "head": ["Speed, rpm", f"Peak, {unit.symbol}", f"IMEP, {unit.symbol}"],
        "rows": [
            [round(UNITS["rpm"].from_si(speed), 6), unit.from_si(peak), unit.from_si(mean)]
            for speed, peak, mean in rows
        ],
        "words": [
            [measured_text(speed, "rpm", 4), measured_text(peak, "bar"), measured_text(mean, "bar")]
            for speed, peak, mean in rows
        ],
    }


def measured_text(value: float, key: str, digits: int = 3) -> str:
    """Return a value [SI] in the unit shown, without the unit."""
    return format_number(shown_unit(key).from_si(value), digits)
