"""What it takes to raise a speed limit: one input at a time, all else as it is.

The derivative of the limit gives a first guess; it is corrected until the share of the allowable
that is used at the wanted speed is 1. Whether another criterion then comes first, only the changed
design's own ladder tells.
"""

import dataclasses
import math
from dataclasses import dataclass

import numpy as np

from kinematics.allowables import Limits
from kinematics.cycle import RigidTrain
from kinematics.declaration import declarations
from kinematics.design import Design
from kinematics.design_field import group_field
from kinematics.errors import DesignError
from kinematics.limit_sensitivities import INPUTS, limit_sensitivities
from kinematics.speed_limits import Ladder, Rung

RAISING_INPUTS = (
    *INPUTS,
    "top_ring.axial_height_mm",
    "main_bearing.diameter_mm",
    "big_end.diameter_mm",
    "crank_throw.web_thickness_mm",
    "rod_bolts.diameter_mm",
)
LARGEST = 0.35  # change looked at, over the input; beyond it another design is wanted
CLOSE = 1e-4  # of the share used
MOST_STEPS = 8


@dataclass(frozen=True, slots=True)
class Change:
    """One input changed alone until a limit lies at a wanted speed."""

    key: str
    before: float  # [SI]
    by_slope: float  # [SI] change by the derivative alone
    by: float  # [SI] change that does it

    @property
    def relative(self) -> float:
        """Size of the change over the input."""
        return abs(self.by) / abs(self.before)


def raising_changes(ladder: Ladder, rung: Rung, wanted: float) -> tuple[Change, ...]:
    """Return the changes that move a rung's limit to a speed [rad/s], the smallest first.

    Inputs that do not move it, that would have to change by more than `LARGEST`, or that the
    design refuses, are left out. Raises DesignError where the rung has no limit to move.
    """
    if not 0 < rung.limit < math.inf:
        raise DesignError("", f"{rung.criterion.label} has no limit that could be moved")
    slopes = limit_sensitivities(ladder, [rung], inputs=RAISING_INPUTS)[rung.criterion.key]
    found = []
    for key, slope in slopes.items():
        record, attribute, _ = group_field(ladder.design, key)
        before = getattr(record, attribute)
        by_slope = (wanted - rung.limit) / slope if slope else math.inf
        if abs(by_slope) <= 2 * LARGEST * abs(before):
            by = _solved(ladder.design, rung, key, wanted, by_slope)
            if by is not None and abs(by) <= LARGEST * abs(before):
                found.append(Change(key, before, by_slope, by))
    return tuple(sorted(found, key=lambda one: one.relative))


def allowable_change(ladder: Ladder, rung: Rung, wanted: float) -> Change | None:
    """Return the change of the allowable [SI] that moves a rung's limit to a speed [rad/s].

    None where the allowable is not a field of `Limits`, or the load at that speed has no end.
    """
    field = next((one for one in declarations(Limits) if one[0] == rung.criterion.limit), None)
    needed = float(rung.criterion.value(rung.parts, np.array([wanted]))[0])
    if field is None or not math.isfinite(needed):
        return None
    by = needed - rung.allowed.value
    return Change(f"limits.{field[1]}", rung.allowed.value, by, by)


def _solved(design: Design, rung: Rung, key: str, wanted: float, first: float) -> float | None:
    """Return the change [SI] at which the share used at a speed is 1, by secants; None if none."""
    try:
        before, here = 0.0, first
        share_before = _share(design, rung, key, wanted, before)
        for _ in range(MOST_STEPS):
            share = _share(design, rung, key, wanted, here)
            if abs(share - 1) < CLOSE:
                return here
            if not math.isfinite(share) or share == share_before:
                return None
            step = (1 - share) * (here - before) / (share - share_before)
            before, share_before, here = here, share, here + step
    except DesignError:  # the design refuses it
        pass
    return None


def _share(design: Design, rung: Rung, key: str, speed: float, by: float) -> float:
    """Return the share of the allowable used at a speed [rad/s] with an input changed [SI]."""
    record, attribute, _ = group_field(design, key)
    changed = dataclasses.replace(record, **{attribute: getattr(record, attribute) + by})
    design = dataclasses.replace(design, **{key.partition(".")[0]: changed})
    parts, criterion = type(rung.parts)(RigidTrain(design)), rung.criterion
    value = criterion.value(parts, np.array([speed]))
    return float(criterion.use(value, criterion.allowable(parts).value)[0])
