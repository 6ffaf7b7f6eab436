"""Which difference does what, as the review card has it: a table, and a line for each limit."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from kinematics.limits.attribution import LadderAttribution, ladder_attribution
from viz.number_words import MISSING
from viz.report.reviewed import Reviewed
from viz.review.limit_moves import LimitMove, limit_moves
from viz.review.review_card import RULE, card_attributions
from viz.review.review_differences import DifferenceWords, difference_words
from viz.review.review_numbers import number_rows
from viz.review.review_rows import CLOSE, VERDICT, grouped_pairs, row_message

MOST_RUNGS = 4  # on the front
FRONT_NUMBERS = ("rod_tension", "big_end_load", "main_load")  # power is in the answer


@dataclass(frozen=True, slots=True)
class AttributedRow:
    """A criterion or a main number: in A, in B, its change, and by each difference, last the rest.

    Of a criterion the share used; its changes are in points of per cent.
    """

    key: str
    part: str
    label: str
    sides: tuple[str, str]
    change: str
    by: tuple[str, ...]

    @property
    def cells(self) -> list[tuple[str, str]]:
        """The cells that are numbers, each with the key that it is stated under."""
        names = ("a", "b", "change", *(str(place) for place in range(1, len(self.by) + 1)))
        words = (*self.sides, self.change, *self.by)
        return [(f"by.{self.key}.{name}", own) for name, own in zip(names, words, strict=True)]


@dataclass(frozen=True, slots=True)
class Attributed:
    """All changes from A to B, by each difference; `front` are those that are read first."""

    differences: tuple[DifferenceWords, ...]
    front: tuple[AttributedRow, ...]
    rows: tuple[AttributedRow, ...]
    limits: tuple[LimitMove, ...]
    rule: str = RULE


def attributed(this: Reviewed, other: Reviewed) -> Attributed:
    """Return which difference of a design from another does what."""
    attribution = ladder_attribution(other.ladder, this.ladder)
    moves = card_attributions(attribution)
    rungs = _rung_rows(attribution, moves["rungs"])
    numbers = [
        AttributedRow(row["key"], "Main numbers", row["label"], tuple(row["values"]), row["move"],
                      _texts(moves["numbers"].get(row["key"])))
        for row in number_rows(other.design, this.design)
    ]  # fmt: skip
    front = [*rungs[:MOST_RUNGS], *(row for row in numbers if row.key in FRONT_NUMBERS)]
    words = difference_words(other.design, this.design)
    return Attributed(words, tuple(front), (*rungs, *numbers), limit_moves(attribution))


def _rung_rows(attribution: LadderAttribution, moves: dict[str, Any]) -> list[AttributedRow]:
    """Return the criteria of both designs, verdicts that change and the closest first."""
    pair = (attribution.a, attribution.b)
    groups = grouped_pairs(*pair)
    order = [*groups[VERDICT], *groups[CLOSE]]
    order += [own for pairs in groups.values() for own in pairs if own not in order]
    found = [(row_message(own, pair), own) for own in order if own.a and own.b]
    return [
        AttributedRow(
            f"used.{row['key']}", row["part"], row["label"], tuple(row["used"]), row["move"],
            _texts(moves[row["key"]]),
        )
        for row, _ in found
    ]  # fmt: skip


def _texts(message: dict[str, Any] | None) -> tuple[str, ...]:
    cells: Iterable[Any] = message["by"] if message else ()
    return tuple(MISSING if cell is None else cell["text"] for cell in cells)
