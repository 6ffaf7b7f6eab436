"""The margin table: a row for every rung, part by part, as text and as CSV."""

import math

from kinematics.limits.misfire import misfire_rung
from kinematics.limits.named_results import SUBJECTS
from kinematics.limits.own_criteria import OWN_PART
from kinematics.limits.speed_limits import Ladder, Rung
from kinematics.units import shown_unit
from viz.csv_text import Cell, csv_text
from viz.firing_words import firing_words
from viz.limits.limit_board import CAUTION, limit_text, margin_text, misfire_words, shown_value
from viz.limits.rung_marks import LEFT_OUT_TITLE, band_text, left_out_text
from viz.number_words import MISSING, format_number, format_whole
from viz.speed_words import rpm

PARTS = (
    *dict.fromkeys(criterion.part for _, criteria in SUBJECTS for criterion in criteria),
    OWN_PART,
)
TABLE = (
    "Part", "Criterion", "Most used at, rpm", "Value there", "Allowable", "Used, %", "Limit speed",
    "Margin on rated speed", "Verdict", "Worst misfire", "Limit by other models",
    LEFT_OUT_TITLE, "Allowable known from", "Origin",
)  # fmt: skip
CSV_HEAD = (
    "Part", "Criterion", "Most used at, rpm", "Value there", "Allowable", "Unit", "Used, %",
    "Limit speed, rpm", "Margin on rated speed, rpm", "Margin on rated speed, %",
    "Limit in words", "Verdict", "Misfire: cylinder", "Misfire: at, rpm", "Misfire: value",
    "Misfire: used, %", "Misfire: limit speed, rpm",
    "Lowest limit by other models, rpm", "Highest limit by other models, rpm",
    "Limit by other models", LEFT_OUT_TITLE, "Allowable known from", "Origin",
)  # fmt: skip


def margin_rows(ladder: Ladder) -> list[tuple[str, ...]]:
    """Return the margin table's rows, part by part, in the columns of `TABLE`."""
    return [
        (
            rung.criterion.part,
            rung.criterion.label,
            format_whole(rpm(rung.at)),
            shown_value(rung, rung.value_at),
            shown_value(rung, rung.allowed.value),
            format_number(100 * rung.use_at, 3),
            limit_text(ladder, rung),
            margin_text(ladder, rung),
            ladder.verdict(rung),
            misfire_words(ladder, rung) or "–",
            band_text(rung) or MISSING,
            left_out_text(rung) or MISSING,
            rung.allowed.origin.confidence,
            rung.allowed.origin.words,
        )
        for rung in rungs_by_part(ladder)
    ]


def rungs_by_part(ladder: Ladder) -> list[Rung]:
    """Return the rungs part by part, from piston to flywheel."""
    return sorted(ladder.rungs, key=lambda rung: PARTS.index(rung.criterion.part))


def margin_table_csv(ladder: Ladder) -> str:
    """Return the margin table as CSV, every number in a column of its own; the caution is last."""
    firing = firing_words(ladder.design)
    foot = [[f"{firing}."]] * bool(firing) + [[CAUTION]]
    return csv_text([CSV_HEAD, *(_csv_row(ladder, rung) for rung in rungs_by_part(ladder)), *foot])


def _csv_row(ladder: Ladder, rung: Rung) -> tuple[Cell, ...]:
    unit, origin = shown_unit(rung.criterion.unit), rung.allowed.origin
    met = 0 < rung.limit < math.inf and not rung.criterion.at_idle
    share = margin_share(ladder, rung)
    return (
        rung.criterion.part,
        rung.criterion.label,
        rpm(rung.at),
        unit.from_si(rung.value_at),
        unit.from_si(rung.allowed.value),
        unit.symbol,
        100 * rung.use_at,
        rpm(rung.limit) if met else None,
        None if share is None else rpm(rung.limit - ladder.rated),
        share,
        limit_text(ladder, rung),
        ladder.verdict(rung),
        *_misfire_cells(ladder, rung),
        *_band_cells(rung),
        left_out_text(rung).replace("−", "-"),
        origin.confidence,
        origin.words,
    )


def _misfire_cells(ladder: Ladder, rung: Rung) -> tuple[Cell, ...]:
    """Return cylinder, speed, value, share used and limit speed of the worst misfire."""
    found = misfire_rung(ladder, rung)
    if found is None:
        return (None,) * 5
    own, unit = found.rung, shown_unit(rung.criterion.unit)
    limit = rpm(own.limit) if 0 < own.limit < math.inf else None
    return found.cylinder, rpm(own.at), unit.from_si(own.value_at), 100 * own.use_at, limit


def _band_cells(rung: Rung) -> tuple[Cell, Cell, Cell]:
    """Return the limit's lowest and highest speed [rpm] by all models, and both in words."""
    band = rung.band
    ends = (band.lowest.limit, band.highest.limit) if band is not None else (math.nan, math.nan)
    low, high = (rpm(end) if 0 < end < math.inf else None for end in ends)
    return low, high, band_text(rung)


def margin_share(ladder: Ladder, rung: Rung) -> float | None:
    """Return the limit speed over the rated speed less 1 [%], None where it is no margin.

    It is none without a limit, and where the rated speed is over though more speed would relieve.
    """
    if rung.criterion.at_idle or not 0 < rung.limit < math.inf:
        return None
    if rung.use_at > 1 and rung.limit > ladder.rated:
        return None
    return 100 * (rung.limit / ladder.rated - 1)
