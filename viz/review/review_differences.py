"""The differences of a proposal from its reference, in words: the heads of the card's columns."""

from dataclasses import dataclass

from kinematics.declaration import declarations
from kinematics.design.design import Design
from kinematics.design.design_field import find_field
from kinematics.limits.attribution import Difference, differences
from kinematics.units import UNITS
from viz.compare.compared_inputs import part_words
from viz.number_words import MISSING, format_short, join_unit, signed

DIGITS = 5  # of a difference
WHOLE_GROUP = "changed"


@dataclass(frozen=True, slots=True)
class DifferenceWords:
    """A difference: what differs, by how much, from what to what."""

    key: str
    label: str
    by: str  # with its sign and unit; `WHOLE_GROUP` of what is no single number
    values: str  # "430 g to 440 g", or how many fields differ


def difference_words(a: Design, b: Design) -> tuple[DifferenceWords, ...]:
    """Return the differences of b from a in words, those of the speed first."""
    found = [_words(a, b, own) for own in differences(a, b)]
    return tuple(sorted(found, key=lambda own: own.key != "layout.rated_speed_rpm"))


def proposal_words(a: Design, b: Design) -> str:
    """Return the differences as a list in one line; empty where there is none."""
    return ", ".join(f"{own.label.lower()} {own.by}" for own in difference_words(a, b))


def _words(a: Design, b: Design, difference: Difference) -> DifferenceWords:
    ours, theirs = find_field(a, difference.key), find_field(b, difference.key)
    if ours is None or theirs is None:
        count = len(difference.fields)
        values = f"{count} fields differ" if count else _presence(a, b, difference.group)
        return DifferenceWords(difference.key, part_words(difference.key), WHOLE_GROUP, values)
    record, attribute, declared = ours
    before, after = getattr(record, attribute), getattr(theirs[0], attribute)
    number = declared.kind in ("number", "whole") and not declared.many
    if not number or before is None or after is None:
        texts = [_plain(value) for value in (before, after)]
        values = f"{texts[0]} to {texts[1]}"
        return DifferenceWords(difference.key, declared.label, WHOLE_GROUP, values)
    unit = declared.shown_unit if declared.kind == "number" else UNITS[""]
    x, y = unit.from_si(before), unit.from_si(after)
    by = signed(y - x, join_unit(format_short(abs(y - x), DIGITS), unit.symbol))
    values = " to ".join(join_unit(format_short(value, DIGITS), unit.symbol) for value in (x, y))
    return DifferenceWords(difference.key, declared.label, by, values)


def _presence(a: Design, b: Design, group: str) -> str:
    """Return what happened to a group that differs as a whole."""
    ours, theirs = getattr(a, group), getattr(b, group)
    if not ours:
        return "only in B"
    if not theirs:
        return "only in A"
    same = not isinstance(ours, tuple) and type(ours) is type(theirs)
    count = sum(
        getattr(ours, attribute) != getattr(theirs, attribute)
        for attribute, _, _ in (declarations(ours) if same else ())
    )
    return f"{count} fields differ" if count else "differs"


def _plain(value: object) -> str:
    if value is None:
        return MISSING
    if isinstance(value, tuple):
        return "-".join(map(str, value)) if len(value) < 7 else f"{len(value)} values"
    return str(value).replace("_", " ")
