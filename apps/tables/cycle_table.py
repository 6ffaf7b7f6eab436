"""One cycle as a table: a column a quantity, a row an angle, in the units shown."""

from collections.abc import Iterator

import numpy as np

from kinematics import Cycle
from kinematics.array import Array
from kinematics.units import UNITS, shown_unit
from viz.csv_text import csv_text

XY = ("x", "y")
ROLES = ("pitching", "yawing", "rolling")


def cycle_columns(cycle: Cycle) -> dict[str, Array]:
    """Return every quantity by column name, quantity_index_component_unit, each (n,)."""
    columns = {"crank_angle_deg": UNITS["deg"].array_from_si(cycle.crank_angle)}
    for quantity, unit, values, components in _quantities(cycle):
        shown = shown_unit(unit).array_from_si(values)
        columns.update(_spread(quantity, shown_unit(unit).key, shown, components))
    return columns


def cycle_csv(cycle: Cycle) -> str:
    """Return the columns of a cycle as CSV, header first."""
    columns = cycle_columns(cycle)
    return csv_text([list(columns), *np.column_stack(list(columns.values())).tolist()])


def _quantities(cycle: Cycle) -> Iterator[tuple[str, str, Array, tuple[str, ...]]]:
    motion, forces, bearings, balance = cycle.motion, cycle.forces, cycle.bearings, cycle.balance
    yield "displacement", "mm", motion.displacement, ()
    yield "velocity", "m_s", motion.velocity, ()
    yield "acceleration", "m_s2", motion.acceleration, ()
    yield "rod_angle", "deg", motion.rod_angle, ()
    yield "rod_angular_velocity", "rad_s", motion.rod_angular_velocity, ()
    yield "rod_angular_acceleration", "rad_s2", motion.rod_angular_acceleration, ()
    yield "cylinder_pressure", "bar", forces.cylinder_pressure, ()
    for name in ("gas_force", "inertia_force", "rod_force", "side_thrust"):
        yield name, "N", getattr(forces, name), ()
    yield "cylinder_torque", "Nm", forces.cylinder_torque, ()
    yield "crank_torque", "Nm", forces.crank_torque, ()
    for frame in ("block", "rod", "crank"):
        yield f"big_end_load_{frame}", "N", bearings.big_end_load(frame), XY
    for frame in ("block", "crank"):
        yield f"main_load_{frame}", "N", bearings.main_load(frame), XY
    yield "free_force", "N", balance.free_force, XY
    yield "free_moment", "Nm", balance.free_moment, ROLES


def _spread(
    quantity: str, unit: str, values: Array, components: tuple[str, ...]
) -> Iterator[tuple[str, Array]]:
    """Yield (column name, column) of an array whose last axis is the angle."""
    if not components:
        rows = (
            [(f"_{i}", row) for i, row in enumerate(values, 1)]
            if values.ndim > 1
            else [("", values)]
        )
        yield from ((f"{quantity}{index}_{unit}", row) for index, row in rows)
        return
    for index, vector in (
        [("", values)]
        if values.ndim == 2
        else [(f"_{i}", course) for i, course in enumerate(values, 1)]
    ):
        for component, row in zip(components, vector, strict=True):
            yield f"{quantity}{index}_{component}_{unit}", row
