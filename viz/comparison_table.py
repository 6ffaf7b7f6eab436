"""A comparison as the page and a file show it: two tables, every cell in words."""

import math
from typing import Any

from kinematics.cycle import Cycle
from viz.compared_inputs import BY_DEFAULT
from viz.compared_row import Compared, Side
from viz.comparison import Comparison
from viz.csv_text import Cell, csv_text
from viz.limit_board import CAUTION, rpm_text
from viz.number_words import MISSING, format_number, signed

NO_SIZE = "differs"
SAME = "same"
NEAR_ZERO = "both near 0"
CHANGE_RULE = (
    "Main numbers and films are each at the design's own speed; limits at its rated or idle "
    "speed. The change is over A; of temperatures in kelvin, of directions in parts of a full "
    "turn. What has no size of change, such as a word, stands first. Free forces and moments "
    "change in parts of one piston's m·r·ω² (times the throw spacing), films with tilt in parts "
    "of the film without; what is below a thousandth of that counts as zero."
)
HEAD = (
    "Table", "Part", "Quantity", "A", "B", "Unit", "Difference B - A", "Change, %", "Margin A, %",
    "Margin B, %", "Verdict A", "Verdict B",
)  # fmt: skip


def comparison_message(comparison: Comparison) -> dict[str, Any]:
    """Return both tables; a row's `size` is the size of its change in %, None where it has none."""
    return {
        "a": cycle_words(comparison.a),
        "b": cycle_words(comparison.b),
        "inputs": [_row_message(row) for row in comparison.inputs],
        "results": [_row_message(row) for row in comparison.results],
        "note": CHANGE_RULE,
    }


def cycle_words(cycle: Cycle) -> str:
    """Return a design's name and speed."""
    return f"{cycle.design.name} at {rpm_text(cycle.speed)}"


def change_text(change: float) -> str:
    """Return a relative change in per cent, or a word where it has no size."""
    if change == 0:
        return SAME
    if not math.isfinite(change):
        return NO_SIZE
    share = 100 * change
    digits = 3 if abs(share) >= 1 else 2
    return f"{signed(share, format_number(abs(share), digits))} %"


def _row_message(row: Compared) -> dict[str, Any]:
    return {
        "key": row.key,
        "part": row.part,
        "label": row.label,
        "cells": [row.a.text, row.b.text, row.difference, _change(row)],
        "margins": [row.a.margin, row.b.margin],
        "verdicts": [row.a.verdict, row.b.verdict],
        "size": 100 * abs(row.change) if math.isfinite(row.change) else None,
    }


def _change(row: Compared) -> str:
    """Return a row's change; of two limits beyond the speeds looked at nothing can be said."""
    if row.change == 0 and row.a.text != row.b.text:
        return NEAR_ZERO if row.difference else MISSING
    return change_text(row.change)


def comparison_csv(comparison: Comparison) -> str:
    """Return both tables as comma-separated values, header first, the caution as its last row."""
    designs = [cycle_words(one) for one in (comparison.a, comparison.b)]
    tables = (("Input", comparison.inputs), ("Result", comparison.results))
    rows = [(title, row.part, row.label, *_cells(row)) for title, rows in tables for row in rows]
    return csv_text([HEAD, ["Design", "", "", *designs], *rows, [CAUTION]])


def _cells(row: Compared) -> list[Cell]:
    a, b = row.a, row.b
    change = 100 * row.change if math.isfinite(row.change) else NO_SIZE
    return [
        _value(a), _value(b), row.unit, row.move, change,
        a.margin_share, b.margin_share, a.verdict, b.verdict,
    ]  # fmt: skip


def _value(side: Side) -> Cell:
    """Return a side's one number, or its words where it is none or says more."""
    single = len(side.values) == 1 and math.isfinite(side.values[0])
    return side.values[0] if single and not side.text.endswith(BY_DEFAULT) else side.text
