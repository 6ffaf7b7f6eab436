"""The rungs that a reviewer reads first: verdicts that change, what is worse, what is closest."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from kinematics.limits.attribution import Attribution
from kinematics.limits.speed_limits import Ladder, Rung
from viz.limits.criterion_views import short_name
from viz.limits.limit_board import limit_text, shown_value
from viz.number_words import MISSING, format_number, format_whole, signed
from viz.speed_words import rpm, rpm_text
from viz.verdict_words import GUIDE, VERDICTS, WITHIN

FELT = 0.005  # of the allowable; a smaller change of use is not felt
MOST_CLOSE, MOST_WORSE, MOST_BETTER = 5, 4, 4
VERDICT, CLOSE, WORSE, BETTER, OTHER = "verdict", "close", "worse", "better", "other"
GROUPS = {
    VERDICT: "Verdicts that change",
    CLOSE: "Closest to their allowable",
    WORSE: "Use more",
    BETTER: "Use less",
    OTHER: "All others",
}
NOT_ASSESSED = "not assessed"
OVER_GUIDE = "guide, over"
_WORST_FIRST = (*VERDICTS, OVER_GUIDE, GUIDE, NOT_ASSESSED)


@dataclass(frozen=True, slots=True)
class Pair:
    """A criterion in both ladders; a rung that one lacks is None."""

    key: str
    a: Rung | None
    b: Rung | None
    verdicts: tuple[str, str]

    @property
    def known(self) -> Rung:
        """The rung of B, else that of A."""
        found = self.b or self.a
        assert found is not None
        return found

    @property
    def move(self) -> float:
        """Change of the share used; 0 where one lacks the rung."""
        return self.b.use_at - self.a.use_at if self.a and self.b else 0.0

    @property
    def is_guide(self) -> bool:
        """Whether it is a rule of thumb, which proves nothing."""
        return self.known.criterion.guide


def grouped_pairs(a: Ladder, b: Ladder) -> dict[str, list[Pair]]:
    """Return all criteria of both ladders by group, each in its first group, the worst first."""
    left = _pairs(a, b)
    found = {VERDICT: sorted((own for own in left if len(set(own.verdicts)) > 1), key=_by_verdict)}
    left = [own for own in left if own not in found[VERDICT]]
    close = [own for own in left if not own.is_guide and own.b is not None]
    found[CLOSE] = sorted(close, key=lambda own: _by_closeness(own, b))[:MOST_CLOSE]
    left = [own for own in left if own not in found[CLOSE]]
    worse = [own for own in left if own.move >= FELT and not own.is_guide]
    found[WORSE] = sorted(worse, key=lambda own: -own.move)[:MOST_WORSE]
    left = [own for own in left if own not in found[WORSE]]
    better = [own for own in left if own.move <= -FELT and not own.is_guide]
    found[BETTER] = sorted(better, key=lambda own: own.move)[:MOST_BETTER]
    found[OTHER] = [own for own in left if own not in found[BETTER]]
    return found


def criteria_of(a: Ladder, b: Ladder) -> list[str]:
    """Return the keys of the criteria of either ladder, those of b first."""
    return list(dict.fromkeys(rung.criterion.key for rung in (*b, *a)))


def _pairs(a: Ladder, b: Ladder) -> list[Pair]:
    return [
        Pair(key, a.rung(key), b.rung(key), (verdict_of(a, key), verdict_of(b, key)))
        for key in criteria_of(a, b)
    ]


def verdict_of(ladder: Ladder, key: str) -> str:
    """Return the verdict on a criterion, of a guide whether it is passed, or that there is none."""
    rung = ladder.rung(key)
    if rung is None:
        return NOT_ASSESSED
    verdict = ladder.verdict(rung)
    return OVER_GUIDE if verdict == GUIDE and rung.use_at > 1 else verdict


def _by_verdict(pair: Pair) -> tuple[int, int, float]:
    """Return what orders changed verdicts: the worst of B first, guides after all else."""
    before, after = (_WORST_FIRST.index(verdict) for verdict in pair.verdicts)
    return (pair.is_guide, after, before - after)


def _by_closeness(pair: Pair, b: Ladder) -> tuple[bool, bool, float]:
    """Return what orders rungs by closeness: what governs, what is not within, then by use."""
    return (pair.b is not b.lowest, pair.verdicts[1] == WITHIN, -pair.known.use_at)


def row_message(pair: Pair, ladders: tuple[Ladder, Ladder]) -> dict[str, Any]:
    """Return a criterion's row, without its attribution: verdicts, use, limits as the strip has."""
    sides = list(_sides(pair, ladders))
    return {
        "key": pair.key,
        "part": pair.known.criterion.part,
        "label": pair.known.criterion.label,
        "verdicts": [side["verdict"] for side in sides],
        "used": [side["used"] for side in sides],
        "values": [side["value"] for side in sides],
        "limits": [side["limit"] for side in sides],
        "limit_words": [side["limit_words"] for side in sides],
        "limit_move": _limit_move(*(side["limit"] for side in sides)),
        "governs": pair.b is not None and pair.b is ladders[1].lowest,
        "move": _points(pair.move) if pair.a and pair.b else MISSING,
        "sense": _sense(pair.move),
    }


