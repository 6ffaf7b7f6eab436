"""What governs a ladder against another, in words: how far the limit moves, and from which."""

from kinematics.limits.speed_limits import Ladder
from viz.limits.criterion_views import short_name
from viz.speed_words import rpm, rpm_text


def limit_move(ladder: Ladder, other: Ladder, called: str) -> str:
    """Return how far the governing limit lies from another ladder's: "310 rpm more than A".

    Empty where either has none.
    """
    if ladder.lowest is None or other.lowest is None:
        return ""
    move = ladder.lowest.limit - other.lowest.limit
    if abs(rpm(move)) < 0.5:
        return f"as {called}"
    return f"{rpm_text(abs(move))} {'more' if move > 0 else 'less'} than {called}"


def other_holder(ladder: Ladder, other: Ladder) -> str:
    """Return what governs the other ladder, in short; empty where it is the same or nothing."""
    if ladder.lowest is None or other.lowest is None:
        return ""
    held = other.lowest.criterion
    return "" if held.key == ladder.lowest.criterion.key else short_name(held)
