"""What it takes to raise a speed limit: one input at a time, all else as it is.

The derivative of the limit gives a first guess; it is corrected until the share of the allowable
that is used at the wanted speed is 1. Whether another criterion then comes first, only the changed
design's own ladder tells. An input that is not enough is followed as far as the design allows.
"""

import dataclasses
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.optimize import brentq  # type: ignore[import-untyped]

from kinematics.declaration import declarations
from kinematics.design.allowables import Limits
from kinematics.design.design import Design
from kinematics.design.design_field import group_field
from kinematics.errors import DesignError
from kinematics.limits.limit_sensitivities import INPUTS, limit_sensitivities
from kinematics.limits.speed_limits import Ladder, Rung
from kinematics.one_line import one_line, quantity

RAISING_INPUTS = (
    *INPUTS,
    "top_ring.axial_height_mm",
    "main_bearing.diameter_mm",
    "big_end.diameter_mm",
    "crank_throw.web_thickness_mm",
    "rod_bolts.diameter_mm",
    "crank_throw.oil_bore_mm",
    "main_bearing.groove_arc_deg",
    "oil.supply_pressure_bar",
)
LARGEST = 0.35  # change looked at, over the input; beyond it another design is wanted
CLOSE = 1e-4  # of the share used
REACHED = 0.999  # of the wanted speed
MOST_STEPS = 8
HALVED = 5  # times that a change is halved in search of one that helps
HALVINGS = 17  # of the stretch in which a design begins to refuse


@dataclass(frozen=True, slots=True)
class Change:
    """One input changed alone until a limit lies at a wanted speed."""

    key: str
    before: float  # [SI]
    by_slope: float  # [SI] change by the derivative alone
    by: float  # [SI] change that does it

    def __repr__(self) -> str:
        return one_line(self, self.key, f"{100 * self.by / self.before:+.3g} %")

    @property
    def relative(self) -> float:
        """Size of the change over the input."""
        return abs(self.by) / abs(self.before)


@dataclass(frozen=True, slots=True)
class ReachedLimit:
    """One input changed alone as far as it may, or as far as it helps: what a limit gains by it."""

    key: str
    before: float  # [SI]
    to: float  # [SI] the value that carries the limit furthest
    more: bool  # whether more of it helps; where the design refuses any, whether more would
    limit: float  # [rad/s] the limit there, the wanted speed if it is not below
    effect: bool  # whether the input moves the limit at all
    stopped: DesignError | None  # what the design says of a value beyond; None at `LARGEST`

    def __repr__(self) -> str:
        return one_line(
            self,
            self.key,
            f"limit {quantity(self.limit, 'rpm', 5)}",
            f"{100 * (self.to / self.before - 1):+.3g} %",
        )


@dataclass(frozen=True, slots=True)
class _End:
    """How far an input may change."""

    by: float  # [SI]
    share: float  # of the allowable used there
    refused: DesignError | None  # what refuses more; None where nothing does


def raising_changes(ladder: Ladder, rung: Rung, wanted: float) -> tuple[Change, ...]:
    """Return the changes that move a rung's limit to a speed [rad/s], the smallest first.

    Inputs that do not move it, that would have to change by more than `LARGEST`, that bring a
    resonance below that speed, or that the design refuses, are left out: `reaches` tells of them.

    Parameters
    ----------
    wanted : speed to reach [rad/s]

    Returns
    -------
    Each change: the key, the value before and by how much it changes [SI].

    Raises DesignError where the rung has no limit to move.

    >>> from kinematics import load_demo, raising_changes, speed_limits
    >>> ladder = speed_limits(load_demo("hill_climb_six"))
    >>> rung = ladder["bolt_fatigue"]
    >>> raising_changes(ladder, rung, 1.02 * rung.limit)[0]
    Change(cylinder.stroke_mm, -3.32 %)
    """
    if not 0 < rung.limit < math.inf:
        raise DesignError("", f"{rung.criterion.label} has no limit to move")
    slopes = limit_sensitivities(ladder, [rung], inputs=RAISING_INPUTS)[rung.criterion.key]
    found = []
    for key, slope in slopes.items():
        record, attribute, _ = group_field(ladder.design, key)
        before = getattr(record, attribute)
        by_slope = (wanted - rung.limit) / slope if slope else math.inf
        if math.isfinite(by_slope):
            by = _solved(ladder.design, rung, key, wanted, by_slope)
            if by is None or abs(by) > LARGEST * abs(before):
                by = _within(ladder.design, rung, key, wanted, math.copysign(before, by_slope))
            if by is not None and _limit(ladder.design, rung, key, by, wanted) > REACHED * wanted:
                found.append(Change(key, before, by_slope, by))
    return tuple(sorted(found, key=lambda change: change.relative))


def reaches(
    ladder: Ladder, rung: Rung, wanted: float, beside: tuple[Change, ...] = ()
) -> tuple[ReachedLimit, ...]:
    """Return how far each input but those of `beside` carries a rung's limit, the furthest first.

    Each is changed by `LARGEST`, or as far as the design allows; where that lowers the limit, by
    the best of some smaller changes. Inputs that the design lacks, or that do not count beside a
    measured trace, are left out.
    """
    done = {change.key for change in beside}
    keys = [key for key in RAISING_INPUTS if key not in done and _counts(ladder.design, key)]
    found = [_reach(ladder.design, rung, key, wanted) for key in keys]
    return tuple(sorted(found, key=lambda reach: -reach.limit))


