"""Variants of a design as columns: what differs from the reference, and what comes of it."""

from dataclasses import dataclass
from typing import Any

from kinematics.limits.speed_limits import Ladder, speed_limits
from kinematics.train.cycle import Cycle
from viz.csv_text import csv_text
from viz.limits.criterion_views import short_name
from viz.limits.limit_board import CAUTION
from viz.number_words import MISSING
from viz.review.review_differences import proposal_words
from viz.review.review_numbers import rated_entries
from viz.review.review_rows import used_text
from viz.speed_words import rpm_text
from viz.verdict_words import MARGINAL, OVER, worst_verdict

NUMBERS = ("indicated_power", "indicated_mean_pressure", "mean_piston_speed", "big_end_load",
           "main_load", "rod_tension")  # fmt: skip
VERDICT_ROWS = 5  # that come first: what differs, rated speed, governing limit, over, marginal
RUNGS = ("rod_fatigue", "bolt_fatigue", "big_end_film", "main_film", "pin_fillet", "ring_lift")


@dataclass(frozen=True, slots=True)
class Column:
    """A variant as a column: its letter, what it is called, what it came from, its cycle."""

    letter: str
    name: str
    parent: str
    cycle: Cycle
    index: int | None = None  # among those kept; None of A and B


def variants_message(columns: list[Column]) -> dict[str, Any]:
    """Return the variants as columns; differences are from the first, the reference."""
    rows = variant_rows(columns)
    return {
        "columns": [
            {
                "letter": column.letter,
                "name": column.name,
                "parent": column.parent,
                "index": column.index,
                "verdict": _worst(speed_limits(column.cycle.design)),
            }
            for column in columns
        ],
        "rows": [{"label": label, "cells": cells} for label, cells in rows],
    }


def variant_rows(columns: list[Column]) -> list[tuple[str, list[str]]]:
    """Return each row's label and its cells."""
    first = columns[0].cycle.design
    ladders = [speed_limits(column.cycle.design) for column in columns]
    numbers = [rated_entries(column.cycle.design) for column in columns]
    rows = [
        ("Differs from A by", [_differs(first, column) for column in columns]),
        ("Rated speed", [rpm_text(ladder.rated) for ladder in ladders]),
        ("Governing limit", [_governing(ladder) for ladder in ladders]),
        ("Over", [_with_verdict(ladder, OVER) for ladder in ladders]),
        ("Marginal", [_with_verdict(ladder, MARGINAL) for ladder in ladders]),
    ]
    for key in RUNGS:
        found = [ladder.rung(key) for ladder in ladders]
        known = next((rung for rung in found if rung), None)
        if known is not None:
            name = short_name(known.criterion)
            cells = [used_text(rung) if rung else MISSING for rung in found]
            rows.append((f"Used: {name}", cells))
    for key in NUMBERS:
        entries = [own.get(key) for own in numbers]
        label = next((entry.label for entry in entries if entry), key)
        rows.append((label, [entry.side.text if entry else MISSING for entry in entries]))
    return rows


def variants_csv(columns: list[Column]) -> str:
    """Return the table as comma-separated values, the caution as its last row."""
    head = ["", *(f"{column.letter}: {column.name}" for column in columns)]
    rows = [[label, *cells] for label, cells in variant_rows(columns)]
    return csv_text([head, *rows, [CAUTION]])


def _differs(first: Any, column: Column) -> str:
    return proposal_words(first, column.cycle.design) or MISSING


def _governing(ladder: Ladder) -> str:
    lowest = ladder.lowest
    if lowest is None:
        return f"none up to {rpm_text(ladder.high)}"
    return f"{rpm_text(lowest.limit)}, {short_name(lowest.criterion)}"


def _with_verdict(ladder: Ladder, verdict: str) -> str:
    found = [short_name(rung.criterion) for rung in ladder if ladder.verdict(rung) == verdict]
    return "; ".join(found) or "none"


def _worst(ladder: Ladder) -> str:
    return worst_verdict({ladder.verdict(rung) for rung in ladder})
