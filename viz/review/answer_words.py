"""The answer of a review, as the card and the front of the report give it, word for word.

What becomes of the design at its rated speed, what does not fit, what governs, which verdicts
change, what is gained.
"""

from kinematics.limits.speed_limits import Ladder, Rung
from viz.fit.fit_board import fit_line
from viz.limits.criterion_views import short_name
from viz.limits.governing_words import limit_move, other_holder
from viz.review.review_numbers import number_rows, rated_entries
from viz.review.review_rows import VERDICT, changed_verdicts, grouped_pairs, used_text
from viz.speed_words import rpm_text
from viz.verdict_words import MARGINAL, OVER, WITHIN, worst_verdict

MOST_NAMED = 3  # rungs in the answer
POWER = "indicated_power"


def answer(b: Ladder, a: Ladder | None) -> str:
    """Return the answer on design B, against reference A if there is one, in a few sentences."""
    words = [_holds(b), _fit(b), _governing(b, a)]
    words += [_changes(b, a), _gained(b, a)] if a is not None else [_power(b)]
    return " ".join(word for word in words if word)


def answer_verdict(b: Ladder) -> str:
    """Return the worst verdict on design B, at best marginal where it does not fit."""
    worst = worst_verdict({b.verdict(rung) for rung in b})
    return worst if worst != WITHIN or fit_line(b.design)["fits"] else MARGINAL


def _holds(b: Ladder) -> str:
    over, marginal = (_with_verdict(b, verdict) for verdict in (OVER, MARGINAL))
    rated = rpm_text(b.rated)
    if over:
        return f"Over up to {rated}: {_named(over)}."
    if marginal:
        return (
            f"Holds {rated}, but marginal up to the red line, {rpm_text(b.red_line)}, or by what "
            f"is left out (†): {_named(marginal)}."
        )
    judged = [rung for rung in b if not rung.criterion.guide]
    if not judged:
        return "Nothing can be assessed: the design lacks what the criteria need."
    return f"Holds {rated}: all {len(judged)} criteria are within up to {rpm_text(b.red_line)}."


def _fit(b: Ladder) -> str:
    """Say what does not fit; nothing where all does."""
    fit = fit_line(b.design)
    return "" if fit["fits"] else f"{fit['line']}."


def _with_verdict(ladder: Ladder, verdict: str) -> list[Rung]:
    return [rung for rung in ladder if ladder.verdict(rung) == verdict]


def _named(rungs: list[Rung]) -> str:
    named = [f"{short_name(rung.criterion)} {used_text(rung)}" for rung in rungs]
    more = len(named) - MOST_NAMED
    return ", ".join(named[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def _governing(b: Ladder, a: Ladder | None) -> str:
    after = b.lowest
    if after is None:
        return ""
    if after.limit == 0:
        return f"Over at every speed: {short_name(after.criterion)}."
    words = f"Governing limit {rpm_text(after.limit)}, {short_name(after.criterion)}"
    if a is None or a.lowest is None:
        return f"{words}, {_from_rated(b, after)} rated."
    holder = other_holder(b, a)
    by = f" by {holder}" if holder else ""
    return (
        f"{words}, {limit_move(b, a, 'A')}, {_from_rated(b, after)} rated "
        f"(A {rpm_text(a.lowest.limit)}{by}, {_from_rated(a, a.lowest)} its own)."
    )


def _from_rated(ladder: Ladder, rung: Rung) -> str:
    margin = rung.limit - ladder.rated
    return f"{rpm_text(abs(margin))} {'above' if margin >= 0 else 'below'}"


def _changes(b: Ladder, a: Ladder) -> str:
    changed = changed_verdicts(grouped_pairs(a, b)[VERDICT])
    return f"Verdicts that change: {changed}." if changed else "No verdict changes."


def _gained(b: Ladder, a: Ladder) -> str:
    power = next(row for row in number_rows(a.design, b.design) if row["key"] == POWER)
    return f"Indicated power {' to '.join(power['values'])} ({power['move']})."


def _power(b: Ladder) -> str:
    return f"Indicated power {rated_entries(b.design)[POWER].side.text} at rated."
