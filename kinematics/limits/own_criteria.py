"""The criteria of a design's own, as criteria that the ladder assesses like its others.

With a unit the expression is computed in SI and must come out in that unit's dimension; without one
it is a plain number, computed from the names' values in the units that they are listed with.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import lru_cache, partial
from typing import Any, NoReturn, cast

import numpy as np

from kinematics.array import Array
from kinematics.design.allowables import Allowable, Origin
from kinematics.design.design import Design
from kinematics.design.own_criterion import OwnCriterion
from kinematics.dimensions import DIMENSIONS, dimension_of, dimension_words
from kinematics.errors import DesignError
from kinematics.limits.crank_criteria import CrankParts
from kinematics.limits.criterion import (
    EITHER_WAY,
    THINNER,
    Criterion,
    LeftOut,
    OptionalGroup,
    OtherModels,
)
from kinematics.limits.named_results import INPUTS, RESULTS, NamedResult, input_value, unit_of
from kinematics.limits.stretches_over import COSTLY
from kinematics.train.cycle import RigidTrain
from kinematics.units import UNITS

OWN_PART = "Own criterion"
SPEEDS = 33  # looked at first where the expression has kinks, or nothing in it is costly
OWN_MARK = LeftOut(
    "A criterion of the design's own: what its expression leaves out is for its author to say",
    EITHER_WAY,
)


class OwnParts:
    """The parts of a train by subject, each made when asked for; its own are a subject too."""

    def __init__(self, train: RigidTrain) -> None:
        self.train = train
        self.design = train.design
        self._parts: dict[Any, Any] = {}

    def of(self, subject: Callable[[RigidTrain], Any]) -> Any:
        """Return the parts of a subject.

        Reference: as of the subject itself.
        """
        if subject is OwnParts:
            return self
        if subject not in self._parts:
            self._parts[subject] = subject(self.train)
        return self._parts[subject]

    def result(self, name: str, speed: Array) -> Array:
        """Return a named result [SI] at speeds (s,) [rad/s].

        Reference: as of the criterion of that key.
        """
        named = RESULTS[name]
        return named.criterion.value(self.of(named.subject), speed)

    def resonances(self, low: float, high: float) -> Array:
        """Return the speeds [rad/s] between two at which the shaft resonates.

        Reference: as of `CrankParts.resonances`.
        """
        found: Array = self.of(CrankParts).resonances(low, high)
        return found


def own_value(own: OwnCriterion, parts: OwnParts, speed: Array) -> Array:
    """Return the value of an expression at speeds (s,) [rad/s], [SI] of its unit.

    NaN where it has none. Raises DesignError where a named result cannot be had.

    Reference: the design's own.
    """
    found = own.read.values(lambda name: operand_value(own, parts, name, speed))
    return np.broadcast_to(np.asarray(found, dtype=float), speed.shape).copy()


def operand_value(own: OwnCriterion, parts: OwnParts, name: str, speed: Array) -> Array:
    """Return what a name stands for in an expression (s,): in SI, or as listed without a unit.

    Reference: the design's own.
    """
    if name in INPUTS:
        found = np.full(speed.shape, input_value(parts.design, name))
    else:
        found = parts.result(name, speed)
    return found if own.unit else UNITS[unit_of(name)].array_from_si(found)


def _of_designs(own: OwnCriterion, parts: Sequence[OwnParts], speed: Array) -> Array:
    """Return the values for the parts of designs, each at its speed (t,), films at once."""

    def operand(name: str) -> Array:
        named = RESULTS.get(name)
        if named is None or named.criterion.of_designs is None:
            each = zip(parts, speed[:, None], strict=True)
            return np.concatenate([operand_value(own, one, name, at) for one, at in each])
        found = named.criterion.of_designs([one.of(named.subject) for one in parts], speed)
        return found if own.unit else UNITS[unit_of(name)].array_from_si(found)

    return np.broadcast_to(np.asarray(own.read.values(operand), dtype=float), speed.shape).copy()


def named_in(own: OwnCriterion) -> dict[str, NamedResult]:
    """Return the named results that an expression holds, inputs left out."""
    return {name: RESULTS[name] for name in own.read.names if name in RESULTS}


def check_own(own: OwnCriterion) -> None:
    """Raise DesignError where an expression holds an unknown name or comes out in another unit."""
    for name in own.read.names:
        unit_of(name)
    if not own.unit:
        return
    unit = UNITS[own.unit].symbol
    try:
        found = dimension_of(own.read, unit_of)
    except ValueError as error:
        raise DesignError(
            "criterion.expression",
            f"{error}, so it cannot come out in {unit}; without a unit plain numbers count",
        ) from None
    if found != DIMENSIONS[own.unit]:
        raise DesignError(
            "criterion.unit",
            f"is {unit}, but the expression comes out in {dimension_words(found)}; choose a unit "
            "of that kind, or none for a plain number",
        )


def own_criteria(design: Design) -> tuple[Criterion, ...]:
    """Return the criteria of a design's own; what is wrong with one is raised by its value."""
    return tuple(own_criterion(own, row) for row, own in enumerate(design.criteria, 1))


