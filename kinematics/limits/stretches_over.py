"""Where over speed a criterion uses more than its allowable.

Between two speeds of a grid the share used is taken as straight in speed², which gas + speed² ·
inertia is between two changes of its governing point; each meeting is found on ever finer grids.
"""

import math
from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
from scipy.interpolate import PchipInterpolator  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.limits.criterion import Criterion
from kinematics.train.full_load import full_load_from

RESONANT_GRID = 121  # speeds looked at first where there are resonances
FINER, ROUNDS = 9, 2  # speeds within a bracket, and how often it is narrowed
COSTLY = 10  # speeds of a criterion's first grid up to which its value counts as costly
NEAR_STEP = 0.4  # of a costly grid's step: nearer to another speed a speed is left out
ASKINGS, BESIDE = 6, 0.003  # of a costly share: how often at most, and how far beside a guess
Stretches = tuple[tuple[float, float], ...]
Used = Callable[[Array], Array]  # share of the allowable used at speeds
# where shares used are 1 (m,), between two speeds each (m, 2) with shares (m, 2)
Meetings = Callable[[Array, Array], Array]


def first_limit(over: Stretches, speed: Array) -> float:
    """Return the speed [rad/s] at which it first goes over: 0 if from the start, infinite if never.

    Parameters
    ----------
    over : stretches of speed [rad/s] in which the allowable is exceeded
    speed : looked at [rad/s] (s,), rising

    Reference: share used is 1 at the limit, by definition.
    """
    if not over:
        return math.inf
    if over[0][0] > speed[0]:
        return over[0][0]
    if len(over) == 1 and over[0][1] >= speed[-1]:
        return 0.0
    return over[1][0] if len(over) > 1 else math.inf


def speeds_asked(
    criterion: Criterion, parts: Any, between: tuple[float, float], at: float
) -> Array:
    """Return the speeds looked at first [rad/s], rising, `at` among them.

    Loads are those of full load, so all but the idle is assessed from where that begins. The rows
    of a full-load curve, where gas changes its slope, are looked at unless a value costs too much.
    """
    low, high = between
    if not criterion.at_idle:
        low = max(low, full_load_from(parts.design))
    more = list(parts.resonances(low, high)) if criterion.resonant else []
    count = RESONANT_GRID if criterion.resonant else criterion.speeds
    if count > len(parts.train.pressure.speeds):
        more += [row for row in parts.train.pressure.speeds if low < row < high]
    grid, wanted = np.geomspace(low, high, count), np.array([*more, at])
    if count <= COSTLY:  # those near one that is asked anyway tell nothing more
        apart = np.abs(np.log(grid[:, None] / wanted)).min(axis=-1)
        told = apart >= NEAR_STEP * math.log(grid[1] / grid[0])
        told[[0, -1]] = True
        grid = grid[told]
    return np.union1d(grid, wanted)


def most_used(
    criterion: Criterion, parts: Any, allowed: float, speed: Array, value: Array
) -> tuple[float, float]:
    """Return the speed [rad/s] of the largest share used, and the value there.

    A peak between the first and the last speed is looked at once more: on a finer grid, or where
    a parabola through it and its neighbours is highest if a value costs much.
    """
    share = criterion.use(value, allowed)
    i = int(share.argmax())
    if 0 < i < len(speed) - 1:
        near = slice(i - 1, i + 2)
        if _is_costly(criterion, share):
            more = np.array([_highest(speed[near], share[near])])
        else:
            more = np.linspace(speed[i - 1], speed[i + 1], FINER)
        more = more[more != speed[i]]
        speed = np.append(more, speed[i])
        value = np.append(criterion.value(parts, more), value[i])
        i = int(criterion.use(value, allowed).argmax())
    return float(speed[i]), float(value[i])


def _is_costly(criterion: Criterion, share: Array) -> bool:
    """Return whether shares used cost much; they must be smooth and have logarithms too."""
    return criterion.speeds <= COSTLY and bool(np.all(np.isfinite(share) & (share > 0)))


