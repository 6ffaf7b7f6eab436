"""Films, strength and limit speeds as quantities of lessons, by the keys of the criteria."""

import math
from collections.abc import Callable
from functools import lru_cache
from typing import Any

import numpy as np

from kinematics.limits.named_results import RESULTS, NamedResult
from kinematics.limits.rod_criteria import RodParts
from kinematics.limits.speed_limits import Rung, assessed, speeds_looked_at
from kinematics.train.cycle import Cycle, RigidTrain
from kinematics.units import UNITS
from viz.lessons.live_value import LiveValue


@lru_cache(maxsize=16)
def _parts(subject: Callable[[RigidTrain], Any], train: RigidTrain) -> Any:
    return subject(train)


def _value(result: NamedResult) -> Callable[[Cycle], float]:
    """Return a result's value at the speed of a cycle, in its unit."""

    @lru_cache(maxsize=64)
    def at(train: RigidTrain, speed: float) -> float:
        values = result.criterion.value(_parts(result.subject, train), np.array([speed]))
        return UNITS[result.criterion.unit].from_si(float(np.ravel(values)[0]))

    return lambda cycle: at(cycle.train, cycle.speed)


def _limit(result: NamedResult) -> Callable[[Cycle], float]:
    """Return the speed [rpm] at which a result reaches its allowable; NaN where not assessed."""

    @lru_cache(maxsize=64)
    def of(train: RigidTrain) -> float:
        parts = _parts(result.subject, train)
        _, low, high = speeds_looked_at(train.design)
        found = assessed(result.criterion, parts, (low, high), train.design.layout.rated_speed)
        return found.limit_rpm if isinstance(found, Rung) else math.nan

    return lambda cycle: of(cycle.train)


def _shank_stress(part: str) -> Callable[[Cycle], float]:
    """Return a stress [MPa] of the shank's duty, alternating or mean, where safety is minimum."""

    def of(cycle: Cycle) -> float:
        parts, speed = _parts(RodParts, cycle.train), np.array([cycle.speed])
        safety = parts.fatigue_safety(speed)[:, 0]
        side, section = np.unravel_index(safety.argmin(), safety.shape)
        stress = getattr(parts.duty_ranges(speed), part)[side, 0, section]
        return UNITS["MPa"].from_si(float(stress))

    return of


def _named() -> dict[str, LiveValue]:
    named = {}
    for key, result in RESULTS.items():
        criterion = result.criterion
        named[key] = LiveValue(result.label, UNITS[criterion.unit].symbol, 3, _value(result))
        if criterion.part:
            words = f"{result.label}, limit speed"
            named[f"{key}_limit"] = LiveValue(words, "rpm", 4, _limit(result))
    return named


STRENGTH: dict[str, LiveValue] = {
    **_named(),
    "rod_stress_amplitude": LiveValue(
        "Rod shank, stress amplitude", "MPa", 4, _shank_stress("alternating")
    ),
    "rod_mean_stress": LiveValue("Rod shank, mean stress", "MPa", 3, _shank_stress("mean")),
}
