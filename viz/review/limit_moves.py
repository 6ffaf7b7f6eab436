"""What moves a limit speed from A to B, by each difference, in a line each."""

from collections.abc import Iterator
from dataclasses import dataclass

from kinematics.limits.attribution import Attribution, LadderAttribution
from kinematics.limits.speed_limits import Ladder
from viz.limits.criterion_views import short_name
from viz.number_words import format_whole, signed
from viz.review.review_differences import DifferenceWords, difference_words
from viz.review.review_rows import CLOSE, VERDICT, grouped_pairs
from viz.speed_words import rpm, rpm_text

MOST_LIMITS = 4
FELT_RPM = 0.5
TITLE = "What moves the limits"


@dataclass(frozen=True, slots=True)
class LimitMove:
    """How a limit moves: the key of its criterion, in words."""

    key: str
    words: str


def limit_moves(attribution: LadderAttribution) -> tuple[LimitMove, ...]:
    """Return how the limits that a reviewer reads first move, and by which difference."""
    a, b = attribution.a, attribution.b
    own = difference_words(a.design, b.design)
    found: list[LimitMove] = []
    for key in _read_first(a, b):
        moved = attribution.limit(key) if len(found) < MOST_LIMITS else None
        if moved is not None and abs(rpm(moved.after - moved.before)) >= FELT_RPM:
            found.append(LimitMove(key, _words(b, key, moved, own)))
    return tuple(found)


def _read_first(a: Ladder, b: Ladder) -> list[str]:
    """Return the keys of what governs B and A, of verdicts that change, and of the closest."""
    groups = grouped_pairs(a, b)
    governing = [ladder.lowest.criterion.key for ladder in (b, a) if ladder.lowest]
    close = [own.key for name in (VERDICT, CLOSE) for own in groups[name] if not own.is_guide]
    return list(dict.fromkeys([*governing, *close]))


def _words(b: Ladder, key: str, moved: Attribution, own: tuple[DifferenceWords, ...]) -> str:
    move = moved.after - moved.before
    parts = ", ".join(_parts(moved, own))
    return (
        f"Limit of {short_name(b[key].criterion)} moves {signed(move, rpm_text(abs(move)))}: "
        f"{parts}."
    )


def _parts(moved: Attribution, own: tuple[DifferenceWords, ...]) -> Iterator[str]:
    """Yield the share of each difference that is felt, then the rest."""
    for difference in own:
        share = moved.by.get(difference.key, 0.0)
        if abs(rpm(share)) >= FELT_RPM:
            name = difference.label[0].lower() + difference.label[1:]
            yield f"{_rpm(share)} by {name} {difference.by}"
    yield f"rest {_rpm(moved.rest)}"


def _rpm(move: float) -> str:
    whole = round(rpm(move))
    return signed(whole, format_whole(abs(whole))) if whole else "0"
