"""The band of a rung: its limit and value by the other models that a design could choose.

A value that costs much, a film's, is asked at a few speeds, the last ones where it is met: between
them its ratio to the design's own is taken as straight in speed, and the design's own is splined
in the logarithms of both.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
from scipy.interpolate import PchipInterpolator  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.limits.criterion import Criterion
from kinematics.limits.stretches_over import (
    COSTLY,
    Stretches,
    first_limit,
    speeds_asked,
    straight_meetings,
    stretches_between,
    stretches_over,
)

SPLINED = 201  # speeds at which a costly value's other model is looked at
ROUNDS, MET = 6, 2e-3  # askings where it may be met, and how near that ends
SAME = 1e-6  # relative; a band narrower than this is none


@dataclass(frozen=True, slots=True)
class UseOverSpeed:
    """What of a rung its band is made from."""

    criterion: Criterion
    parts: Any
    allowed: float
    speed: Array  # [rad/s] (s,), rising
    value: Array  # (s,)
    over: Stretches

    @property
    def limit(self) -> float:
        """Speed [rad/s] at which it first goes over.

        Reference: share used is 1 at the limit, by definition.
        """
        return first_limit(self.over, self.speed)

    @property
    def rated(self) -> float:
        """The rated speed [rad/s], or the idle speed where it is assessed there."""
        design = self.parts.design
        return float(
            design.torsion.idle_speed if self.criterion.at_idle else design.layout.rated_speed
        )

    @property
    def limits_within(self) -> Array:
        """Speeds [rad/s] at which the allowable is met, within those looked at."""
        ends = np.unique(np.ravel(self.over))
        return ends[(ends > self.speed[0]) & (ends < self.speed[-1])]

    def splined(self, speed: Array) -> Array:
        """Return the value at speeds [rad/s] (s,), the limits among what the spline goes by.

        Reference: monotone cubic interpolation in logarithms; any book on numerical analysis.
        """
        limits = self.limits_within
        known, places = np.unique(np.concatenate((self.speed, limits)), return_index=True)
        value = np.concatenate((self.value, np.full(len(limits), self.allowed)))[places]
        return np.asarray(np.exp(PchipInterpolator(np.log(known), np.log(value))(np.log(speed))))


@dataclass(frozen=True, slots=True)
class BandEnd:
    """A criterion by one model."""

    model: str  # in words
    limit: float  # [rad/s] as `Rung.limit`
    value: float  # at the rated speed, or at idle where it is assessed there


@dataclass(frozen=True, slots=True)
class Band:
    """A criterion by every model, that of the design first."""

    ends: tuple[BandEnd, ...]

    @property
    def own(self) -> BandEnd:
        """The end by the design's own model."""
        return self.ends[0]

    @property
    def lowest(self) -> BandEnd:
        """The end with the lowest limit."""
        return min(self.ends, key=lambda end: end.limit)

    @property
    def highest(self) -> BandEnd:
        """The end with the highest limit."""
        return max(self.ends, key=lambda end: end.limit)

    @property
    def least(self) -> BandEnd:
        """The end with the least value at the rated speed."""
        return min(self.ends, key=lambda end: end.value)

    @property
    def most(self) -> BandEnd:
        """The end with the largest value at the rated speed."""
        return max(self.ends, key=lambda end: end.value)


def band_by_other_models(own: UseOverSpeed) -> Band | None:
    """Return the band of a criterion, None where no other model gives another limit or value.

    A model that fails for the design is left out.

    Reference: as of the models themselves.
    """
    models = own.criterion.band(own.parts)
    if not models.parts and not models.values:
        return None
    value = float(own.value[np.searchsorted(own.speed, own.rated)])
    ends = [BandEnd(models.own, own.limit, value)]
    asked = {model: partial(_end_by_parts, own, parts) for model, parts in models.parts.items()}
    asked |= {model: partial(_end_by_values, own, value) for model, value in models.values.items()}
    for model, end in asked.items():
        try:
            ends.append(BandEnd(model, *end()))
        except DesignError:
            continue
    band = Band(tuple(ends))
    spread = band.most.value - band.least.value
    same = spread <= SAME * abs(value) and _close(band.lowest.limit, band.highest.limit)
    return None if same else band


def _close(low: float, high: float) -> bool:
    return low == high or high - low <= SAME * high


def _end_by_parts(own: UseOverSpeed, parts: Any) -> tuple[float, float]:
    """Return limit and value at rated speed by other parts."""
    criterion = own.criterion
    is_splined = criterion.speeds <= COSTLY and bool(np.all(own.value > 0))
    if criterion.at_idle or is_splined:
        return _end_by_values(own, partial(criterion.value, parts))
    between = float(own.speed[0]), float(own.speed[-1])
    speed = speeds_asked(criterion, parts, between, own.rated)
    value = criterion.value(parts, speed)
    over = stretches_over(criterion, parts, own.allowed, speed, value)
    return first_limit(over, speed), float(value[np.searchsorted(speed, own.rated)])


def _end_by_values(own: UseOverSpeed, values: Callable[[Array], Array]) -> tuple[float, float]:
    """Return limit and value by a model asked at the first speed, the rated one, and where met."""
    criterion, (first, last) = own.criterion, own.speed[[0, -1]]
    if criterion.at_idle:
        return own.limit, float(values(np.array([own.rated]))[0])
    asked = np.union1d([first, own.rated], own.limits_within)
    found = values(asked)
    for round_left in reversed(range(ROUNDS)):
        speed = np.union1d(np.geomspace(first, last, SPLINED), asked)
        nominal = own.splined(speed)
        ratio = found / nominal[np.searchsorted(speed, asked)]
        value = nominal * np.interp(speed, asked, ratio)
        over = stretches_between(speed, criterion.use(value, own.allowed), straight_meetings)
        limit = first_limit(over, speed)
        if not first < limit < last or _is_near(limit, asked) or not round_left:
            break
        asked, order = np.unique(np.append(asked, limit), return_index=True)
        found = np.append(found, values(np.array([limit])))[order]
    return limit, float(value[np.searchsorted(speed, own.rated)])


def _is_near(limit: float, asked: Array) -> bool:
    return bool(np.any(np.abs(asked - limit) < MET * limit))
