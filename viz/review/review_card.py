"""The review card as the page shows it: the answer, then what changes and by which difference."""

from typing import Any

from kinematics.limits.attribution import LadderAttribution
from kinematics.limits.speed_limits import Ladder
from viz.review.answer_words import answer, answer_verdict
from viz.review.limit_moves import TITLE, limit_moves
from viz.review.review_differences import difference_words
from viz.review.review_numbers import number_attributions, number_rows
from viz.review.review_rows import (
    GROUPS,
    attribution_message,
    criteria_of,
    grouped_pairs,
    row_message,
)
from viz.speed_words import rpm, rpm_text

AXIS = (0.8, 1.6)  # of the rated speeds: where decisions fall; limits beyond are given in words
RULE = (
    "Used: largest share of the allowable up to each design's own rated speed. By: what A's use "
    "becomes with that difference alone, in points of per cent; rest: what they do together, and "
    "what A cannot have alone. Main numbers at each design's rated speed, in per cent of A's."
)
CURVE_GAS = "Power follows the full-load curve of each design at its rated speed."
SAME_GAS = "Power assumes the same cylinder pressure at every speed."


def card_message(a: Ladder, b: Ladder) -> dict[str, Any]:
    """Return the card without attributions, which `card_attributions` gives afterwards."""
    groups, numbers = grouped_pairs(a, b), number_rows(a.design, b.design)
    return {
        "names": [a.design.name, b.design.name],
        "rated": [rpm(ladder.rated) for ladder in (a, b)],
        "redline": [rpm(ladder.red_line) for ladder in (a, b)],
        "axis": _axis(a, b),
        "verdict": answer_verdict(b),
        "answer": answer(b, a),
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


def card_limits(attribution: LadderAttribution) -> dict[str, Any]:
    """Return a heading and how limits move by each difference; no lines where none moves."""
    return {"title": TITLE, "lines": [move.words for move in limit_moves(attribution)]}


def gas_words(b: Ladder, numbers: list[dict[str, Any]]) -> str:
    """Return on which gas the power rests, with the mean pressure assumed."""
    mean = next(row for row in numbers if row["key"] == "indicated_mean_pressure")
    assumed = CURVE_GAS if b.design.full_load else SAME_GAS
    return f"{assumed} IMEP {mean['values'][1]} at {rpm_text(b.rated)}."


def _axis(a: Ladder, b: Ladder) -> list[float]:
    """Return the ends of the limits' axis [rpm]."""
    rated = [rpm(ladder.rated) for ladder in (a, b)]
    return [AXIS[0] * min(rated), AXIS[1] * max(rated)]
