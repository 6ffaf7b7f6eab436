"""A rung's band and marks in words: its limit by other models, what is left out and applies."""

import math
import re
from typing import Any

from kinematics.limits.rung_band import Band, BandEnd
from kinematics.limits.speed_limits import Ladder, Rung
from viz.number_words import format_whole, with_unit
from viz.speed_words import rpm, rpm_text

DAGGER = "†"
SPEED = re.compile(r"\b\d{4,}(?= rpm)")  # in the core's words, without its thin space
MINUS = re.compile(r"(?<=\s)-(?=\d)")
LEFT_OUT_TITLE = "Left out, and applies here"


def left_out_words(rung: Rung) -> list[str]:
    """Return what a rung leaves out and applies to the design, a sentence each."""
    return [_as_shown(mark.words) for mark in rung.left_out]


def left_out_briefly(rung: Rung) -> list[str]:
    """Return the same without the direction and a full stop."""
    return [_as_shown(mark.what) for mark in rung.left_out]


def doubt_words(rung: Rung) -> str:
    """Return what exceeds the allowable by itself though it is left out; empty if nothing does."""
    return next((_as_shown(mark.what) for mark in rung.left_out if mark.exceeds), "")


def _as_shown(words: str) -> str:
    """Return the core's words with numbers as pages show them."""
    spaced = SPEED.sub(lambda found: format_whole(float(found[0])), words)
    return MINUS.sub("−", spaced).replace(" °", "°")


def left_out_text(rung: Rung) -> str:
    """Return the same as one text, empty where nothing applies."""
    return " ".join(left_out_words(rung))


def band_range(rung: Rung) -> str:
    """Return the limit's lowest and highest speed by all models, empty without a band of it."""
    band = rung.band
    if band is None or band.lowest.limit == band.highest.limit:
        return ""
    low, high = band.lowest.limit, band.highest.limit
    if low > 0 and math.isfinite(high):
        return f"{format_whole(rpm(low))} to {rpm_text(high)}"
    return f"{_limit_words(low)} to {_limit_words(high)}"


def band_text(rung: Rung) -> str:
    """Return the limit's lowest and highest speed, each with its model; empty without a band."""
    band = rung.band
    if not band_range(rung) or band is None:
        return ""
    ends = (band.lowest, band.highest)
    return " to ".join(f"{_limit_words(end.limit)} ({end.model})" for end in ends)


def _limit_words(limit: float) -> str:
    if limit == 0:
        return "over at every speed"
    return rpm_text(limit) if math.isfinite(limit) else "none"


def band_message(ladder: Ladder, rung: Rung) -> dict[str, Any] | None:
    """Return a rung's band as the browser draws it, None without one; speeds in rpm.

    `low` and `high` are the ends of the bar, None where no model gives a limit.
    """
    band = rung.band
    if band is None:
        return None
    return {
        "low": _drawn(ladder, band.lowest.limit),
        "high": _drawn(ladder, band.highest.limit),
        "range": band_range(rung),
        "text": band_text(rung),
        "ends": [_end_message(rung, end, band) for end in band.ends],
    }


def _drawn(ladder: Ladder, limit: float) -> float:
    """Return where on the axis an end lies [rpm]: at its ends where there is no limit."""
    return rpm(min(max(limit, ladder.low), ladder.high))


def _end_message(rung: Rung, end: BandEnd, band: Band) -> dict[str, str]:
    return {
        "model": end.model + (", used here" if end is band.own else ""),
        "limit_text": "–" if rung.criterion.at_idle else _limit_words(end.limit),
        "value_text": "no load" if math.isinf(end.value) else with_unit(
            end.value, rung.criterion.unit),
    }  # fmt: skip
