"""The front of a report: the answer, the numbers that moved most, what is open."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice

from kinematics.limits.speed_limits import Ladder, Rung
from viz.firing_words import firing_words
from viz.limits.criterion_views import full_name
from viz.limits.limit_board import limit_text, margin_text
from viz.limits.rung_marks import DAGGER, doubt_words
from viz.number_words import MISSING, capitalised
from viz.report.difference_tables import DifferenceTable
from viz.report.reviewed import Reviewed
from viz.verdict_words import GUIDE, MARGINAL, OVER, VERDICTS, worst_verdict

MOST_NUMBERS = 8
MOST_NAMED = 6  # of the criteria in one open point
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


def answer(this: Reviewed, other: Reviewed | None) -> str:
    """Return the answer in one sentence: what changes in verdict first, then the verdict."""
    own = f"{_verdict_words(this.ladder)}{_first_words(this.ladder)}"
    if other is None:
        return f"{capitalised(own)}."
    changes = _changes(other.ladder, this.ladder)
    before = f"{_verdict_words(other.ladder)}{_first_words(other.ladder)}"
    return f"{capitalised(changes)}; B is {own} (A: {before})."


def _verdict_words(ladder: Ladder) -> str:
    word = worst_verdict({ladder.verdict(rung) for rung in ladder.rungs})
    return f"{word} ({VERDICTS[word]})" if word == OVER else word or "not assessed"


def _first_words(ladder: Ladder) -> str:
    first = ladder.lowest
    if first is None:
        return ", no limit at the speeds looked at" if ladder.rungs else ""
    return f", first limit {_named(first)}, {limit_text(ladder, first)}"


def _named(rung: Rung) -> str:
    name = full_name(rung.criterion)
    return f"{name[0].lower()}{name[1:]}"


def _changes(before: Ladder, after: Ladder) -> str:
    """Return which verdicts change from one ladder to another, the worse ones first."""
    worse: list[str] = []
    better: list[str] = []
    order = list(VERDICTS)
    for rung in after.rungs:
        known = before.rung(rung.criterion.key)
        if known is None or rung.criterion.guide or known.criterion.guide:
            continue
        was, now = before.verdict(known), after.verdict(rung)
        if was != now:
            words = f"{_named(rung)} {was} → {now}"
            (worse if order.index(now) < order.index(was) else better).append(words)
    parts = [
        f"{len(found)} {'verdict gets' if len(found) == 1 else 'verdicts get'} {which}: "
        + _listed(found)
        for found, which in ((worse, "worse"), (better, "better"))
        if found
    ]
    return "; ".join(parts) or "no verdict changes against A"


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
        if row.in_percent:
            keys = (f"{table.key}.{row.key}.{name}" for name in ("a", "b", "difference", "change"))
            cells = tuple(zip(keys, message["cells"], strict=True))
            yield FrontNumber(row.part, row.label, cells)


def open_points(this: Reviewed) -> list[tuple[str, str]]:
    """Return what a reviewer has to look at, each under a word: the worst first."""
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
        ("Not assessed", _listed(f"{what}: {why}" for what, why in this.missing)),
        (f"Left out {DAGGER}", _listed(map(_named, marked))),
        ("Allowables", _unsure(len(unsure), len(ladder.rungs))),
        *(("Warning", words) for words in this.cycle.train.warnings),
    ]
    return [(word, capitalised(words)) for word, words in points if words]


def _with_margin(ladder: Ladder, rung: Rung) -> str:
    doubt = doubt_words(rung) if rung.use_at <= 1 and rung.limit > ladder.red_line else ""
    words = f"{DAGGER} {doubt}" if doubt else margin_text(ladder, rung)
    return f"{_named(rung)} ({words if words != MISSING else limit_text(ladder, rung)})"


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