def allowable_change(ladder: Ladder, rung: Rung, wanted: float) -> Change | None:
    """Return the change of the allowable [SI] that moves a rung's limit to a speed [rad/s].

    None where the allowable is not a field of `Limits`, or the load at that speed has no end.
    """
    field = next(
        (declared for declared in declarations(Limits) if declared[0] == rung.criterion.limit), None
    )
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


def _within(design: Design, rung: Rung, key: str, wanted: float, way: float) -> float | None:
    """Return the change [SI] on the side of `way` that is enough, within what is allowed."""
    end = _furthest(design, rung, key, wanted, LARGEST * way)
    if not end.by or end.share > 1:
        return None
    found: float = brentq(
        lambda by: min(_share(design, rung, key, wanted, by), 2.0) - 1, 0.0, end.by,
        xtol=1e-6 * abs(end.by),
    )  # fmt: skip
    return found


def _counts(design: Design, key: str) -> bool:
    """Return whether a design has an input and works with it."""
    try:
        record, attribute, _ = group_field(design, key)
    except DesignError:
        return False
    measured = key.startswith("pressure.") and design.pressure.source == "trace"
    return getattr(record, attribute) is not None and not measured


def _reach(design: Design, rung: Rung, key: str, wanted: float) -> ReachedLimit:
    record, attribute, _ = group_field(design, key)
    before = getattr(record, attribute)
    now = _share(design, rung, key, wanted, 0.0)
    ends = [_furthest(design, rung, key, wanted, way * LARGEST * before) for way in (-1, 1)]
    effect = max(abs(end.share - now) for end in ends) > CLOSE
    best = int(np.argmin([end.share for end in ends]))
    by, stopped = ends[best].by, ends[best].refused
    limit = _limit(design, rung, key, by, wanted) if effect and by else rung.limit
    if limit < rung.limit:
        smaller = [end.by / 2**halved for end in ends for halved in range(1, HALVED)]
        limit, by = max(
            (_limit(design, rung, key, smaller_change, wanted), smaller_change)
            for smaller_change in smaller
        )
        stopped = None
    return ReachedLimit(
        key, before, before + by, by > 0 if by else best > 0, limit, effect, stopped
    )


def _furthest(design: Design, rung: Rung, key: str, speed: float, by: float) -> _End:
    """Return how far an input may change [SI], `by` at most, and the share used there.

    Most refusals come when the design is made, which costs nothing beside the share.
    """
    end, refused = _allowed(lambda change: _with(design, key, change), by)
    try:
        return _End(end, _share(design, rung, key, speed, end), refused)
    except DesignError:
        end, refused = _allowed(lambda change: _share(design, rung, key, speed, change), by)
    return _End(end, _share(design, rung, key, speed, end), refused)


def _allowed(make: Callable[[float], object], by: float) -> tuple[float, DesignError | None]:
    """Return the largest change up to `by` of which something can be made, and what says no."""
    refused = _refusal(make, by)
    if refused is None:
        return by, None
    low, high = 0.0, by
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        error = _refusal(make, middle)
        if error is None:
            low = middle
        else:
            high, refused = middle, error
    return low, refused


def _refusal(make: Callable[[float], object], change: float) -> DesignError | None:
    try:
        make(change)
    except DesignError as error:
        return error
    return None


def _limit(design: Design, rung: Rung, key: str, by: float, wanted: float) -> float:
    """Return where a changed design first meets the allowable [rad/s], `wanted` if not below it."""
    criterion, parts = rung.criterion, _parts(design, rung, key, by)
    allowed = criterion.allowable(parts).value
    speed = np.union1d(rung.speed[rung.speed < wanted], [rung.limit, wanted])
    if criterion.resonant:
        speed = np.union1d(speed, parts.resonances(speed[0], wanted))
    over = criterion.use(criterion.value(parts, speed), allowed) > 1
    first = int(over.argmax())
    if first == 0:
        return float(speed[0]) if over[0] else wanted

    def share(at: float) -> float:
        value = criterion.value(parts, np.array([at]))
        return min(float(criterion.use(value, allowed)[0]), 2.0) - 1

    for end in (speed[first - 1], speed[first]):  # asked alone a film differs in its last digits
        if (share(end) > 0) != bool(over[speed == end][0]):
            return float(end)
    found: float = brentq(share, speed[first - 1], speed[first], xtol=1e-3)
    return found


def _with(design: Design, key: str, by: float) -> Design:
    """Return a design with an input changed [SI]."""
    record, attribute, _ = group_field(design, key)
    changed = dataclasses.replace(record, **{attribute: getattr(record, attribute) + by})
    return dataclasses.replace(design, **{key.partition(".")[0]: changed})


def _parts(design: Design, rung: Rung, key: str, by: float) -> Any:
    """Return the rung's subject of a design with an input changed [SI]."""
    return type(rung.parts)(rung.parts.train.changed(_with(design, key, by)))


def _share(design: Design, rung: Rung, key: str, speed: float, by: float) -> float:
    """Return the share of the allowable used at a speed [rad/s] with an input changed [SI]."""
    parts, criterion = _parts(design, rung, key, by), rung.criterion
    value = criterion.value(parts, np.array([speed]))
    return float(criterion.use(value, criterion.allowable(parts).value)[0])
