"""Tables of the shaft's page: one record, shown as a message and saved as CSV."""

import csv
import io
from dataclasses import dataclass
from typing import Any

from viz.number_words import format_number

Cell = str | float | None  # None: there is no such thing


@dataclass(frozen=True, slots=True)
class Table:
    """A caption, heads and rows; the first cell of a row names it, numbers are as shown now."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    strong: int = -1  # place of the row that stands out


def table_message(*tables: Table, notes: tuple[str, ...] = ()) -> dict[str, Any]:
    """Return tables under one another, with sentences before them, as plain JSON."""
    return {
        "notes": list(notes),
        "tables": [
            {
                "caption": one.caption,
                "head": list(one.head),
                "rows": [[_words(cell) for cell in row] for row in one.rows],
                "strong": one.strong,
            }
            for one in tables
        ],
    }


def tables_csv(*tables: Table) -> str:
    """Return tables as CSV, a caption and an empty line between them."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for place, one in enumerate(tables):
        writer.writerows([[]] if place else [])
        writer.writerow([one.caption])
        writer.writerow(one.head)
        writer.writerows([[_plain(cell) for cell in row] for row in one.rows])
    return out.getvalue()


def _words(cell: Cell) -> str:
    if cell is None:
        return "–"
    return cell if isinstance(cell, str) else format_number(cell, 3)


def _plain(cell: Cell) -> str:
    if cell is None:
        return ""
    return cell if isinstance(cell, str) else f"{cell:.6g}"
