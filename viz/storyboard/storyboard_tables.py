"""Tables on a step's stage: so many rows and columns as are read from the back of a room."""

from dataclasses import dataclass

from kinematics.limits.speed_limits import Ladder, speed_limits
from kinematics.train.cycle import Cycle
from viz.compare.compared_results import result_rows
from viz.compare.compared_row import Compared, by_change
from viz.compare.comparison import differing_inputs
from viz.compare.comparison_table import change_text
from viz.film.shown_films import ShownFilms
from viz.limits.limit_board import limit_text, margin_text, shown_value
from viz.number_words import MISSING, with_unit
from viz.review.review_card import card_message
from viz.review.review_rows import OTHER
from viz.review.variant_table import NUMBERS, VERDICT_ROWS, Column, variant_rows
from viz.verdict_words import AT_SPEED

MOST_ROWS = 10


@dataclass(frozen=True, slots=True)
class StageTable:
    """A head and rows in words; a row's last cell may be a verdict, whose word is its mark too.

    `more` says how many rows there are beside those shown, `answer` what the whole comes to.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    verdicts: tuple[str, ...] = ()
    more: int = 0
    answer: str = ""


def margins_table(ladder: Ladder) -> StageTable:
    """Return the first rungs of a ladder: value, allowable, limit, margin and verdict."""
    rungs = ladder.rungs[:MOST_ROWS]
    rows = tuple(
        (
            f"{rung.criterion.part}: {rung.criterion.label}",
            shown_value(rung, rung.value_at),
            shown_value(rung, rung.allowed.value),
            limit_text(ladder, rung),
            margin_text(ladder, rung),
            ladder.verdict(rung),
        )
        for rung in rungs
    )
    head = ("Criterion", "Most used", "Allowable", "Limit speed", "On rated speed", "Verdict")
    verdicts = tuple(ladder.verdict(rung) for rung in rungs)
    return StageTable(head, rows, verdicts, len(ladder.rungs) - len(rows))


def films_table(shown: ShownFilms) -> StageTable:
    """Return the bearings nearest their allowable film at the cycle's speed."""
    bearings = shown.sorted[:MOST_ROWS]
    rows = tuple(
        (
            bearing.title,
            with_unit(bearing.least, "um"),
            with_unit(bearing.limit, "um"),
            with_unit(bearing.edge, "um"),
            with_unit(float(bearing.films.temperature[bearing.index]), "degC", 4),
            AT_SPEED[bearing.state],
        )
        for bearing in bearings
    )
    head = ("Bearing", "Minimum film", "Allowable", "Edge film", "Oil", "At this speed")
    verdicts = tuple(bearing.state for bearing in bearings)
    return StageTable(head, rows, verdicts, len(shown.sorted) - len(rows))


def changes_table(reference: Cycle, now: Cycle) -> StageTable:
    """Return the results that change most against a reference, each at its cycle's speed."""
    rows = by_change(result_rows(reference, now))
    return _compared_table([row for row in rows if row.in_percent and row.change != 0])


def inputs_table(reference: Cycle, now: Cycle) -> StageTable:
    """Return the inputs that differ from a reference, the largest change first."""
    return _compared_table(list(differing_inputs(reference.design, now.design)))


def review_table(reference: Cycle, now: Cycle) -> StageTable:
    """Return the review card: the answer, and the criteria that a reviewer reads first."""
    a, b = speed_limits(reference.design), speed_limits(now.design)
    card = card_message(a, b)
    found = [row for group in card["groups"] if group["key"] != OTHER for row in group["rows"]]
    others = sum(len(group["rows"]) for group in card["groups"]) - len(found)
    shown = found[:MOST_ROWS]
    rows = tuple(
        (
            f"{row['part']}: {row['label']}", *row["used"], *row["limit_words"],
            *row["verdicts"],
        )
        for row in shown
    )  # fmt: skip
    head = ("Criterion", "A uses", "B uses", "Limit of A", "Limit of B", "Verdict A", "Verdict B")
    verdicts = tuple(row["verdicts"][-1] for row in shown)
    more = others + len(found) - len(shown)
    return StageTable(head, rows, verdicts, more, card["answer"])


def variants_table(columns: list[Column]) -> StageTable:
    """Return designs as columns: what differs from the first, its verdicts, power and IMEP."""
    found = variant_rows(columns)
    shown = [*found[:VERDICT_ROWS], *found[-len(NUMBERS) :][:2]]
    rows = tuple((label, *cells) for label, cells in shown)
    head = ("", *(f"{column.letter}: {column.name}" for column in columns))
    return StageTable(head, rows, more=len(found) - len(rows))


def _compared_table(found: list[Compared]) -> StageTable:
    rows = tuple(
        (f"{row.part}: {row.label}", row.a.text, row.b.text, row.difference, _change(row))
        for row in found[:MOST_ROWS]
    )
    head = ("", "Reference", "Now", "Difference", "Change")
    return StageTable(head, rows, more=len(found) - len(rows))


def _change(row: Compared) -> str:
    return change_text(row.change) if row.in_percent else MISSING
