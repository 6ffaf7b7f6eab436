"""The margin table as text for a terminal."""

from collections.abc import Sequence

from kinematics.design.design import Design
from kinematics.limits.speed_limits import Ladder
from viz.firing_words import firing_words
from viz.limits.limit_board import CAUTION, TABLE, margin_rows, sentence, unjudged_value
from viz.speed_words import rpm_text

SHOWN = (0, 1, 3, 4, 5, 6, 7, 8, 9, 10)  # columns of TABLE that a terminal has room for


def limits_text(ladder: Ladder) -> str:
    """Return the ladder in words: the sentence, the table, what is not assessed, the caution."""
    rows = [TABLE, *margin_rows(ladder)]
    shown = [[row[column] for column in SHOWN] for row in rows]
    lines = [
        ladder.design.name,
        f"Rated speed {rpm_text(ladder.rated)}, red line {rpm_text(ladder.red_line)}.",
        *firing_lines(ladder.design),
        sentence(ladder),
        "",
        *aligned(shown),
    ]
    for absent in ladder.unjudged:
        known = f" (now {value})" if (value := unjudged_value(absent)) else ""
        criterion = absent.criterion
        lines.append(f"Not assessed: {criterion.part}, {criterion.label}: {absent.why}{known}")
    return "\n".join([*lines, "", CAUTION, ""])


def firing_lines(design: Design) -> list[str]:
    """Return the line that says which cylinders do not fire alike; none where all do."""
    words = firing_words(design)
    return [f"{words}."] if words else []


def aligned(rows: Sequence[Sequence[str]]) -> list[str]:
    """Return rows of cells as lines with their columns under one another."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]
