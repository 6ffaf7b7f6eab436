"""The damper by the closed formula and by search on the chain, side by side, for a rung's sheet."""

from typing import Any

from kinematics.limits.speed_limits import Rung
from kinematics.shaft.damper_optimum import (
    OVER_RED_LINE,
    DamperChoice,
    DamperOptima,
    damper_optima,
)
from kinematics.units import shown_unit
from viz.number_words import format_number
from viz.speed_words import rpm_text

DAMPED = ("shaft_stress", "free_end_angle", "damper_heat")  # rungs whose sheet shows it
CHOICES = {"formula": "Use formula optimum", "chain": "Use chain optimum"}
SOURCE = (
    "Formula: J. P. Den Hartog, Mechanical Vibrations, sections 3.2 to 3.4 (from memory). Search: "
    "J. A. Nelder and R. Mead, A Simplex Method for Function Minimization, Computer Journal 7, "
    "1965 (from memory)."
)


def damper_sheet(rung: Rung) -> dict[str, Any] | None:
    """Return both optima and the design's own damper as a table; None where there is no damper."""
    design = rung.parts.design
    if (
        rung.criterion.key not in DAMPED
        or design.torsion is None
        or design.torsion.damper == "none"
    ):
        return None
    optima = damper_optima(design)
    units = [shown_unit(key) for key in ("kNm_rad", "Nms_rad", "MPa")]
    heads = ("Damper", "Stiffness", "Damping", "Peak stress")
    named = (("by formula", optima.formula), ("on the chain", optima.chain), ("now", optima.own))
    return {
        "head": [heads[0], *(f"{head}, {unit.symbol}" for head, unit in
                             zip(heads[1:], units, strict=True))],
        "rows": [[name, *_cells(choice)] for name, choice in named],
        "words": _words(optima),
        "source": SOURCE,
        "choices": list(CHOICES.items()),
    }  # fmt: skip


def _cells(choice: DamperChoice) -> list[str]:
    damper = choice.damper
    values = (("kNm_rad", damper.stiffness), ("Nms_rad", damper.damping), ("MPa", choice.peak))
    return [format_number(shown_unit(key).from_si(value), 3) for key, value in values]


def _words(optima: DamperOptima) -> str:
    share = format_number(100 * optima.excess, 2)
    rubber = ", the rubber within its loss factor" if optima.kind == "tuned" else ""
    return (
        f"Optimum {optima.kind} damper of this ring. That of the formula leaves {share} % more "
        f"peak stress than that of the chain, from {rpm_text(optima.lowest)} to "
        f"{rpm_text(optima.highest)}, {OVER_RED_LINE:g} times the red line{rubber}. The formula "
        "takes the first mode as one undamped inertia; the chain has all modes and orders, and a "
        "highest speed."
    )
