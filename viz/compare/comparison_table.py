"""A comparison as the page and a file show it: two tables, every cell in words."""

import math
from typing import Any

from viz.compare.compared_inputs import BY_DEFAULT
from viz.compare.compared_row import Compared, Side
from viz.compare.comparison import Comparison
from viz.csv_text import Cell, csv_text
from viz.limits.limit_board import CAUTION
from viz.number_words import MISSING, format_number, signed
from viz.verdict_words import AT_SPEED

NO_SIZE = "differs"
SAME = "same"
NEAR_ZERO = "both near 0"
CHANGE_RULE = (
    "Change is that of the magnitude, (|B| − |A|) / |A|. A peak with two directions has a row for "
    "each: side thrust on the major and on the minor side, rod in compression and in tension. No "
    "percentage is given where it has no meaning: temperatures, angles, edge films, what "
    "changes sign or starts from zero, free forces below one piston's m·r·ω² and free moments "
    "below that times the throw spacing; below a thousandth of that they count as zero. The "
    "largest change stands first, temperatures by kelvin, angles by parts of a turn, edge films "
    "by parts of the straight film; what has no size of change, such as a word, stands before all."
)
LIMITS_TITLE = "Limits, each design's own up to its rated speed and red line"
HEAD = (
    "Table", "Part", "Quantity", "A", "B", "Unit", "Difference B - A", "Change, %", "Margin A, %",
    "Margin B, %", "Verdict A", "Verdict B",
)  # fmt: skip


def comparison_message(comparison: Comparison) -> dict[str, Any]:
    """Return all tables, their rows in words."""
    return {
        "a": comparison.a.name,
        "b": comparison.b.name,
        "inputs": [row_message(row) for row in comparison.inputs],
        "limits": {
            "key": "limits",
            "title": LIMITS_TITLE,
            "rows": [row_message(row) for row in comparison.limits],
        },
        "views": [
            {
                "key": view.key,
                "title": f"Results, {view.title}",
                "rows": [row_message(row) for row in view.results],
            }
            for view in comparison.views
        ],
        "note": CHANGE_RULE,
    }


def change_text(change: float) -> str:
    """Return a relative change in per cent, or a word where it has no size."""
    if change == 0:
        return SAME
    if not math.isfinite(change):
        return NO_SIZE
    share = 100 * change
    digits = 3 if abs(share) >= 1 else 2
    return f"{signed(share, format_number(abs(share), digits))} %"


def row_message(row: Compared) -> dict[str, Any]:
    """Return a row in words; its `size` is the size of its change in %, None where it has none."""
    return {
        "key": row.key,
        "part": row.part,
        "label": row.label,
        "cells": [row.a.text, row.b.text, row.difference, change_cell(row)],
        "margins": [row.a.margin, row.b.margin],
        "verdicts": [row.a.verdict, row.b.verdict],
        "verdict_words": [_verdict(row.a.verdict), _verdict(row.b.verdict)],
        "size": 100 * abs(row.change) if math.isfinite(row.change) else None,
    }


def change_cell(row: Compared) -> str:
    """Return a row's change; of two limits beyond the speeds looked at nothing can be said."""
    if row.change == 0 and row.a.text != row.b.text:
        return NEAR_ZERO if row.difference else MISSING
    told = row.in_percent or row.change == 0 or not math.isfinite(row.change)
    return change_text(row.change) if told else MISSING


def _verdict(key: str) -> str:
    """Return a verdict, or the state of a film at a speed, in words."""
    return AT_SPEED.get(key, key)


def comparison_csv(comparison: Comparison) -> str:
    """Return all tables as comma-separated values, header first, the caution as its last row."""
    tables = [("Input", comparison.inputs), ("Limit", comparison.limits)]
    tables += [(f"Result, {view.title}", view.results) for view in comparison.views]
    rows = [(title, row.part, row.label, *_cells(row)) for title, rows in tables for row in rows]
    designs = ["Design", "", "", comparison.a.name, comparison.b.name]
    return csv_text([HEAD, designs, *rows, [CHANGE_RULE], [CAUTION]])


def _cells(row: Compared) -> list[Cell]:
    a, b = row.a, row.b
    number = math.isfinite(row.change) and (row.in_percent or row.change == 0)
    change = 100 * row.change if number else change_cell(row)
    return [
        _value(a), _value(b), row.unit, row.move, change,
        a.margin_share, b.margin_share, _verdict(a.verdict), _verdict(b.verdict),
    ]  # fmt: skip


def _value(side: Side) -> Cell:
    """Return a side's one number, or its words where it is none or says more."""
    single = len(side.values) == 1 and math.isfinite(side.values[0])
    return side.values[0] if single and not side.text.endswith(BY_DEFAULT) else side.text
