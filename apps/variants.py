"""Named variants of a design, kept beside the present one: what a tab stores, and reads again."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from kinematics import Cycle, DesignError, design_text
from kinematics.design.design_file import clean_text
from kinematics.units import UNITS

MOST_VARIANTS = 4
LONGEST_NAME = 80
LONGEST_QUESTION = 200
LETTERS = "CDEF"  # A is the reference, B the present design
Solve = Callable[[str, Any], Cycle]  # text of a design and rpm to its cycle


@dataclass(frozen=True)
class Variant:
    """A design at a speed under a name, and what it came from."""

    name: str
    cycle: Cycle
    parent: str

    @cached_property
    def text(self) -> str:
        """The design's file, written once: a tab stores it with each change of the present one."""
        return design_text(self.cycle.design)

    def stored(self) -> dict[str, Any]:
        """Return what `read_variants` reads."""
        return {
            "text": self.text,
            "rpm": UNITS["rpm"].from_si(self.cycle.speed),
            "name": self.name,
            "parent": self.parent,
        }


def variant_name(name: Any) -> str:
    """Return a name as it may be stored; raises DesignError for one that is empty."""
    found = clean_text(name, LONGEST_NAME).strip() if isinstance(name, str) else ""
    if not found:
        raise DesignError("name", f"must be 1 to {LONGEST_NAME} characters (got nothing)")
    return found


def question_text(question: Any) -> str:
    """Return a review's question as it may be stored: one line, empty for what is no text."""
    return clean_text(question, LONGEST_QUESTION).strip() if isinstance(question, str) else ""


def read_variants(stored: Any, solve: Solve) -> tuple[list[Variant], str]:
    """Return the variants that a tab stored, and what is wrong with those left out."""
    found, wrong = [], []
    for entry in stored[:MOST_VARIANTS] if isinstance(stored, list) else ():
        try:
            found.append(_read(entry, solve))
        except DesignError as error:
            wrong.append(f"A stored variant was skipped. {error}")
    return found, " ".join(wrong)


def _read(entry: Any, solve: Solve) -> Variant:
    if not isinstance(entry, dict) or not isinstance(entry.get("text"), str):
        raise DesignError("variants", "must be a list of stored designs")
    cycle = solve(entry["text"], entry.get("rpm"))
    parent = entry.get("parent")
    return Variant(
        variant_name(entry.get("name")),
        cycle,
        clean_text(parent, LONGEST_NAME) if isinstance(parent, str) else "",
    )
