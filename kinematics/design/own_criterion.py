"""A criterion of a design's own: an expression over named results, its allowable and its source."""

import re
from dataclasses import dataclass

from kinematics.declaration import check_record, flag, number, shown, text
from kinematics.errors import DesignError, nearest
from kinematics.expression import LONGEST, Expression, read_expression
from kinematics.one_line import one_line
from kinematics.units import UNITS

MOST_CRITERIA = 12
LONGEST_CRITERION_NAME, LONGEST_SOURCE = 60, 300
LONGEST_KEY = 60
RESULT_UNITS = tuple(key for key, unit in UNITS.items() if not unit.offset)


@dataclass(frozen=True, slots=True)
class OwnCriterion:
    """A criterion of the design's own: an expression held against an allowable with its source."""

    name: str = text("Name", LONGEST_CRITERION_NAME)
    expression: str = text("Expression", LONGEST)
    allowable: float = number("Allowable", "", 1e-9, 1e9, why="In `unit`.")
    source: str = text("Source of allowable", LONGEST_SOURCE)
    unit: str = text("Unit", 20, default="")
    at_least: bool = flag("At least", why="Whether more is better.", default=False)

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "criterion")
        if not self.key.removeprefix("own_"):
            raise DesignError(
                "criterion.name", f"must have a letter or a digit (got {shown(self.name)})"
            )
        if not self.source.strip():
            raise DesignError("criterion.source", "is missing: say where the allowable is from")
        if self.unit not in RESULT_UNITS:
            hint = nearest(self.unit, filter(None, RESULT_UNITS))
            raise DesignError(
                "criterion.unit",
                f"must be a unit such as MPa or m_s, or empty for a plain number "
                f"(got {shown(self.unit)}); {hint}",
            )
        _ = self.read

    @property
    def key(self) -> str:
        """The key of its rung: "own_" and the name in small letters, digits and underscores."""
        return ("own_" + re.sub(r"\W+", "_", self.name.lower()).strip("_"))[:LONGEST_KEY]

    @property
    def read(self) -> Expression:
        """The expression as it was read; raises DesignError where it cannot be."""
        try:
            return read_expression(self.expression, rule=False)
        except ValueError as error:
            raise DesignError("criterion.expression", str(error)) from None


def check_criteria(rows: object) -> None:
    """Raise DesignError unless there are at most `MOST_CRITERIA`, each with a name of its own."""
    if not isinstance(rows, tuple) or not all(isinstance(row, OwnCriterion) for row in rows):
        raise DesignError("criterion", "must be a list of tables: [[criterion]]")
    if len(rows) > MOST_CRITERIA:
        raise DesignError("criterion", f"must be at most {MOST_CRITERIA} (got {len(rows)})")
    keys = [row.key for row in rows]
    for place, key in enumerate(keys):
        if key in keys[:place]:
            raise DesignError(
                f"criterion.{place + 1}.name",
                f"must differ from that of row {keys.index(key) + 1} "
                f"(got {shown(rows[place].name)})",
            )
