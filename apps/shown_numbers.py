"""A main number as the pages show it: beside that of the reference, with the difference."""

import math
from dataclasses import asdict
from typing import Any

from kinematics import Cycle
from viz.compare.compared_row import Side, told_in_percent
from viz.firing_words import firing_words
from viz.number_words import format_number, signed
from viz.speed_words import rpm_text
from viz.train.main_number import MainNumber


def shown_number(
    number: MainNumber, reference: MainNumber | None, headline: bool
) -> dict[str, Any]:
    """Return a main number as the board shows it, with its difference from the reference."""
    shown = asdict(number) | {
        "value": number.value if math.isfinite(number.value) else None,
        "text": number.text,
        "headline": headline,
        "reference": None,
        "difference": None,
    }
    if reference is not None and math.isfinite(number.value) and math.isfinite(reference.value):
        difference = _seen(number.value - reference.value, number)
        shown["reference"] = reference.words
        shown["difference"] = signed(difference, format_number(abs(difference), number.digits))
        if told_in_percent(Side((reference.value,), ""), Side((number.value,), ""), number.unit):
            share = 100 * difference / abs(reference.value)
            shown["difference"] += f" ({signed(share, f'{abs(share):.1f}')} %)"
    return shown


def _seen(difference: float, number: MainNumber) -> float:
    """Return a difference, or zero where the digits that are shown do not show it."""
    size = max(abs(number.value), abs(number.value - difference))
    last = 10.0 ** (math.floor(math.log10(size)) - number.digits + 1) if size > 0 else 0.0
    return difference if abs(difference) >= last / 2 else 0.0


def reference_words(cycle: Cycle | None) -> str:
    """Return what the cycle of the reference is called; nothing where there is none."""
    if cycle is None:
        return ""
    firing = firing_words(cycle.design)
    state = f" ({firing[0].lower()}{firing[1:]})" if firing else ""
    return f"{cycle.design.name} at {rpm_text(cycle.speed)}{state}"
