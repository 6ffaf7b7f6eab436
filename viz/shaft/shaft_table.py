"""Tables of the shaft's page: one record, shown as a message and saved as CSV."""

from dataclasses import dataclass
from typing import Any

from viz.csv_text import Cell, csv_text
from viz.number_words import format_number

__all__ = ["Cell", "Table", "table_message", "tables_csv"]


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
                "caption": table.caption,
                "head": list(table.head),
                "rows": [[_words(cell) for cell in row] for row in table.rows],
                "strong": table.strong,
            }
            for table in tables
        ],
    }


def tables_csv(*tables: Table) -> str:
    """Return tables as CSV, a caption and an empty line between them."""
    return "\n".join(csv_text([[table.caption], table.head, *table.rows]) for table in tables)


def _words(cell: Cell) -> str:
    if cell is None:
        return "–"
    return cell if isinstance(cell, str) else format_number(cell, 3)