def _highest(speed: Array, share: Array) -> float:
    """Return the speed at which a parabola through three points is highest, the middle one top."""
    before, after = speed[0] - speed[1], speed[2] - speed[1]
    rise, fall = (share[0] - share[1]) / before, (share[2] - share[1]) / after
    if rise == fall:
        return float(speed[1])
    return float(speed[1] + (before - rise * (before - after) / (rise - fall)) / 2)


def stretches_over(
    criterion: Criterion, parts: Any, allowed: float, speed: Array, value: Array
) -> Stretches:
    """Return the stretches of speed in which the allowable is exceeded."""
    share = criterion.use(value, allowed)

    def used(asked: Array) -> Array:
        return criterion.use(criterion.value(parts, asked), allowed)

    costly = _is_costly(criterion, share)
    meet = _costly_meetings(used, speed, share) if costly else partial(_meetings, used)
    return stretches_between(speed, share, meet)


def stretches_between(speed: Array, share: Array, meetings: Meetings) -> Stretches:
    """Return the stretches of speed [rad/s] in which the share used (s,) is above 1."""
    above = share > 1
    before = np.flatnonzero(above[:-1] != above[1:])
    pairs = np.stack((before, before + 1), axis=1)
    meets = meetings(speed[pairs], share[pairs]).tolist() if len(pairs) else []
    ends = [float(speed[0])] * bool(above[0]) + meets + [float(speed[-1])] * bool(above[-1])
    return tuple(zip(ends[::2], ends[1::2], strict=True))


def straight_meetings(speed: Array, share: Array) -> Array:
    """Return the speeds at which the share used is 1, straight in speed² between two: `Meetings`.

    In the middle where a share is infinite.
    """
    low, high = speed.T**2
    before, after = share.T
    rise = after - before
    part = np.divide(1 - before, rise, out=np.full_like(rise, 0.5), where=np.isfinite(rise))
    meets: Array = np.sqrt(low + part * (high - low))
    return meets


def _meetings(used: Used, speed: Array, share: Array) -> Array:
    """Return the speeds at which the share used is 1, straight in speed² at last: `Meetings`."""
    square = speed**2
    for _ in range(ROUNDS):
        square = np.linspace(square[:, 0], square[:, 1], FINER, axis=1)
        inner = used(np.sqrt(square[:, 1:-1]).ravel()).reshape(len(square), -1)
        share = np.concatenate((share[:, :1], inner, share[:, -1:]), axis=1)
        before = ((share[:, :-1] > 1) != (share[:, 1:] > 1)).argmax(axis=1)
        pairs = np.stack((before, before + 1), axis=1)
        square, share = (np.take_along_axis(values, pairs, axis=1) for values in (square, share))
    return straight_meetings(np.sqrt(square), share)


def _costly_meetings(used: Used, speeds: Array, shares: Array) -> Meetings:
    """Return the same for a smooth share that costs much, of which all (s,) known so far help.

    A spline in the logarithms guesses, two speeds beside the guess are asked at once, and a line
    through what is nearest meets 1; again until that is exact.
    """

    def meeting(speed: Array, share: Array) -> float:
        known, off = np.log(speeds), np.log(shares)
        low, high = np.log(speed)
        at = _zero(known, off, low, high)
        for _ in range(ASKINGS):
            asked = np.clip(np.array([at - BESIDE, at + BESIDE]), low, high)
            found = np.log(used(np.exp(asked)))
            known, places = np.unique(np.append(known, asked), return_index=True)
            off = np.append(off, found)[places]
            after = _zero(known, off, low, high)
            if abs(after - at) < BESIDE:
                return math.exp(after)
            at = after
        return math.exp(at)

    return lambda speed, share: np.array(list(map(meeting, speed, share)))


def _zero(known: Array, off: Array, low: float, high: float) -> float:
    """Return where a monotone spline through points is zero, between two of them."""
    zeros = PchipInterpolator(known, off).roots(extrapolate=False)
    within = zeros[(low <= zeros) & (zeros <= high)]
    return float(within[0]) if len(within) else (low + high) / 2
