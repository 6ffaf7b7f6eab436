"""What moves a speed limit: its derivatives by stroke, rod length, masses, bore, peak, widths.

They follow from the share u(speed, input) of the allowable that is used: d(limit)/d(input) =
-(∂u/∂input) / (∂u/∂speed), so a changed design is only asked at the limit speed. Everything but
the one input stays as it is: a longer stroke with the same piston, a wider bore with the same mass.
"""

import dataclasses
import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from kinematics.array import Array
from kinematics.design.design_field import group_field
from kinematics.errors import DesignError
from kinematics.limits.criterion import Criterion
from kinematics.limits.speed_limits import Ladder, Rung
from kinematics.train.cycle import RigidTrain

INPUTS = (
    "cylinder.stroke_mm",
    "cylinder.rod_length_mm",
    "piston.assembly_mass_g",
    "rod.mass_g",
    "cylinder.bore_mm",
    "pressure.peak_bar",
    "big_end.width_mm",
    "main_bearing.width_mm",
)
STEP = 1e-4  # of an input and of a speed, relative
Changed = dict[str, tuple[dict[type, Any], float]]  # by input: parts by subject, step [SI]


def limit_sensitivities(
    ladder: Ladder, rungs: Sequence[Rung] | None = None, *, inputs: Sequence[str] = INPUTS
) -> dict[str, dict[str, float]]:
    """Return d(limit)/d(input) [rad/s per SI] by the criterion's key and the input's.

    `rungs` may be some of the ladder's; those without a limit have no entries. `inputs` are keys
    of fields; those that the design lacks are left out.

    Reference: implicit differentiation of share used = 1.

    >>> import math
    >>> from kinematics import limit_sensitivities, load_demo, speed_limits
    >>> ladder = speed_limits(load_demo("hill_climb_six"))
    >>> slopes = limit_sensitivities(ladder, [ladder["rod_fatigue"]])["rod_fatigue"]
    >>> rpm_per_gram = slopes["piston.assembly_mass_g"] * 30 / math.pi / 1000
    >>> print(f"{rpm_per_gram:.1f} rpm per g")
    -4.6 rpm per g
    """
    moving = [rung for rung in rungs or ladder.rungs if 0 < rung.limit < math.inf]
    wanted = {type(rung.parts) for rung in moving}
    changed = dict(_changed_parts(moving[0].parts.train, inputs, wanted)) if moving else {}
    at_once = {rung.criterion.key: _slopes_at_once(rung, changed) for rung in moving}
    left = [rung for rung in moving if at_once[rung.criterion.key] is None]
    return {key: found or {} for key, found in at_once.items()} | _slopes_by_input(left, changed)


def _changed_parts(
    train: RigidTrain, inputs: Sequence[str], wanted: set[type]
) -> Iterator[tuple[str, tuple[dict[type, Any], float]]]:
    """Yield each input that can be changed, with the changed parts by subject and its step [SI]."""
    for key in inputs:
        stepped, step = _stepped(train, key)
        if stepped is not None:
            yield key, ({subject: subject(stepped) for subject in wanted}, step)


def _slopes_by_input(moving: list[Rung], changed: Changed) -> dict[str, dict[str, float]]:
    """Return the derivatives of rungs, asked one input after another."""
    at = [_shared_speeds(rung, moving) for rung in moving]
    slopes = [_use_slope(rung, *asked) for rung, asked in zip(moving, at, strict=True)]
    found: dict[str, dict[str, float]] = {rung.criterion.key: {} for rung in moving}
    for key, (parts, step) in changed.items():
        for rung, (speeds, i), slope in zip(moving, at, slopes, strict=True):
            try:
                new = _use(rung.criterion, parts[type(rung.parts)], speeds)[i]
            except DesignError:  # this input stands at the end of what is allowed
                continue
            found[rung.criterion.key][key] = float(-(new - slope[0]) / step / slope[1])
    return found


def _slopes_at_once(rung: Rung, changed: Changed) -> dict[str, float] | None:
    """Return the derivatives of a rung whose criterion takes several designs at once.

    None where it does not, or where one of them fails.
    """
    criterion = rung.criterion
    if criterion.of_designs is None:
        return None
    others = [parts[type(rung.parts)] for parts, _ in changed.values()]
    speed = np.full(len(others) + 2, rung.limit)
    speed[1] += rung.limit * STEP
    try:
        value = criterion.of_designs([rung.parts, rung.parts, *others], speed)
        allowed = [criterion.allowable(parts).value for parts in others]
    except DesignError:
        return None
    here, beyond = criterion.use(value[:2], rung.allowed.value).tolist()
    slope = (beyond - here) / (rung.limit * STEP)
    found = {}
    for (key, (_, step)), own, bound in zip(changed.items(), value[2:], allowed, strict=True):
        new = float(criterion.use(np.array([own]), bound)[0])
        found[key] = -(new - here) / step / slope
    return found


def _shared_speeds(rung: Rung, moving: list[Rung]) -> tuple[Array, int]:
    """Return speeds to ask a rung at, and which is its own limit.

    Resonant rungs are asked at the limits of all of them, for the shaft then vibrates once.
    """
    together = [other for other in moving if other.criterion.resonant and rung.criterion.resonant]
    together = together or [rung]
    return np.array([other.limit for other in together]), together.index(rung)


def _use(criterion: Criterion, parts: Any, speed: Array) -> Array:
    return criterion.use(criterion.value(parts, speed), criterion.allowable(parts).value)


def _use_slope(rung: Rung, speeds: Array, i: int) -> tuple[float, float]:
    """Return the share used at the limit, and its growth with speed [s/rad].

    Asked at the speeds of changed designs too: what does not change then agrees to the last bit.
    """
    step = rung.limit * STEP
    here = _use(rung.criterion, rung.parts, speeds)[i]
    beyond = _use(rung.criterion, rung.parts, speeds[i : i + 1] + step)[0]
    return float(here), float(beyond - here) / step


def _stepped(train: RigidTrain, key: str) -> tuple[RigidTrain | None, float]:
    """Return a train whose design has one input a small step larger, and the step [SI]."""
    design = train.design
    try:
        record, attribute, _ = group_field(design, key)
        value = getattr(record, attribute)
        if value is None or (key.startswith("pressure.") and design.pressure.source == "trace"):
            return None, 0.0
        step = STEP * value
        changed = dataclasses.replace(record, **{attribute: value + step})
        design = dataclasses.replace(design, **{key.partition(".")[0]: changed})
    except DesignError:
        return None, 0.0
    return train.changed(design), step