@lru_cache(maxsize=64)
def own_criterion(own: OwnCriterion, row: int) -> Criterion:
    """Return a criterion of a design's own, the `row`-th in its file from 1."""
    try:
        check_own(own)
    except DesignError as error:
        key = error.field.replace("criterion.", f"criterion.{row}.", 1)
        return _plain(own, _refusing(DesignError(key, error.message)))
    named = named_in(own)
    films = any(result.criterion.of_designs for result in named.values())
    groups = dict.fromkeys(group for result in named.values() for group in result.criterion.needs)
    return replace(
        _plain(own, partial(own_value, own)),
        needs=cast(tuple[OptionalGroup, ...], tuple(groups)),
        resonant=any(result.criterion.resonant for result in named.values()),
        speeds=_speeds(own, named),
        of_designs=partial(_of_designs, own) if films else None,
        left_out=partial(_marks, own),
        band=partial(_other_models, own),
    )


def _plain(own: OwnCriterion, value: Callable[[Any, Array], Array]) -> Criterion:
    allowed = Allowable(UNITS[own.unit].to_si(own.allowable), Origin(own.source, "given"))
    return Criterion(
        own.key, OWN_PART, own.name, own.unit, None, (), value, at_least=own.at_least,
        allowed=lambda _: allowed,
    )  # fmt: skip


def _refusing(error: DesignError) -> Callable[[Any, Array], Array]:
    def refuse(_parts: Any, _speed: Array) -> NoReturn:
        raise error

    return refuse


def _speeds(own: OwnCriterion, named: dict[str, NamedResult]) -> int:
    """Return how many speeds are looked at first: few where films change smoothly."""
    counts = [result.criterion.speeds for result in named.values()]
    costly = [count for count in counts if count <= COSTLY]
    return max(costly) if costly and own.read.is_smooth else SPEEDS


def _marks(own: OwnCriterion, parts: OwnParts) -> tuple[LeftOut, ...]:
    """Return the marks of all that an expression names, each once; which way they err is open."""
    found: dict[str, LeftOut] = {}
    for result in named_in(own).values():
        for mark in result.criterion.left_out(parts.of(result.subject)):
            known = mark.direction if mark.direction == THINNER else EITHER_WAY
            found.setdefault(mark.what, replace(mark, direction=known))
    return (*found.values(), OWN_MARK)


def _other_models(own: OwnCriterion, parts: OwnParts) -> OtherModels:
    """Return the parts by the other models of all that an expression names."""
    words: dict[str, None] = {}  # each once, in order
    others: dict[str, OwnParts] = {}
    for result in named_in(own).values():
        models = result.criterion.band(parts.of(result.subject))
        words |= dict.fromkeys(filter(None, models.own.split(", ")))
        others |= {name: OwnParts(other.train) for name, other in models.parts.items()}
    return OtherModels(", ".join(words), others)
