"""The margin table as text for a terminal."""

from collections.abc import Sequence

from kinematics.design.design import Design
from kinematics.fit.fit_check import CLOSE, DOES_NOT_FIT
from kinematics.fit.fit_checks import fit_checks
from kinematics.limits.speed_limits import Ladder
from viz.firing_words import firing_words
from viz.fit.fit_board import line_words
from viz.limits.criterion_views import full_name
from viz.limits.limit_board import CAUTION, sentence, unjudged_value
from viz.limits.margin_table import TABLE, margin_rows
from viz.limits.rung_marks import DAGGER, LEFT_OUT_TITLE, left_out_words
from viz.number_words import MISSING
from viz.speed_words import rpm_text

VERDICT, LEFT_OUT = TABLE.index("Verdict"), TABLE.index(LEFT_OUT_TITLE)
SHOWN = (0, 1, 3, 4, 5, 6, 7, 8, 9, 10, 12)  # columns of TABLE that a terminal has room for


def limits_text(ladder: Ladder) -> str:
    """Return the ladder in words: sentence, fit, table, what is not assessed, caution."""
    rows = [TABLE, *(_with_dagger(row) for row in margin_rows(ladder))]
    shown = [[row[column] for column in SHOWN] for row in rows]
    lines = [
        ladder.design.name,
        f"Rated speed {rpm_text(ladder.rated)}, red line {rpm_text(ladder.red_line)}.",
        *firing_lines(ladder.design),
        sentence(ladder),
        *fit_lines(ladder.design),
        "",
        *aligned(shown),
    ]
    lines += left_out_lines(ladder)
    for absent in ladder.unjudged:
        known = f" (now {value})" if (value := unjudged_value(absent)) else ""
        criterion = absent.criterion
        lines.append(f"Not assessed: {criterion.part}, {criterion.label}: {absent.why}{known}")
    return "\n".join([*lines, "", CAUTION, ""])


def firing_lines(design: Design) -> list[str]:
    """Return the line that says which cylinders do not fire alike; none where all do."""
    words = firing_words(design)
    return [f"{words}."] if words else []


def fit_lines(design: Design) -> list[str]:
    """Return the line of fit, and under it every check that does not fit or is close."""
    checks = fit_checks(design)
    noted = [check for check in checks if check.outcome in (DOES_NOT_FIT, CLOSE)]
    return [line_words(checks), *(f"  {check.outcome}: {check.sentence}" for check in noted)]


def _with_dagger(row: tuple[str, ...]) -> tuple[str, ...]:
    """Return a row with a dagger at its verdict where something left out applies."""
    if row[LEFT_OUT] == MISSING:
        return row
    return (*row[:VERDICT], f"{row[VERDICT]} {DAGGER}", *row[VERDICT + 1 :])


def left_out_lines(ladder: Ladder) -> list[str]:
    """Return what is left out and applies to the design, each once with its criteria."""
    found: dict[str, list[str]] = {}
    for rung in ladder.rungs:
        for words in left_out_words(rung):
            found.setdefault(words, []).append(full_name(rung.criterion))
    lines = [f"{DAGGER} {words} [{'; '.join(names)}]" for words, names in found.items()]
    return ["", f"{LEFT_OUT_TITLE}:", *lines, ""] if lines else []


def aligned(rows: Sequence[Sequence[str]]) -> list[str]:
    """Return rows of cells as lines with their columns under one another."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]
