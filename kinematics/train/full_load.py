"""The full-load curve: how peak pressure, heat and charge of the model change with speed.

Between the rows of a design's `full_load` the pressure courses are blended, straight in speed;
beyond the ends the end row holds. So every load stays a blend of what the courses do, exactly.
On a measured trace the curve is ignored. Common practice, no source.
"""

from dataclasses import replace

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.errors import DesignError
from kinematics.mechanics.gas_and_inertia_loads import BySpeed
from kinematics.train.cylinder_pressure import cylinder_pressure, motored_pressure
from kinematics.units import in_words

FULL_LOAD_OVER_RATED = 1 / 3  # where a design says nothing of it; common practice, no source


def has_curve(design: Design) -> bool:
    """Return whether a design's full-load curve is in force."""
    return bool(design.full_load) and design.pressure.source == "model"


def full_load_from(design: Design) -> float:
    """Return the lowest speed [rad/s] of full load, never above the rated speed.

    As the design's limits give it, else the first row of its full-load curve, else a third of
    the rated speed.
    """
    rated, given = design.layout.rated_speed, design.limits.full_load_from
    first = design.full_load[0].speed if has_curve(design) else FULL_LOAD_OVER_RATED * rated
    return min(given or first, rated)


def row_design(design: Design, row: int) -> Design:
    """Return a design with the gas of one row, counted from 0, at all speeds.

    The row's peak and intake are shares of the design's own; its load multiplies the design's own.
    Raises DesignError that names the row where one is then out of range.
    """
    own, pressure = design.full_load[row], design.pressure
    try:
        found = replace(
            pressure,
            peak=own.peak * (pressure.peak or 0.0),
            intake=own.intake * (pressure.intake or 0.0),
            load=own.load * pressure.load,
        )
    except DesignError as error:
        raise _in_row(design, row, error) from None
    return replace(design, pressure=found, full_load=())


def pressure_by_speed(
    design: Design, after_tdc: Array, volume: Array, *, burning: bool = True
) -> BySpeed:
    """Return absolute pressure [Pa] over the cycle by speed, its courses of the arrays' shape.

    Parameters
    ----------
    after_tdc : from true firing TDC [rad]
    volume : over the piston there [m³]
    burning : False for a charge that does not burn

    Raises
    ------
    DesignError where the pressure cannot be made; it names the row of the curve, if there is one.

    Reference: straight interpolation in speed, by definition.
    """
    course = cylinder_pressure if burning else motored_pressure
    if not has_curve(design):
        return BySpeed.steady(course(design, after_tdc, volume))
    courses = []
    for row in range(len(design.full_load)):
        own = row_design(design, row)
        try:
            courses.append(course(own, after_tdc, volume))
        except DesignError as error:
            raise _in_row(design, row, error) from None
    return BySpeed(np.stack(courses), np.array([row.speed for row in design.full_load]))


def _in_row(design: Design, row: int, error: DesignError) -> DesignError:
    own = design.full_load[row]
    key = "intake" if error.field == "pressure.intake_bar" else "peak"
    where = f"row {row + 1}, {in_words(own.speed, 'rpm')}"
    return DesignError(f"full_load.{row + 1}.{key}_percent", f"{error.message} ({where})")
