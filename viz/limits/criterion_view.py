"""How a criterion is shown: one record of sentence, formula, charts and plain story."""

from collections.abc import Callable
from dataclasses import dataclass

from kinematics.limits.speed_limits import Rung
from viz.chart import Views
from viz.limits.plain_story import PlainStory


@dataclass(frozen=True, slots=True)
class Group:
    """One line of the rev-limit page, which shows the governing one of its criteria."""

    title: str
    always: bool = True  # else only where it has the governing limit, or is over


PISTONS = Group("Pistons")
RINGS = Group("Piston rings")
PINS = Group("Piston pins", always=False)
RODS = Group("Rods and bolts")
SHELLS = Group("Bearing shells")
FILMS = Group("Oil film")
JOURNALS = Group("Journals", always=False)
CRANKSHAFT = Group("Crankshaft")
OTHERS = Group("Other criteria")
GROUPS = (PISTONS, RINGS, PINS, RODS, SHELLS, FILMS, JOURNALS, CRANKSHAFT, OTHERS)


RungWords = Callable[[Rung], str]


def no_words(_rung: Rung) -> str:
    """Return nothing: of a criterion whose formula is not shown."""
    return ""


def no_warnings(_rung: Rung) -> list[str]:
    """Return nothing: of a criterion whose formula holds for every design."""
    return []


@dataclass(frozen=True, slots=True)
class CriterionView:
    """What is shown of a criterion beside its numbers; the defaults show a plain rung.

    `substitution` writes the formula with the values of a rung, `warnings` where it is stretched.
    """

    sentence: str = ""  # what happens at the limit, without a full stop
    sentence_if_given: str = ""  # the same where the allowable is the design's own
    formula: str | RungWords = ""  # of the rung, where the design chooses the method
    substitution: RungWords = no_words
    conventions: str = ""
    source: str | RungWords = ""
    charts: Views = ()  # beside the one against speed
    polar: bool = False  # whether these are polar
    symbol: str = "safety factor"  # on the axis of a value without a unit
    warnings: Callable[[Rung], list[str]] = no_warnings
    story: PlainStory | None = None  # None: the share of the allowable that is used
    group: Group = OTHERS

    def formula_of(self, rung: Rung) -> str:
        """Return the formula by which a rung is computed."""
        return self.formula if isinstance(self.formula, str) else self.formula(rung)

    def source_of(self, rung: Rung) -> str:
        """Return the source of the formula by which a rung is computed."""
        return self.source if isinstance(self.source, str) else self.source(rung)
