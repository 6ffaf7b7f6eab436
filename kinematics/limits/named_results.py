"""The results that a criterion of a design's own may name, and the design's inputs.

A result is a value over speed: that of every criterion of the ladder under the criterion's key, and
a few that no criterion has. An input has the key that it has in the design file.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.design.design_groups import ENTRIES, Entry
from kinematics.design.field_default import default_in_force
from kinematics.errors import DesignError, nearest
from kinematics.limits.bearing_criteria import BEARING_CRITERIA, MAIN_LOAD_MARKS, BearingParts
from kinematics.limits.crank_criteria import CRANK_CRITERIA, CrankParts
from kinematics.limits.criterion import Criterion
from kinematics.limits.left_out import gas_at_every_speed, gas_of_one_cylinder
from kinematics.limits.other_models import by_main_loads
from kinematics.limits.piston_criteria import PISTON_CRITERIA, PistonParts
from kinematics.limits.rod_criteria import ROD_CRITERIA, RodParts
from kinematics.train.cycle import RigidTrain


@dataclass(frozen=True, slots=True)
class NamedResult:
    """A value over speed by name: the parts that it is of, and what a criterion says of it."""

    subject: Callable[[RigidTrain], Any]
    criterion: Criterion  # key, label, unit, value, needs, marks and band; no allowable

    @property
    def label(self) -> str:
        """What it is, in words."""
        part, label = self.criterion.part, self.criterion.label
        return f"{part}, {label[0].lower()}{label[1:]}" if part else label


def input_value(design: Design, name: str) -> float:
    """Return an input [SI] by its key, its default where it is left out.

    Raises DesignError where the design has no such value.
    """
    entry = INPUTS[name]
    value = entry.value(design)
    if value is None:
        value = default_in_force(design, entry.group, entry.attribute)
    if value is None:
        raise DesignError(name, "is not given in this design; a criterion of its own needs it")
    return float(value)


def unit_of(name: str) -> str:
    """Return the key of a name's unit; raises DesignError for no name of `RESULTS` or `INPUTS`."""
    if name in RESULTS:
        return RESULTS[name].criterion.unit
    if name in INPUTS:
        return INPUTS[name].declared.unit.key
    hint = nearest(name, [*RESULTS, *INPUTS])
    words = hint if hint.startswith("did") else "it must be a name such as big_end_load"
    raise DesignError(
        "criterion.expression", f"holds {name[:60]!r}, which is no named result; {words}"
    )


def _rod_force(parts: PistonParts, speed: Array, sign: int) -> Array:
    force = parts.train.loads.rod_force[parts.train.assessed_cylinder].over(speed)
    return (sign * force).max(axis=-1)


def _side_thrust(parts: PistonParts, speed: Array) -> Array:
    force = parts.train.loads.side_thrust[parts.train.assessed_cylinder].over(speed)
    return np.abs(force).max(axis=-1)


def _peak_pressure(parts: PistonParts, speed: Array) -> Array:
    pressure = parts.train.pressure[parts.train.assessed_cylinder]
    return pressure.over(speed).max(axis=-1)


def _torque(parts: PistonParts, speed: Array) -> Array:
    return parts.train.crank_torque.over(speed)


def _mean_torque(parts: PistonParts, speed: Array) -> Array:
    return _torque(parts, speed).mean(axis=-1)


def _gas(
    key: str, label: str, unit: str, value: Callable[[Any, Array], Array], *, one: bool = False
) -> Criterion:
    """Return a value of what gas loads, with the marks of its gas; of all cylinders or of one."""
    left_out = gas_of_one_cylinder if one else gas_at_every_speed
    return Criterion(key, "", label, unit, None, (), value, left_out=left_out)


_BASIC: tuple[tuple[type, tuple[Criterion, ...]], ...] = (
    (PistonParts, (
        Criterion("speed", "", "Crank speed", "rpm", None, (), lambda _, speed: speed),
        _gas("peak_pressure", "Peak cylinder pressure", "bar", _peak_pressure),
        _gas("side_thrust", "Side thrust, maximum", "kN", _side_thrust, one=True),
        _gas("mean_torque", "Mean torque", "Nm", _mean_torque),
        _gas("peak_torque", "Peak torque of all cylinders", "Nm",
             lambda parts, speed: _torque(parts, speed).max(axis=-1)),
        _gas("indicated_power", "Indicated power", "kW",
             lambda parts, speed: _mean_torque(parts, speed) * speed),
        _gas("rod_compression", "Rod compression (small end), maximum", "kN",
             lambda parts, speed: _rod_force(parts, speed, 1), one=True),
        _gas("rod_tension", "Rod tension (small end), maximum", "kN",
             lambda parts, speed: _rod_force(parts, speed, -1), one=True),
    )),
    (BearingParts, (
        _gas("big_end_load", "Big-end load, peak", "kN",
             BearingParts.big_end_peak, one=True),
        Criterion("main_load", "", "Main load, peak", "kN", None, (),
                  lambda parts, speed: parts.main_peaks(speed).max(axis=-1),
                  left_out=MAIN_LOAD_MARKS,
                  band=by_main_loads),
    )),
)  # fmt: skip
SUBJECTS: tuple[tuple[type, tuple[Criterion, ...]], ...] = (  # the criteria of the ladder
    (PistonParts, PISTON_CRITERIA),
    (RodParts, ROD_CRITERIA),
    (BearingParts, BEARING_CRITERIA),
    (CrankParts, CRANK_CRITERIA),
)
RESULTS: Mapping[str, NamedResult] = {  # what is assessed at idle alone is no value over speed
    criterion.key: NamedResult(subject, criterion)
    for subject, criteria in (*_BASIC, *SUBJECTS)
    for criterion in criteria
    if not criterion.at_idle
}


def _inputs() -> Iterator[tuple[str, Entry]]:
    for key, entry in ENTRIES.items():
        declared = entry.declared
        if declared.kind in ("number", "whole") and not (declared.many or entry.is_column):
            yield key, entry


INPUTS: Mapping[str, Entry] = dict(_inputs())