def _sides(pair: Pair, ladders: tuple[Ladder, Ladder]) -> Iterator[dict[str, Any]]:
    for rung, ladder, verdict in zip((pair.a, pair.b), ladders, pair.verdicts, strict=True):
        if rung is None:
            yield {"verdict": verdict, "used": MISSING, "value": "", "limit": None,
                   "limit_words": NOT_ASSESSED}  # fmt: skip
            continue
        yield {
            "verdict": verdict,
            "used": used_text(rung),
            "value": f"{shown_value(rung, rung.value_at)} of "
            f"{shown_value(rung, rung.allowed.value)}",
            "limit": rpm(rung.limit) if 0 < rung.limit < math.inf else None,
            "limit_words": limit_words(ladder, rung),
        }


def limit_words(ladder: Ladder, rung: Rung) -> str:
    """Return a limit as the card's column has it: a speed, or why there is none."""
    return rpm_text(rung.limit) if 0 < rung.limit < math.inf else limit_text(ladder, rung)


def _limit_move(before: float | None, after: float | None) -> str:
    """Return the move of a limit [rpm], empty where either has none or neither moves."""
    if before is None or after is None or abs(after - before) < 0.5:
        return ""
    return signed(after - before, format_whole(abs(after - before)))


def used_text(rung: Rung) -> str:
    """Return the largest share used up to the rated speed, as the ladder shows it."""
    return f"{format_number(100 * rung.use_at, 3)} %" if math.isfinite(rung.use_at) else "over"


def attribution_message(found: Attribution | None, keys: list[str]) -> dict[str, Any]:
    """Return what each difference does to a rung's use, in points of per cent, then the rest."""
    if found is None:
        return {"by": [None] * (len(keys) + 1)}
    moves = [found.by.get(key) for key in keys] + [found.rest]
    return {"by": [_cell(move) for move in moves]}


def _cell(move: float | None) -> dict[str, Any] | None:
    if move is None or not math.isfinite(move):
        return None
    return {"text": _points(move), "size": 100 * abs(move), "sense": _sense(move)}


def _sense(move: float) -> str:
    """Return whether a change of use is worse, better, or not felt."""
    if not math.isfinite(move) or abs(move) < FELT / 5:
        return ""
    return "worse" if move > 0 else "better"


def _points(move: float) -> str:
    """Return a change of a share in points of per cent, one decimal, its sign before it."""
    points = round(100 * move, 1)
    return signed(points, f"{abs(points):.1f}") if math.isfinite(points) else MISSING


def changed_verdicts(pairs: list[Pair]) -> str:
    """Return the changes of verdicts in one line, guides left out."""
    return "; ".join(
        f"{short_name(pair.known.criterion)} {pair.verdicts[0]} to {pair.verdicts[1]}"
        for pair in pairs
        if not pair.is_guide
    )
