"""The review card as the page shows it: the answer, then what changes and by which difference."""

from typing import Any

from kinematics.limits.attribution import LadderAttribution
from kinematics.limits.speed_limits import Ladder, Rung
from kinematics.train.cycle import Cycle
from viz.review.review_differences import difference_words
from viz.review.review_numbers import number_attributions, number_rows
from viz.review.review_rows import (
    GROUPS,
    VERDICT,
    Pair,
    attribution_message,
    changed_verdicts,
    criteria_of,
    grouped_pairs,
    row_message,
    short_name,
    used_text,
)
from viz.speed_words import rpm, rpm_text
from viz.verdict_words import MARGINAL, OVER, worst_verdict

AXIS = (0.8, 1.6)  # of the rated speeds: where decisions fall; limits beyond are given in words
MOST_NAMED = 3  # rungs in the answer
RULE = (
    "Used: largest share of the allowable up to each design's own rated speed. By: what A's use "
    "becomes with that difference alone, in points of per cent; rest: what they do together, and "
    "what A cannot have alone. Main numbers at each design's rated speed, in per cent of A's."
)
CURVE_GAS = "Power follows the full-load curve of each design at its rated speed."
SAME_GAS = "Power assumes the same cylinder pressure at every speed."


def card_message(a: Ladder, b: Ladder, cycles: tuple[Cycle, Cycle]) -> dict[str, Any]:
    """Return the card without attributions, which `card_attributions` gives afterwards."""
    groups, numbers = grouped_pairs(a, b), number_rows(*cycles)
    return {
        "names": [a.design.name, b.design.name],
        "rated": [rpm(ladder.rated) for ladder in (a, b)],
        "redline": [rpm(ladder.red_line) for ladder in (a, b)],
        "axis": _axis(a, b),
        "verdict": worst_verdict({b.verdict(rung) for rung in b}),
        "answer": answer(a, b, groups[VERDICT], numbers),
        "differences": [
            {"key": own.key, "label": own.label, "by": own.by, "values": own.values}
            for own in difference_words(a.design, b.design)
        ],
        "groups": [
            {
                "key": key,
                "title": title,
                "rows": [row_message(pair, (a, b)) for pair in groups[key]],
            }
            for key, title in GROUPS.items()
        ],
        "numbers": numbers,
        "gas": gas_words(b, numbers),
        "rule": RULE,
    }


def card_attributions(attribution: LadderAttribution) -> dict[str, Any]:
    """Return by the row's key what each difference does, as the card's columns have it."""
    a, b = attribution.a, attribution.b
    keys = [own.key for own in difference_words(a.design, b.design)]
    rungs = {key: attribution_message(attribution.use(key), keys) for key in criteria_of(a, b)}
    return {"rungs": rungs, "numbers": number_attributions(attribution, keys)}


def answer(a: Ladder, b: Ladder, changing: list[Pair], numbers: list[dict[str, Any]]) -> str:
    """Return what becomes of B at its rated speed, what governs, what changes, what is gained."""
    changed = changed_verdicts(changing)
    words = [_holds(b), _governing(a, b)]
    words.append(f"Verdicts that change: {changed}." if changed else "No verdict changes.")
    power = next(row for row in numbers if row["key"] == "indicated_power")
    words.append(f"Indicated power {' to '.join(power['values'])} ({power['move']}).")
    return " ".join(word for word in words if word)


def _holds(b: Ladder) -> str:
    over, marginal = (_with_verdict(b, verdict) for verdict in (OVER, MARGINAL))
    rated = rpm_text(b.rated)
    if over:
        return f"Over at {rated}: {_named(over)}."
    if marginal:
        return (
            f"Holds {rated}, but marginal up to the red line, {rpm_text(b.red_line)}, or by what "
            f"is left out (†): {_named(marginal)}."
        )
    judged = [rung for rung in b if not rung.criterion.guide]
    if not judged:
        return "Nothing can be assessed: the design lacks what the criteria need."
    return f"Holds {rated}: all {len(judged)} criteria are within up to {rpm_text(b.red_line)}."


def _with_verdict(ladder: Ladder, verdict: str) -> list[Rung]:
    return [rung for rung in ladder if ladder.verdict(rung) == verdict]


def _named(rungs: list[Rung]) -> str:
    named = [f"{short_name(rung.criterion)} {used_text(rung)}" for rung in rungs]
    more = len(named) - MOST_NAMED
    return ", ".join(named[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def _governing(a: Ladder, b: Ladder) -> str:
    before, after = a.lowest, b.lowest
    if after is None:
        return ""
    margin = after.limit - b.rated
    where = f"{rpm_text(abs(margin))} {'above' if margin >= 0 else 'below'} rated"
    words = f"Governing limit {rpm_text(after.limit)}, {short_name(after.criterion)}, {where}"
    if before is None:
        return f"{words}."
    own = before.limit - a.rated
    side = "above" if own >= 0 else "below"
    by = (
        ""
        if before.criterion.key == after.criterion.key
        else (f" by {short_name(before.criterion)}")
    )
    return f"{words} (A {rpm_text(before.limit)}{by}, {rpm_text(abs(own))} {side} its own)."


def gas_words(b: Ladder, numbers: list[dict[str, Any]]) -> str:
    """Return on which gas the power rests, with the mean pressure assumed."""
    mean = next(row for row in numbers if row["key"] == "indicated_mean_pressure")
    assumed = CURVE_GAS if b.design.full_load else SAME_GAS
    return f"{assumed} IMEP {mean['values'][1]} at {rpm_text(b.rated)}."


def _axis(a: Ladder, b: Ladder) -> list[float]:
    """Return the ends of the limits' axis [rpm]."""
    rated = [rpm(ladder.rated) for ladder in (a, b)]
    return [AXIS[0] * min(rated), AXIS[1] * max(rated)]
