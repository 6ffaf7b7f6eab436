"""The front of a report: the answer, the numbers that moved most, what is open."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice

from kinematics.design.design_origin import ASSUMED, DEFAULT, RULE
from kinematics.fit.fit_check import CLOSE, DOES_NOT_FIT, NOT_CHECKED
from kinematics.limits.speed_limits import Ladder, Rung
from viz.film.film_model_words import models_apart
from viz.firing_words import firing_words
from viz.limits.criterion_views import full_name
from viz.limits.limit_board import limit_text, margin_text
from viz.limits.rung_marks import DAGGER, doubt_words
from viz.number_words import MISSING, capitalised
from viz.report.difference_tables import DifferenceTable
from viz.report.report_inputs import input_groups
from viz.report.reviewed import Reviewed
from viz.verdict_words import GUIDE, MARGINAL, OVER

MOST_NUMBERS = 8
MOST_NAMED = 6  # of the criteria in one open point
UNSETTLED = {
    DEFAULT: "still at their default",
    RULE: "by rule of thumb",
    ASSUMED: "assumed",
}  # inputs by the word of their origin
UNVERIFIED = ("memory", "practice", "weak")
MOVED_RULE = (
    "The results whose size changes most relative to A, each design at its rated speed; what has "
    "no percentage (temperatures, angles, edge films, what starts from zero) is left out."
)
FIRST_RULE = "The first main numbers; all are below."


@dataclass(frozen=True, slots=True)
class FrontNumber:
    """A number on the front: its part and label, and its cells, each with the key it is under."""

    part: str
    label: str
    cells: tuple[tuple[str, str], ...]


def _named(rung: Rung) -> str:
    return _first_small(full_name(rung.criterion))


def _first_small(words: str) -> str:
    return f"{words[0].lower()}{words[1:]}"


def front_numbers(this: Reviewed, tables: Iterable[DifferenceTable]) -> tuple[FrontNumber, ...]:
    """Return the numbers that moved most against another design, else the first main numbers."""
    for table in tables:
        if table.key == "rated":
            return tuple(islice(_moved(table), MOST_NUMBERS))
    return tuple(
        FrontNumber("", number.label, ((f"main.{number.key}", number.words),))
        for number in this.numbers[:MOST_NUMBERS]
    )


def _moved(table: DifferenceTable) -> Iterable[FrontNumber]:
    for row, message in zip(table.rows, table.messages, strict=True):
        if row.in_percent and math.isfinite(row.change):
            keys = (f"{table.key}.{row.key}.{name}" for name in ("a", "b", "difference", "change"))
            cells = tuple(zip(keys, message["cells"], strict=True))
            yield FrontNumber(row.part, row.label, cells)


def open_points(this: Reviewed, other: Reviewed | None = None) -> list[tuple[str, str]]:
    """Return what a reviewer has to look at, each under a word: the worst first."""
    models = models_apart(other.design.oil if other else None, this.design.oil)
    ladder = this.ladder
    by_verdict = {
        word: [rung for rung in ladder.rungs if ladder.verdict(rung) == word]
        for word in (OVER, MARGINAL, GUIDE)
    }
    guides = [rung for rung in by_verdict[GUIDE] if 0 < rung.limit < ladder.red_line]
    marked = [rung for rung in ladder.rungs if rung.left_out]
    unsure = [rung for rung in ladder.rungs if rung.allowed.origin.confidence in UNVERIFIED]
    points = [
        ("Firing", firing_words(this.design)),
        ("Over", _listed(_with_margin(ladder, rung) for rung in by_verdict[OVER])),
        ("Marginal", _listed(_with_margin(ladder, rung) for rung in by_verdict[MARGINAL])),
        ("Guide passed", _listed(_with_margin(ladder, rung) for rung in guides)),
        *_of_fit(this),
        ("Not assessed", _listed(f"{what}: {why}" for what, why in this.missing)),
        (f"Left out {DAGGER}", _listed(map(_named, marked))),
        ("Allowables", _unsure(len(unsure), len(ladder.rungs))),
        ("Inputs", _unsettled(this)),
        ("Film models", models and f"{models}: changes of films hold those of the model"),
        *(("Warning", words) for words in this.cycle.train.warnings),
    ]
    return [(word, capitalised(words)) for word, words in points if words]


def _with_margin(ladder: Ladder, rung: Rung) -> str:
    doubt = doubt_words(rung) if rung.use_at <= 1 and rung.limit > ladder.red_line else ""
    words = f"{DAGGER} {doubt}" if doubt else margin_text(ladder, rung)
    return f"{_named(rung)} ({words if words != MISSING else limit_text(ladder, rung)})"


def _of_fit(this: Reviewed) -> Iterator[tuple[str, str]]:
    """Yield what does not fit, what is close, and what of fit is not checked."""
    by_outcome = {
        outcome: [check for check in this.fit if check.outcome == outcome]
        for outcome in (DOES_NOT_FIT, CLOSE, NOT_CHECKED)
    }
    yield "Does not fit", _listed(check.brief for check in by_outcome[DOES_NOT_FIT])
    yield "Close fit", _listed(check.sentence.rstrip(".") for check in by_outcome[CLOSE])
    yield (
        "Fit not checked",
        _listed(
            f"{_first_small(check.question.what)}: {check.sentence.rstrip('.')}"
            for check in by_outcome[NOT_CHECKED]
        ),
    )


def _unsettled(this: Reviewed) -> str:
    """Return how many inputs rest on a default, a rule of thumb or an assumption."""
    origins = [
        one.origin.partition(":")[0]
        for group in input_groups(this.design)
        for one in group.inputs
        if one.origin
    ]
    counted = [
        f"{origins.count(word)} {words}" for word, words in UNSETTLED.items() if origins.count(word)
    ]
    return f"of {len(origins)}, {', '.join(counted)}" if counted else ""


def _unsure(count: int, among: int) -> str:
    if not count:
        return ""
    return (
        f"{count} of {among} are from memory, common practice or a weak source: they compare "
        "designs and release none"
    )


def _listed(found: Iterable[str]) -> str:
    names = list(found)
    more = len(names) - MOST_NAMED
    return "; ".join(names[:MOST_NAMED]) + (f"; and {more} more" if more > 0 else "")
