"""The results of two designs side by side, what changed most first."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from kinematics.cycle import Cycle
from kinematics.speed_limits import Ladder, Rung
from kinematics.units import UNITS
from viz.limit_board import rpm
from viz.main_numbers import main_numbers
from viz.number_words import MISSING, format_number, signed
from viz.shown_films import LIMITS, TITLES, ShownFilms

DIGITS = 3
SPEED_DIGITS = 4


@dataclass(frozen=True, slots=True)
class Compared:
    """One result of two designs; values in the unit, NaN where one has none."""

    label: str
    unit: str
    before: float
    now: float
    digits: int = DIGITS

    @property
    def before_text(self) -> str:
        """The other design's value in words."""
        return _with_unit(self.before, self)

    @property
    def now_text(self) -> str:
        """The design's value in words."""
        return _with_unit(self.now, self)

    @property
    def difference_text(self) -> str:
        """The difference in words, with its sign."""
        return signed_number(self.difference, self.digits) if self.both else MISSING

    @property
    def share_text(self) -> str:
        """The difference over the other design's value, in percent."""
        if not self.both or abs(self.before) < 1e-12:
            return MISSING
        return f"{signed_number(100 * self.difference / abs(self.before), 2)} %"

    @property
    def difference(self) -> float:
        """The difference, zero where the digits shown do not show it."""
        seen = self.weight >= 0.5 * 10.0 ** (1 - self.digits)
        return self.now - self.before if seen or self.before_text != self.now_text else 0.0

    @property
    def both(self) -> bool:
        """Whether both designs have the value."""
        return math.isfinite(self.before) and math.isfinite(self.now)

    @property
    def weight(self) -> float:
        """How much it changed over the larger of both sizes, 0 to 2; −1 where one is missing."""
        if not self.both:
            return -1.0
        largest = max(abs(self.before), abs(self.now))
        return abs(self.now - self.before) / largest if largest > 1e-9 else 0.0


def compared(
    cycles: tuple[Cycle, Cycle],
    ladders: tuple[Ladder, Ladder],
    films: tuple[ShownFilms | None, ShownFilms | None],
) -> tuple[Compared, ...]:
    """Return all results of (other, this), what changed most first."""
    rows = (*_numbers(*cycles), *_films(*films), *_limits(*ladders))
    return tuple(sorted(rows, key=lambda row: -row.weight))


def signed_number(value: float, digits: int) -> str:
    """Return a number with its sign, none for zero."""
    text = format_number(abs(value), digits)
    return text if text in ("0", MISSING) else signed(value, text)


def _with_unit(value: float, row: Compared) -> str:
    if not math.isfinite(value):
        return MISSING
    return f"{format_number(value, row.digits)} {row.unit}".rstrip()


def _numbers(other: Cycle, this: Cycle) -> Iterator[Compared]:
    before = {one.key: one for one in main_numbers(other)}
    now = {one.key: one for one in main_numbers(this)}
    for key in dict.fromkeys((*now, *before)):
        one = now.get(key) or before[key]
        values = (side[key].value if key in side else math.nan for side in (before, now))
        yield Compared(one.label, one.unit, *values, one.digits)


def _films(other: ShownFilms | None, this: ShownFilms | None) -> Iterator[Compared]:
    if other is None and this is None:
        return
    for kind in LIMITS:
        label = f"Least film of all {TITLES[kind].lower()}s"
        yield Compared(label, UNITS["um"].symbol, *(_least(films, kind) for films in (other, this)))


def _least(films: ShownFilms | None, kind: str) -> float:
    if films is None:
        return math.nan
    return UNITS["um"].from_si(float(films.of(kind).least_film.min()))


def _limits(other: Ladder, this: Ladder) -> Iterator[Compared]:
    keys = dict.fromkeys(rung.criterion.key for rung in (*this.rungs, *other.rungs))
    for key in keys:
        rungs = other.rung(key), this.rung(key)
        criterion = next(rung for rung in rungs if rung is not None).criterion
        if criterion.at_idle:
            continue
        label = f"Limit speed: {criterion.part}, {criterion.label[0].lower()}{criterion.label[1:]}"
        yield Compared(label, "rpm", *(_limit(rung) for rung in rungs), SPEED_DIGITS)


def _limit(rung: Rung | None) -> float:
    return rpm(rung.limit) if rung is not None and 0 < rung.limit < math.inf else math.nan
