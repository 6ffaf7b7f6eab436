"""Comma-separated values: the one writer of every table that Python saves.

A spreadsheet takes a text that starts with = + - @, a tab or a carriage return for a formula and
runs it. An apostrophe before it keeps it text. Numbers are written as numbers, with their sign.
(OWASP, CSV Injection, lists these characters and their full-width forms; from memory.)
"""

import math
import re
from collections.abc import Iterable, Sequence

from viz.number_words import THIN_SPACE

Cell = str | float | None  # None, or a number that is none: an empty cell
LIVE = tuple("=+-@\t\r＝＋－＠")
DIGITS = 9


def csv_text(rows: Iterable[Sequence[Cell]]) -> str:
    """Return rows as comma-separated values, each line ended by LF."""
    return "".join(",".join(map(_written, row)) + "\n" for row in rows)


def _written(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        text = cell.replace(THIN_SPACE, "")
        text = f"'{text}" if text.startswith(LIVE) else text
        return '"' + text.replace('"', '""') + '"' if re.search(r'[",\r\n]', text) else text
    return f"{float(cell):.{DIGITS}g}" if math.isfinite(cell) else ""
