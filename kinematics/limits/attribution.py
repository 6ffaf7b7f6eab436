"""Which difference between two designs moves what: each made alone, the rest together.

From A to B a quantity changes by the sum of what each difference does to A by itself, and a rest:
what they do together, and what A refuses alone. Differences are fields; of designs that differ in
many, whole groups.
"""

import dataclasses
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from kinematics.array import Array
from kinematics.declaration import declarations
from kinematics.design.design import Design
from kinematics.errors import DesignError
from kinematics.limits.criterion import Criterion
from kinematics.limits.own_criteria import OwnParts
from kinematics.limits.speed_limits import Ladder, Rung, assessed
from kinematics.one_line import one_line
from kinematics.train.cycle import rigid_train

MOST_ALONE = 6  # differences that are told apart; of more, groups are


@dataclass(frozen=True, slots=True)
class Difference:
    """A field in which two designs differ, or a group of which they differ in some."""

    key: str  # of the field as in the design file, or the group's name
    fields: tuple[str, ...]  # attributes of the group; empty for the whole of it

    @property
    def group(self) -> str:
        """The group of the design.

        Reference: as in the design file, by definition.
        """
        return self.key.partition(".")[0]


@dataclass(frozen=True, slots=True, eq=False)
class Attribution:
    """A change from A to B, by the differences that were made alone: `rest` is all else."""

    before: float
    after: float
    by: dict[str, float]  # of each difference's key

    def __repr__(self) -> str:
        return one_line(self, f"{self.before:.4g} to {self.after:.4g}")

    @property
    def rest(self) -> float:
        """What the differences do together, and those that A refuses alone.

        Reference: the whole change less the sum of the single ones, by definition.
        """
        return self.after - self.before - sum(self.by.values())


def differences(a: Design, b: Design) -> tuple[Difference, ...]:
    """Return what differs between two designs, in the order of the design file.

    Names and notes are left out. Fields are told apart up to `MOST_ALONE`, then groups.

    Reference: as in the design file, by definition.

    >>> from kinematics import load_demo, with_value
    >>> design = load_demo("hill_climb_six")
    >>> [found.key for found in differences(design, with_value(design, "rod.mass_g", 440))]
    ['rod.mass_g']
    """
    found: list[Difference] = []
    for field in dataclasses.fields(Design):
        ours, theirs = getattr(a, field.name), getattr(b, field.name)
        if ours != theirs and any(map(_is_physical, (ours, theirs))):
            found += _in_group(field.name, ours, theirs)
    if len(found) <= MOST_ALONE:
        return tuple(found)
    groups: dict[str, list[Difference]] = {}
    for difference in found:
        groups.setdefault(difference.group, []).append(difference)
    return tuple(
        single[0] if len(single) == 1 else Difference(group, _all_fields(single))
        for group, single in groups.items()
    )


def _is_physical(value: Any) -> bool:
    """Return whether a part of a design is a group of fields, or a list of such."""
    rows = value if isinstance(value, tuple) else (value,)
    return any(dataclasses.is_dataclass(row) for row in rows)


def _in_group(group: str, ours: Any, theirs: Any) -> list[Difference]:
    whole = [Difference(group, ())]
    if isinstance(ours, tuple) or type(ours) is not type(theirs):
        return whole
    declared = [
        Difference(f"{group}.{key}", (attribute,))
        for attribute, key, _ in declarations(ours)
        if getattr(ours, attribute) != getattr(theirs, attribute)
    ]
    alike = dataclasses.replace(
        ours, **{name: getattr(theirs, name) for own in declared for name in own.fields}
    )
    return declared if alike == theirs else whole  # a trace is no declared field


def _all_fields(single: Sequence[Difference]) -> tuple[str, ...]:
    """Return the fields of a group's differences; none where it differs as a whole."""
    if not all(own.fields for own in single):
        return ()
    return tuple(name for own in single for name in own.fields)


def made_alone(a: Design, b: Design, difference: Difference) -> Design:
    """Return design A with one difference of B; raises DesignError where A refuses it alone.

    Reference: as in the design file, by definition.
    """
    group = difference.group
    changed = getattr(b, group)
    if difference.fields:
        values = {name: getattr(changed, name) for name in difference.fields}
        changed = dataclasses.replace(getattr(a, group), **values)
    return dataclasses.replace(a, **{group: changed})


def single_steps(a: Design, b: Design) -> dict[str, Design]:
    """Return design A with each difference of B alone, by its key; those it refuses left out.

    Reference: as in the design file, by definition.
    """
    found = {}
    for difference in differences(a, b):
        try:
            design = made_alone(a, b, difference)
            _ = rigid_train(a).changed(design).pressure
        except DesignError:
            continue
        found[difference.key] = design
    return found


