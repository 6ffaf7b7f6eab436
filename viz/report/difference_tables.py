"""The comparison as a report prints it: its tables without the rows that are the same in both."""

from dataclasses import dataclass
from typing import Any

from viz.compare.compared_row import Compared
from viz.compare.comparison import Comparison
from viz.compare.comparison_table import LIMITS_TITLE, row_message


@dataclass(frozen=True, slots=True)
class DifferenceTable:
    """Rows that differ, each in words too, and how many others are the same in both designs."""

    key: str
    title: str
    head: str  # of the first column
    rows: tuple[Compared, ...]
    same: int

    @property
    def messages(self) -> list[dict[str, Any]]:
        """The rows in words, as on the comparison page."""
        return [row_message(row) for row in self.rows]


def difference_tables(comparison: Comparison) -> tuple[DifferenceTable, ...]:
    """Return the tables of a comparison: inputs, results in both views, limits."""
    inputs = _table(
        "inputs", "Inputs that differ, largest change first", "Input", comparison.inputs
    )
    results = [
        _table(view.key, f"Results, {view.title}", "Result", view.results)
        for view in comparison.views
    ]
    return (inputs, *results, _table("limits", LIMITS_TITLE, "Limit", comparison.limits))


def _table(key: str, title: str, head: str, rows: tuple[Compared, ...]) -> DifferenceTable:
    differing = tuple(row for row in rows if row.change != 0)
    return DifferenceTable(key, title, head, differing, len(rows) - len(differing))
