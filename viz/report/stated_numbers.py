"""Every number that a report states, under a key of its own: in words, and as a value.

The report's page marks each with its key (`data-number`), so that a reader of the file finds what
is printed beside what the design gives when it is solved again.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from kinematics.units import UNITS, shown_unit
from viz.compare.comparison import compared
from viz.film.film_board import table_message, table_values
from viz.fit.fit_board import fit_line, fit_rows
from viz.limits.limit_board import sentence
from viz.limits.margin_table import margin_rows, margin_share, rungs_by_part
from viz.report.difference_tables import DifferenceTable, difference_tables
from viz.report.report_attribution import Attributed, attributed
from viz.report.reviewed import Reviewed
from viz.review.answer_words import answer
from viz.speed_words import rpm
from viz.train.main_number import MainNumber

MARGIN_KEYS = ("at", "value", "allowable", "used", "limit", "margin", "verdict")  # columns 2 to 8
COMPARED_KEYS = ("a", "b", "difference", "change")
PER_CENT = "%"
FIT_SCALE = 1.0  # [unit]: gaps are differences of larger sizes
FORMULA = "formula."  # what keys of formula texts begin with


@dataclass(frozen=True, slots=True)
class Stated:
    """A number of a report: as printed, and its value in a unit; None where words say it all.

    `scale` is the size [unit] that a difference of two values is measured by, at least: what is
    itself a difference of larger numbers carries their rounding.
    """

    key: str
    words: str
    value: float | None = None
    unit: str = ""
    scale: float = 0.0


def reviewed_numbers(this: Reviewed, other: Reviewed | None) -> tuple[Stated, ...]:
    """Return every number that the report of a design states, against another if there is one."""
    return stated_numbers(this, other, tables_against(other, this) if other else ())


def tables_against(other: Reviewed, this: Reviewed) -> tuple[DifferenceTable, ...]:
    """Return the tables of the comparison with another design, at the speed of the report."""
    speed = UNITS["rpm"].from_si(this.cycle.speed)
    return difference_tables(compared(other.design, this.design, speed))


def stated_numbers(
    this: Reviewed, other: Reviewed | None, tables: Iterable[DifferenceTable]
) -> tuple[Stated, ...]:
    """Return every number that a report states, in the units shown now; keys are unique.

    Parameters
    ----------
    tables : of the comparison, as it is printed; none without another design
    """
    found = [
        Stated("answer", answer(this.ladder, other.ladder if other else None)),
        Stated("verdict", sentence(this.ladder)),
    ]
    found += _of_numbers("main", this.numbers)
    found += _of_numbers("film", this.film_numbers)
    found += [*_of_bearings(this), *_of_margins(this), *_of_fit(this)]
    for table in tables:
        found += _of_table(table)
    if other is not None:
        found += _of_attribution(attributed(this, other))
    return tuple(found)


def stated_texts(this: Reviewed) -> tuple[Stated, ...]:
    """Return what a report states of formulas, as text: the formulas, and with values put in.

    Of rungs also the headline, the limit, worst misfire, damper, other models and sensitivities.
    """
    found: list[Stated] = []
    for kind, numbers in (("main", this.numbers), ("film", this.film_numbers)):
        for number in numbers:
            found += _derived(f"{kind}.{number.key}", number.formula, number.substitution)
    for check in this.fit:
        found += _derived(f"fit.{check.key}", check.question.formula, check.values)
    for sheet in this.sheets:
        found += _of_sheet(sheet)
    return tuple(found)


def _derived(key: str, formula: str, values: str) -> Iterator[Stated]:
    yield Stated(f"{FORMULA}{key}", formula)
    if values:
        yield Stated(f"values.{key}", values)


def _of_sheet(sheet: dict[str, Any]) -> Iterator[Stated]:
    key = sheet["key"]
    yield from _derived(f"rung.{key}", sheet["formula"], sheet["substitution"])
    yield Stated(f"headline.rung.{key}", sheet["headline"])
    yield Stated(f"limit_text.rung.{key}", sheet["limit_text"])
    if sheet["misfire"]:
        yield Stated(f"misfire.rung.{key}", sheet["misfire"]["words"])
        yield Stated(f"values.misfire.{key}", sheet["misfire"]["substitution"])
    for row, cells in enumerate(sheet["damper"]["rows"] if sheet["damper"] else (), 1):
        for column, cell in enumerate(cells[1:], 1):
            yield Stated(f"damper.{key}.{row}.{column}", str(cell))
    for place, end in enumerate(sheet["band"]["ends"] if sheet["band"] else (), 1):
        yield Stated(f"band.{key}.{place}.limit", end["limit_text"])
        yield Stated(f"band.{key}.{place}.value", end["value_text"])
    for place, moved in enumerate(sheet["sensitivities"], 1):
        yield Stated(f"moved_by.{key}.{place}", moved["text"])


def stated_values(numbers: Iterable[Stated]) -> dict[str, list[Any]]:
    """Return the numbers that have a value as the report carries them: value and unit by key."""
    return {one.key: [one.value, one.unit] for one in numbers if one.value is not None}


def _stated(key: str, words: str, value: float, unit: str, scale: float = 0.0) -> Stated:
    return Stated(key, words, float(value) if math.isfinite(value) else None, unit, scale)


def _of_numbers(kind: str, numbers: Iterable[MainNumber]) -> Iterator[Stated]:
    for number in numbers:
        yield _stated(f"{kind}.{number.key}", number.words, number.value, number.unit)


def _of_bearings(this: Reviewed) -> Iterator[Stated]:
    """Yield the cells of the table of films, each under its bearing and its column."""
    if this.films is None:
        return
    message = table_message(this.films)
    units = [unit for _, unit in message["columns"][1:]]
    for row, bearing in zip(message["rows"], this.films.sorted, strict=True):
        values = table_values(bearing)
        for place, (words, value) in enumerate(zip(row["cells"][1:], values, strict=True), 1):
            yield _stated(f"bearing.{row['key']}.{place}", words, value, units[place - 1])
        yield Stated(f"bearing.{row['key']}.state", row["words"])


def _of_margins(this: Reviewed) -> Iterator[Stated]:
    """Yield the cells of the margin table, each under its rung and its column."""
    ladder, speed_unit = this.ladder, UNITS["rpm"].symbol
    for rung, row in zip(rungs_by_part(ladder), margin_rows(ladder), strict=True):
        unit, share = shown_unit(rung.criterion.unit), margin_share(ladder, rung)
        limit = rung.limit if not rung.criterion.at_idle and rung.limit > 0 else math.nan
        values = (
            (rpm(rung.at), speed_unit),
            (unit.from_si(rung.value_at), unit.symbol),
            (unit.from_si(rung.allowed.value), unit.symbol),
            (100 * rung.use_at, PER_CENT),
            (rpm(limit), speed_unit),
            (math.nan if share is None else share, PER_CENT),
            (math.nan, ""),
        )
        for name, words, (value, symbol) in zip(MARGIN_KEYS, row[2:9], values, strict=True):
            scale = 100.0 if name == "margin" else 0.0
            yield _stated(f"{name}.{rung.criterion.key}", words, value, symbol, scale)


def _of_attribution(found: Attributed) -> Iterator[Stated]:
    """Yield the cells of the table of attributions, and what moves the limits."""
    for row in found.rows:
        for key, words in row.cells:
            yield Stated(key, words)
    for move in found.limits:
        yield Stated(f"moves.{move.key}", move.words)


def _of_fit(this: Reviewed) -> Iterator[Stated]:
    """Yield the line of the checks of fit, and what each found."""
    yield Stated("fit", fit_line(this.design)["line"])
    rows = {row["key"]: row for row in fit_rows(this.design)}
    for check in this.fit:
        key, row, unit = f"fit.{check.key}", rows[check.key], shown_unit(check.question.unit)
        yield Stated(f"{key}.outcome", row["outcome"])
        for name, value in (("value", check.value), ("bound", check.bound)):
            number = math.nan if value is None else unit.from_si(value)
            yield _stated(f"{key}.{name}", row[name], number, unit.symbol, FIT_SCALE)


def _of_table(table: DifferenceTable) -> Iterator[Stated]:
    """Yield the cells of a table of the comparison; changes carry the rounding of both sides."""
    for row, message in zip(table.rows, table.messages, strict=True):
        sides = [side.values[0] if len(side.values) == 1 else math.nan for side in (row.a, row.b)]
        size = max((abs(side) for side in sides if math.isfinite(side)), default=0.0)
        change = 100 * row.change if row.in_percent else math.nan
        values = (
            (sides[0], row.unit, 0.0),
            (sides[1], row.unit, 0.0),
            (row.move, row.unit, size),
            (change, PER_CENT, 100.0),
        )
        for name, words, (value, unit, scale) in zip(
            COMPARED_KEYS, message["cells"], values, strict=True
        ):
            yield _stated(f"{table.key}.{row.key}.{name}", words, value, unit, scale)
