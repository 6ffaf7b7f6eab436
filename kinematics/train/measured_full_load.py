"""A full-load curve of the design that has a measured IMEP at each speed.

Of the two things that a row may change, charge and peak pressure, both are taken to change alike:
the charge that is trapped falls or rises with speed, and what burns with it. Combustion keeps its
angle. Then all pressure while the valves are shut is a multiple of the design's, and IMEP is a
straight line over that multiple. Common practice, no source.
"""

from dataclasses import dataclass, replace

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.design.design_full_load import MOST_ROWS, FullLoadRow
from kinematics.design.design_pressure import Pressure
from kinematics.errors import DesignError
from kinematics.mechanics.measured_cycles import PressureCycles
from kinematics.mechanics.speed_curve import EngineSize, SpeedCurve, thinned
from kinematics.train.cylinder_pressure import cylinder_pressure, cylinder_volume, slider_crank
from kinematics.train.measured_work import cycle_mean_pressures
from kinematics.units import UNITS, in_words

LEAST_CHARGE, MOST_CHARGE = 0.1, 1.5  # of the design's, as of FullLoadRow
POINTS = 720
_LOWER = 0.8  # a second charge, for the slope


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredFullLoad:
    """Rows for a design's full-load curve, and how they follow from what was measured."""

    curve: SpeedCurve  # all points
    rows: tuple[FullLoadRow, ...]
    error: float  # widest between rows, as a share of the IMEP measured


def engine_size(design: Design) -> EngineSize:
    """Return swept volume of all cylinders and the cycle of a design.

    Reference: area times stroke, by definition.
    """
    cylinder, layout = design.cylinder, design.layout
    swept = cylinder.piston_area * slider_crank(cylinder).stroke
    return EngineSize(layout.cylinders * swept, layout.cycle_angle)


def measured_full_load(design: Design, curve: SpeedCurve) -> MeasuredFullLoad:
    """Return at most 12 rows under which a design has the IMEP of a curve at their speeds.

    Raises DesignError where the design runs on a trace, or that names the line whose IMEP needs a
    charge out of range.

    Reference: follows from the pressure model, as of `cylinder_pressure`.
    """
    if design.pressure.source == "trace":
        raise DesignError(
            "file", "must be of a design on the pressure model: on a measured trace the full-load "
            "curve is ignored; go back to the model first",
        )  # fmt: skip
    few, error = thinned(curve, MOST_ROWS)
    charge = charges(design, few.mean_pressure)
    rows = []
    for share, speed, pressure, line in zip(
        charge.tolist(), few.speed.tolist(), few.mean_pressure.tolist(), few.lines, strict=True
    ):
        _check_charge(design, share, f"line {line}: {in_words(speed, 'rpm')} with "
                      f"IMEP {in_words(pressure, 'bar', 3)}")  # fmt: skip
        kept = UNITS["percent"].to_si(round(100 * share, 2))
        rows.append(FullLoadRow(speed, kept, 1.0, kept))
    return MeasuredFullLoad(curve, tuple(rows), error)


def charges(design: Design, mean_pressure: Array) -> Array:
    """Return charge and peak, as shares of the design's, that give mean pressures [Pa], (n,).

    Reference: IMEP is straight over the charge, as the module says.
    """
    full, lower = (full_load_mean_pressure(design, share) for share in (1.0, _LOWER))
    slope = (full - lower) / (1 - _LOWER)
    if not slope > 0:
        raise DesignError("file", "cannot be met: the design's IMEP does not rise with its charge")
    found: Array = 1 + (mean_pressure - full) / slope
    return found


def full_load_mean_pressure(design: Design, charge: float) -> float:
    """Return the IMEP [Pa] of a cylinder at full load with a share of the design's charge.

    Reference: work over swept volume, by definition.
    """
    pressure = replace(design.pressure, load=1.0)
    full = replace(design, pressure=_charged(pressure, charge))
    after = (np.arange(POINTS) / POINTS - 0.5) * design.layout.cycle_angle
    course = cylinder_pressure(full, after, cylinder_volume(design.cylinder, after))
    return float(cycle_mean_pressures(design.cylinder, PressureCycles(after, course[None]))[0])


def _charged(pressure: Pressure, charge: float) -> Pressure:
    peak, intake = pressure.peak or 0.0, pressure.intake or 0.0
    return replace(pressure, peak=charge * peak, intake=charge * intake)


def _check_charge(design: Design, charge: float, what: str) -> None:
    """Raise DesignError where a charge is none that a row or the pressure model may have."""
    if not LEAST_CHARGE <= charge <= MOST_CHARGE:
        raise DesignError(
            "file", f"{what} needs {100 * charge:.0f} % of the design's charge, must be 10 to "
            "150 %: check unit, basis and whether the design is the engine measured",
        )  # fmt: skip
    try:
        _charged(design.pressure, charge)
    except DesignError as error:
        words = f"{what}, {100 * charge:.0f} % of the design's charge"
        raise DesignError("file", f"{words}: {error}") from None
