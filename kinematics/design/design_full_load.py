"""The rows of a design's full-load curve: what the gas does at some speeds."""

from dataclasses import dataclass
from itertools import pairwise

from kinematics.declaration import check_record, number
from kinematics.errors import DesignError
from kinematics.one_line import one_line
from kinematics.units import in_words

FEWEST_ROWS, MOST_ROWS = 2, 12


@dataclass(frozen=True, slots=True)
class FullLoadRow:
    """Peak pressure, heat and charge at one speed, against those of the group `pressure`."""

    speed: float = number("Speed", "rpm", 30, 25000, why="Linear interpolation between rows.")
    peak: float = number(
        "Peak", "percent", 10, 150, why="Of the peak pressure given, at full load and this speed."
    )
    load: float = number(
        "Engine load",
        "percent",
        0,
        100,
        why="Heat released, as a share of full load at this speed; engine load multiplies it.",
        default=1.0,
    )

    intake: float = number(
        "Intake",
        "percent",
        10,
        150,
        why="Of the intake pressure given: how the charge changes with speed.",
        default=1.0,
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "full_load")


def check_full_load(rows: object) -> None:
    """Raise DesignError unless a full-load curve is empty, or has 2 to 12 rows of rising speed."""
    if not isinstance(rows, tuple) or not all(isinstance(row, FullLoadRow) for row in rows):
        raise DesignError("full_load", "must be a list of tables: [[full_load]]")
    if rows and not FEWEST_ROWS <= len(rows) <= MOST_ROWS:
        raise DesignError(
            "full_load", f"must have {FEWEST_ROWS} to {MOST_ROWS} rows (got {len(rows)})"
        )
    for place, (before, row) in enumerate(pairwise(rows), 2):
        if not row.speed > before.speed:
            raise DesignError(
                f"full_load.{place}.speed_rpm",
                f"must be above that of row {place - 1}, "
                f"{in_words(before.speed, 'rpm')} (got {in_words(row.speed, 'rpm')})",
            )
