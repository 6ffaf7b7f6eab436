"""A row of a comparison: what two designs have of it, the difference, and the relative change.

A change is that of the size, (|B| − |A|) / |A|: of temperatures in kelvin, of directions against a
full turn, of lists the largest change against the largest value. Of a number that parts which
cancel may leave near zero, it is over a scale if the first design's size is below that, and what
is below `NEAR_ZERO` of the scale counts as zero. It is infinite where it has no size: words, what
one design has not, a start from nothing. Rows stand in its order; it is told as a percentage only
where that means something (`told_in_percent`).
"""

import math
from dataclasses import dataclass

from kinematics.units import UNITS, shown_unit
from viz.number_words import format_number, join_unit, signed

ALIKE = 1e-9  # relative; values closer than this count as the same
NEAR_ZERO = 1e-3  # of a scale; what is smaller counts as zero
DIRECTION = "° "  # unit of a direction: it comes round after 360


@dataclass(frozen=True, slots=True)
class Side:
    """What one design has of a row: numbers in the display unit (none for words), and in words."""

    values: tuple[float, ...]
    text: str
    margin: str = ""
    verdict: str = ""
    margin_share: float | None = None  # the margin in %, where it is a number


@dataclass(frozen=True, slots=True)
class Entry:
    """A row of one design."""

    part: str
    label: str
    unit: str  # symbol
    side: Side
    scale: float = 0.0  # least size [unit] that changes are measured by
    level: bool = False  # it lies on either side of zero, as an edge film does
    where: str = ""  # which of several parts has it


@dataclass(frozen=True, slots=True)
class Compared:
    """A row of two designs; `change` is relative, infinite where it has no size, 0 if alike.

    `in_percent` says whether the change means something as a percentage.
    """

    key: str
    part: str
    label: str
    unit: str
    a: Side
    b: Side
    difference: str
    change: float
    in_percent: bool
    move: float = math.nan  # B less A of two single numbers [unit], NaN where there is none


Entries = dict[str, Entry]  # by key


def relative_change(
    a: Side, b: Side, unit: str, scale: float = 0.0, *, level: bool = False
) -> float:
    """Return the change of size from a to b over a's size, or over the scale if that is more.

    It is infinite where it has no size, and 0 if both are alike. What changes sign, and a level,
    moves by the difference.
    """
    if len(a.values) != len(b.values) or not a.values:
        return 0.0 if a == b else math.inf
    pairs = [
        (_counted(x, scale), _counted(y, scale))
        for x, y in zip(a.values, b.values, strict=True)
    ]  # fmt: skip
    moves = [step(x, y, unit) for x, y in pairs]
    if not any(moves):
        return 0.0
    if not all(math.isfinite(move) for move in moves):
        return math.inf
    size = scale if level else max(_size(a, unit), scale)
    if size == 0:
        return math.inf
    if len(moves) > 1:
        return max(abs(move) for move in moves) / size
    (x, y) = pairs[0]
    return (-moves[0] if x < 0 and y <= 0 and not level else moves[0]) / size


def told_in_percent(a: Side, b: Side, unit: str, scale: float = 0.0) -> bool:
    """Return whether a change means something as a percentage: of sizes of the same sign."""
    if unit in (DIRECTION, UNITS["deg"].symbol, shown_unit("degC").symbol):
        return False
    pairs = list(zip(a.values, b.values, strict=False))
    return len(pairs) > 1 or all(x * y > 0 and abs(x) >= scale for x, y in pairs)


def _counted(value: float, scale: float) -> float:
    return 0.0 if abs(value) < NEAR_ZERO * scale else value


def step(x: float, y: float, unit: str) -> float:
    """Return y − x, NaN where there is none, 0 where rounding is all; directions turn shortest."""
    if x == y or (math.isnan(x) and math.isnan(y)):
        return 0.0
    if not (math.isfinite(x) and math.isfinite(y)):
        return math.nan
    move = y - x
    if unit == DIRECTION:
        move = (move + 180) % 360 - 180
    return 0.0 if abs(move) <= ALIKE * max(abs(x), abs(y)) else move


def _size(a: Side, unit: str) -> float:
    if unit == DIRECTION:
        return 360.0
    degrees = shown_unit("degC")
    zero = degrees.offset if unit == degrees.symbol else 0.0
    return max(abs(value + zero) for value in a.values)


def _move(a: Side, b: Side, unit: str) -> float:
    """Return the difference of two single numbers, else NaN."""
    if len(a.values) != 1 or len(b.values) != 1:
        return math.nan
    return step(a.values[0], b.values[0], unit)


def _difference(move: float, unit: str) -> str:
    """Return a difference with its sign and unit, nothing where there is none."""
    if not math.isfinite(move):
        return ""
    digits = max(3, len(f"{abs(move):.0f}")) if unit == UNITS["rpm"].symbol else 3
    return join_unit(signed(move, format_number(abs(move), digits)), unit.strip())


def paired_rows(a: Entries, b: Entries, a_lacks: str, b_lacks: str) -> list[Compared]:
    """Return a row for each key that either has; `…_lacks` says what stands where one has none."""
    rows = []
    for key in dict.fromkeys([*a, *b]):
        known = b.get(key) or a[key]
        left = a[key].side if key in a else Side((), a_lacks)
        right = b[key].side if key in b else Side((), b_lacks)
        unit = known.unit
        scale = a[key].scale if key in a else known.scale
        change = relative_change(left, right, unit, scale, level=known.level)
        told = not known.level and told_in_percent(left, right, unit, scale)
        move = _move(left, right, unit)
        gap = _difference(move, unit)
        label = _label(known, a.get(key))
        rows.append(
            Compared(key, known.part, label, unit.strip(), left, right, gap, change, told, move)
        )
    return rows


def _label(known: Entry, before: Entry | None) -> str:
    """Return a row's label; where another part has it in each design, with both parts."""
    if before is None or before.where == known.where:
        return known.label
    return f"{known.label} (A {before.where}, B {known.where})"


def by_change(rows: list[Compared]) -> tuple[Compared, ...]:
    """Return rows with the largest change first, those alike in change as they were."""
    return tuple(sorted(rows, key=lambda row: -abs(row.change)))
