"""What a report carries so that it can be solved again: its designs, its speed, its numbers."""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from kinematics.design.design import Design
from kinematics.design.design_file import design_text
from kinematics.units import UNITS, shown_system, using_units
from viz.report.difference_tables import DifferenceTable
from viz.report.reviewed import Reviewed
from viz.report.stated_numbers import reviewed_numbers, stated_numbers, stated_values

CARRIED = "report-carried"  # id of the script element that holds it
FORM = 1  # of what is carried


@dataclass(frozen=True, slots=True)
class CarriedDesign:
    """A design as a report carries it: its name and revision, its file's text."""

    name: str
    revision: str
    text: str

    @classmethod
    def of(cls, design: Design) -> "CarriedDesign":
        """Return a design with its file's text, a pressure trace inside it."""
        return cls(design.name, design.revision, design_text(design))

    @property
    def sha256(self) -> str:
        """The SHA-256 of the text as a UTF-8 file, in hexadecimal digits."""
        return sha256(self.text)


def sha256(text: str) -> str:
    """Return the SHA-256 of a text as a UTF-8 file, in hexadecimal digits."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def carried(
    this: Reviewed, other: Reviewed | None, tables: Iterable[DifferenceTable], version: str
) -> dict[str, Any]:
    """Return what a report carries, as JSON; its numbers are in metric units whatever is shown.

    `tables` are those of its comparison, in the units shown now.
    """
    if shown_system() == "si":
        numbers = stated_numbers(this, other, tables)
    else:
        with using_units("si"):
            numbers = reviewed_numbers(Reviewed(this.cycle), other)
    designs = {"this": this.design} | ({"other": other.design} if other else {})
    return {
        "form": FORM,
        "version": version,
        "units": shown_system(),
        "rpm": UNITS["rpm"].from_si(this.cycle.speed),
        "designs": {
            side: {"name": made.name, "sha256": made.sha256, "text": made.text}
            for side, made in ((side, CarriedDesign.of(design)) for side, design in designs.items())
        },
        "numbers": stated_values(numbers),
    }
