"""The ladder: for every criterion the speed at which it meets its allowable."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from typing import Any

import numpy as np

from kinematics.array import Array
from kinematics.design.allowables import Allowable, red_line
from kinematics.design.design import Design
from kinematics.errors import DesignError, nearest
from kinematics.limits.criterion import Criterion, LeftOut
from kinematics.limits.named_results import SUBJECTS
from kinematics.limits.own_criteria import OwnParts, own_criteria
from kinematics.limits.rung_band import Band, UseOverSpeed, band_by_other_models
from kinematics.limits.stretches_over import (
    Stretches,
    first_limit,
    most_used,
    speeds_asked,
    stretches_over,
)
from kinematics.one_line import one_line, quantity
from kinematics.train.cycle import rigid_train
from kinematics.units import UNITS, shown_system, using_units

HIGHEST_OVER_RATED = 2.5  # the speeds looked at, over the rated one
LOWEST_OVER_RATED = 0.1  # where the design gives no idle speed


@dataclass(frozen=True, eq=False)
class Rung:
    """One criterion of a design over speed.

    >>> from kinematics import load_demo, speed_limits
    >>> rung = speed_limits(load_demo("hill_climb_six"))["bolt_fatigue"]
    >>> rung
    Rung(bolt_fatigue, limit 14176 rpm, 44.4 % used at 8500 rpm)
    >>> round(rung.limit_rpm)
    14176
    """

    criterion: Criterion
    parts: Any  # of the subject, for the rung's own picture
    allowed: Allowable
    speed: Array  # [rad/s] (s,), rising
    value: Array  # (s,)
    at: float  # [rad/s] where it is shown: at the largest share up to rated speed, or at idle
    value_at: float
    rated_use: float  # share of the allowable at the rated speed; at idle where assessed there
    over: Stretches  # of speed [rad/s] where it is over
    _left_out: dict[str, tuple[LeftOut, ...]] = field(default_factory=dict, init=False)  # by units

    def __repr__(self) -> str:
        return one_line(
            self,
            self.criterion.key,
            f"limit {_rpm_words(self.limit)}",
            f"{100 * self.use_at:.3g} % used at {quantity(self.at, 'rpm', 5)}",
        )

    @property
    def limit_rpm(self) -> float:
        """Speed [rpm] at which it first goes over, by the definition of `limit`.

        Reference: share used is 1 at the limit, by definition.
        """
        return self.limit / UNITS["rpm"].factor

    @property
    def use_at(self) -> float:
        """Share of the allowable that is used at the speed shown.

        Reference: share used is 1 at the limit, by definition.
        """
        return float(self.criterion.use(np.array([self.value_at]), self.allowed.value)[0])

    @property
    def limit(self) -> float:
        """Speed [rad/s] at which it first goes over: 0 if from the start, infinite if never.

        Reference: share used is 1 at the limit, by definition.
        """
        return first_limit(self.over, self.speed)

    @property
    def left_out(self) -> tuple[LeftOut, ...]:
        """What the criterion leaves out and applies to the design, in the units shown now."""
        system = shown_system()
        if system not in self._left_out:
            self._left_out[system] = self.criterion.left_out(self.parts)
        return self._left_out[system]

    @cached_property
    def band(self) -> Band | None:
        """Limit and value by every other model that the design could choose; None without one.

        Reference: as of the models themselves.
        """
        return band_by_other_models(
            UseOverSpeed(
                self.criterion, self.parts, self.allowed.value, self.speed, self.value, self.over
            )
        )

    @property
    def is_doubted(self) -> bool:
        """Whether what is left out exceeds the allowable by itself, at the rated speed."""
        return any(mark.exceeds for mark in self.left_out)

    @property
    def met_from(self) -> float:
        """Speed [rad/s] from which it is met: 0 but where gas alone, or the idle, is too much.

        Reference: share used is 1 at the limit, by definition.
        """
        starts_over = bool(self.over) and self.over[0][0] <= self.speed[0]
        return self.over[0][1] if starts_over else 0.0


@dataclass(frozen=True, slots=True)
class NotAssessed:
    """A criterion that cannot be assessed: a group or an allowable is missing."""

    criterion: Criterion
    why: DesignError
    lacking: tuple[str, ...]  # groups that the design has not
    value_at_rated: float  # NaN where it cannot be had

    def __repr__(self) -> str:
        return one_line(self, f"{self.criterion.key}: {self.why}")


@dataclass(frozen=True, slots=True, eq=False)
class Ladder:
    """All criteria of a design: those over at the rated speed, then by their limits.

    Iterated it gives its rungs in that order; `ladder[key]` is the rung of a criterion.

    >>> from kinematics import load_demo, speed_limits
    >>> ladder = speed_limits(load_demo("hill_climb_six"))
    >>> ladder
    Ladder('Hill-climb six', 33 rungs, 2 not assessed, governing limit rod_fatigue 9382 rpm)
    >>> ladder["ring_lift"]
    Rung(ring_lift, limit 12009 rpm, 46.4 % used at 8500 rpm)
    >>> ladder.table().split()[:4]
    ['key', 'part', 'criterion', 'limit']
    """

    design: Design
    rungs: tuple[Rung, ...]
    unjudged: tuple[NotAssessed, ...]
    low: float  # [rad/s], the speeds looked at
    high: float
    rated: float
    red_line: float

    def __iter__(self) -> Iterator[Rung]:
        return iter(self.rungs)

    def __len__(self) -> int:
        return len(self.rungs)

    def __getitem__(self, key: str) -> Rung:
        found = self.rung(key)
        if found is None:
            known = [rung.criterion.key for rung in self.rungs]
            raise KeyError(f"no rung {key[:80]!r} in this ladder; {nearest(key, known)}")
        return found

    def __repr__(self) -> str:
        first = self.lowest
        words = f"{first.criterion.key} {_rpm_words(first.limit)}" if first else "none"
        return one_line(
            self,
            repr(self.design.name[:60]),
            f"{len(self.rungs)} rungs",
            f"{len(self.unjudged)} not assessed",
            f"governing limit {words}",
        )

    @property
    def lowest(self) -> Rung | None:
        """The rung that limits the speed; None where none does, or none is assessed.

        A guide value counts only where nothing else is assessed.

        Reference: common practice, no source.
        """
        physical = [rung for rung in self.rungs if not rung.criterion.guide]
        first = min(physical or self.rungs, key=lambda rung: rung.limit, default=None)
        return first if first is not None and first.limit < math.inf else None

    def rung(self, key: str) -> Rung | None:
        """Return the rung of a criterion, None if there is none."""
        return next((rung for rung in self.rungs if rung.criterion.key == key), None)

    def verdict(self, rung: Rung) -> str:
        """Return "over" up to the rated speed, "marginal" below the red line, else "within".

        What a criterion leaves out may exceed the allowable by itself, as an edge film does: then
        it is "marginal" at best. A guide value is flagged as "guide" whatever its limit: it proves
        nothing.

        Reference: common practice, no source.
        """
        verdict = _verdict(rung, self.rated, self.red_line)
        return "marginal" if verdict == "within" and rung.is_doubted else verdict

    def table(self) -> str:
        """Return the rungs as a plain text table, then what is not assessed and why.

        Columns: key, part, criterion, limit [rpm], share used [%] at the speed shown [rpm],
        verdict.
        """
        rows = [("key", "part", "criterion", "limit", "used", "at", "verdict")]
        rows += [
            (
                rung.criterion.key, rung.criterion.part, rung.criterion.label,
                _rpm_words(rung.limit), f"{100 * rung.use_at:.1f} %", _rpm_words(rung.at),
                self.verdict(rung),
            )
            for rung in self.rungs
        ]  # fmt: skip
        widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
        lines = ["  ".join(map(str.ljust, row, widths)).rstrip() for row in rows]
        missing = [
            f"{absent.criterion.key}: not assessed, {absent.why}" for absent in self.unjudged
        ]
        return "\n".join([*lines, *missing])


def _rpm_words(speed: float) -> str:
    """Return a speed [rad/s] in whole rpm, "none" where it is infinite."""
    return f"{speed / UNITS['rpm'].factor:.0f} rpm" if math.isfinite(speed) else "none"


def _verdict(rung: Rung, rated: float, red_line: float) -> str:
    if rung.criterion.guide:
        return "guide"
    if rung.use_at > 1 or any(start <= rated for start, _ in rung.over):
        return "over"
    return "marginal" if rung.limit < red_line else "within"


def _rank(rung: Rung, rated: float) -> tuple[int, float, float]:
    """Return what orders rungs: over at rated speed, over below it, then by limit, guides last."""
    verdict = _verdict(rung, rated, rated)
    place = 3 if verdict == "guide" else 0 if rung.rated_use > 1 else 1 if verdict == "over" else 2
    return (place, rung.limit, -rung.use_at)


@lru_cache(maxsize=16)
@using_units("si")  # its words are kept, for whoever asks next
def speed_limits(design: Design) -> Ladder:
    """Return the ladder of a design, kept for the last ones.

    Raises DesignError where the pressure cannot be made.

    Reference: follows from gas + speed² · inertia: the share is straight in speed² between close
    speeds.

    >>> from kinematics import load_demo, speed_limits
    >>> ladder = speed_limits(load_demo("hill_climb_six"))
    >>> [rung.criterion.key for rung in ladder][:3]
    ['rod_fatigue', 'main_film', 'big_end_film']
    """
    train = rigid_train(design)
    _ = train.pressure  # refused here where it cannot be made
    rated = design.layout.rated_speed
    idle, low, high = speeds_looked_at(design)
    rungs: list[Rung] = []
    unjudged: list[NotAssessed] = []
    own = OwnParts(train)
    for subject, criteria in (*SUBJECTS, (OwnParts, own_criteria(design))):
        parts = own.of(subject)
        for criterion in criteria:
            found = assessed(criterion, parts, (low, high), idle if criterion.at_idle else rated)
            (rungs if isinstance(found, Rung) else unjudged).append(found)  # type: ignore[arg-type]
    rungs.sort(key=lambda rung: _rank(rung, rated))
    line = red_line(design.limits, rated)
    return Ladder(design, tuple(rungs), tuple(unjudged), low, high, rated, line)


def speeds_looked_at(design: Design) -> tuple[float, float, float]:
    """Return the idle speed, and the ends of the speeds that criteria are looked at [rad/s].

    Reference: by definition.
    """
    rated = design.layout.rated_speed
    idle = design.torsion.idle_speed if design.torsion else LOWEST_OVER_RATED * rated
    return idle, min(idle, 0.9 * rated), HIGHEST_OVER_RATED * rated


def assessed(
    criterion: Criterion, parts: Any, between: tuple[float, float], at: float
) -> Rung | NotAssessed:
    """Return the rung of a criterion, or why there is none.

    Parameters
    ----------
    between : [rad/s] the speeds looked at
    at : [rad/s] the rated speed, or the idle speed of a criterion assessed there

    Reference: value over allowable, by definition.
    """
    lacking = criterion.missing(parts.design)
    try:
        for group in lacking:
            parts.design.needed(group, criterion.label.lower())
        return _judged(criterion, parts, criterion.allowable(parts), between, at)
    except DesignError as error:
        found = (error.field,) if getattr(parts.design, error.field, 0) is None else ()
        return NotAssessed(criterion, error, lacking or found, _value_at(criterion, parts, at))


def _value_at(criterion: Criterion, parts: Any, speed: float) -> float:
    """Return the value at a speed [rad/s], NaN where it cannot be had."""
    try:
        return float(criterion.value(parts, np.array([speed]))[0])
    except DesignError:
        return math.nan


def _judged(
    criterion: Criterion, parts: Any, allowed: Allowable, between: tuple[float, float], at: float
) -> Rung:
    """Return the rung of a criterion; `at` is the rated speed, or the idle speed [rad/s]."""
    speed = speeds_asked(criterion, parts, between, at)
    value = _known(speed, criterion.value(parts, speed))
    use = criterion.use(value, allowed.value)
    known = int(np.searchsorted(speed, at))
    rated_use = float(use[known])
    if criterion.at_idle:
        return Rung(criterion, parts, allowed, speed, value, at, float(value[known]), rated_use, ())
    shown = most_used(criterion, parts, allowed.value, speed[: known + 1], value[: known + 1])
    _known(*(np.array([number]) for number in shown))
    over = stretches_over(criterion, parts, allowed.value, speed, value)
    return Rung(criterion, parts, allowed, speed, value, *shown, rated_use, over)


def _known(speed: Array, value: Array) -> Array:
    """Return values (s,) at speeds (s,) [rad/s]; raises DesignError where one has none."""
    if np.isnan(value).any():
        at = _rpm_words(float(speed[np.isnan(value)][0]))
        raise DesignError(
            "",
            f"there is no value at {at}: a division by zero, the root of a negative number, or a "
            "number that is too large",
        )
    return value