class LadderAttribution:
    """What the differences of two ladders' designs do to the use of each rung, and to limits.

    What is once asked for is kept.
    """

    def __init__(self, a: Ladder, b: Ladder) -> None:
        self.a, self.b = a, b
        self.steps = single_steps(a.design, b.design)
        train = rigid_train(a.design)
        self._owners = {key: OwnParts(train.changed(design)) for key, design in self.steps.items()}
        self._uses: dict[str, Attribution | None] = {}
        self._limits: dict[str, Attribution | None] = {}

    def use(self, key: str) -> Attribution | None:
        """Return the change of a rung's largest use up to the rated speed; None if not in both.

        A single step is asked where A or B use most and at its own rated speed, what resonates
        at its resonances too.

        Reference: value over allowable, by definition.
        """
        if key not in self._uses:
            self._uses[key] = self._use(key)
        return self._uses[key]

    def _use(self, key: str) -> Attribution | None:
        before, after = self.a.rung(key), self.b.rung(key)
        if before is None or after is None:
            return None
        changed = self._changed(before)
        asked = [self._speeds(before, after, parts) for parts in changed.values()]
        most = _most_used(before, list(changed.values()), asked)
        moved = {
            name: use - before.use_at
            for name, use in zip(changed, most, strict=True)
            if math.isfinite(use)
        }
        return Attribution(before.use_at, after.use_at, moved)

    def limit(self, key: str) -> Attribution | None:
        """Return the change of a rung's limit [rad/s]; None where A or B has none to move.

        A single step's limit is looked for as on a ladder, over A's speeds.

        Reference: share used is 1 at the limit, by definition.
        """
        if key not in self._limits:
            self._limits[key] = self._limit(key)
        return self._limits[key]

    def _limit(self, key: str) -> Attribution | None:
        before, after = self.a.rung(key), self.b.rung(key)
        if before is None or after is None:
            return None
        if not (0 < before.limit < math.inf and 0 < after.limit < math.inf):
            return None
        found = {
            name: self._limit_of(before.criterion, parts)
            for name, parts in self._changed(before).items()
        }
        moved = {
            name: limit - before.limit for name, limit in found.items() if 0 < limit < math.inf
        }
        return Attribution(before.limit, after.limit, moved)

    def _limit_of(self, criterion: Criterion, parts: Any) -> float:
        """Return the limit [rad/s] of a single step; NaN where it cannot be assessed."""
        found = assessed(criterion, parts, (self.a.low, self.a.high), self.a.rated)
        return found.limit if isinstance(found, Rung) else math.nan

    def _changed(self, rung: Rung) -> dict[str, Any]:
        """Return the parts of each single step, of a rung's subject."""
        return {name: owner.of(type(rung.parts)) for name, owner in self._owners.items()}

    def _speeds(self, before: Rung, after: Rung, parts: Any) -> Array:
        """Return the speeds [rad/s] at which a single step is asked (s,), rising.

        What resonates is asked at the speeds of all that does, for the shaft then vibrates once.
        """
        criterion, design = before.criterion, parts.design
        if criterion.at_idle:
            return np.array([design.torsion.idle_speed if design.torsion else before.at])
        rated = design.layout.rated_speed
        pair = [before, after]
        if criterion.resonant:
            pair = [rung for rung in (*self.a, *self.b) if rung.criterion.resonant]
        asked = [rated, *(min(rung.at, rated) for rung in pair if not rung.criterion.at_idle)]
        if criterion.resonant:
            asked += parts.resonances(self.a.low, rated).tolist()
        return np.unique(asked)


def _most_used(rung: Rung, parts: Sequence[Any], asked: Sequence[Array]) -> list[float]:
    """Return the largest share used by each of some parts over its speeds; NaN where there is none.

    Parameters
    ----------
    asked : speeds [rad/s] of each
    """
    if rung.criterion.of_designs is None:
        return [max(_use(rung.criterion, own, at)) for own, at in zip(parts, asked, strict=True)]
    owners = [own for own, at in zip(parts, asked, strict=True) for _ in at]
    shares = iter(_each_use(rung, owners, np.concatenate([*asked, np.empty(0)])))
    return [max(next(shares) for _ in at) for at in asked]


def _each_use(rung: Rung, parts: Sequence[Any], speed: Array) -> list[float]:
    """Return the share used by parts, each at its speed [rad/s] (t,); NaN where there is none."""
    criterion = rung.criterion
    if criterion.of_designs is not None and parts:
        try:
            value = criterion.of_designs([rung.parts, *parts], np.append(rung.at, speed))[1:]
            allowed = [criterion.allowable(own).value for own in parts]
        except DesignError:  # of one of them: then each by itself
            pass
        else:
            return [
                float(criterion.use(value[i : i + 1], bound)[0]) for i, bound in enumerate(allowed)
            ]
    return [_use(criterion, own, speed[i : i + 1])[0] for i, own in enumerate(parts)]


def _use(criterion: Criterion, parts: Any, speed: Array) -> list[float]:
    """Return the share used at speeds [rad/s] (s,); NaN where it cannot be had."""
    try:
        value = criterion.value(parts, speed)
        found: list[float] = criterion.use(value, criterion.allowable(parts).value).tolist()
    except DesignError:
        return [math.nan] * len(speed)
    return found


@lru_cache(maxsize=2)
def ladder_attribution(a: Ladder, b: Ladder) -> LadderAttribution:
    """Return what the differences of two ladders' designs do, kept for the last ones.

    Reference: as in the design file, by definition.
    """
    return LadderAttribution(a, b)
