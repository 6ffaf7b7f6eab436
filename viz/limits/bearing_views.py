"""How the criteria of bearing loads, surface speeds and oil supply are shown."""

import math
from collections.abc import Callable

import numpy as np

from kinematics.design.design_bearings import PlainBearing
from kinematics.design.oil_viscosity import OIL_DENSITY
from kinematics.limits.speed_limits import Rung
from viz.limits.bearing_charts import big_end_load, crankpin_loading, every_main, journal_speed
from viz.limits.criterion_view import FILMS, JOURNALS, SHELLS, CriterionView
from viz.limits.plain_story import (
    PERSON_ON_THUMBNAIL,
    PlainStory,
    SentenceTemplate,
    SpokenNumber,
    by_runner,
    share_used,
)
from viz.limits.rung_chart import OVER_CYCLE
from viz.limits.substitution import at, degrees, result
from viz.number_words import operand, whole_degrees

_ISO = "ISO 7902, load over projected area (from memory)"


def _over_area(bearing: str, mains: bool) -> Callable[[Rung], str]:
    """Return a writer of peak load over diameter and width."""

    def write(rung: Rung) -> str:
        size, load, words = _largest(rung, bearing, mains)
        return f"{words}\n" + result(
            rung, "p", f"{operand(load)}/({operand(size.diameter)}·{operand(size.bearing_width)})"
        )

    return write


def _over_width(bearing: str, mains: bool) -> Callable[[Rung], str]:
    def write(rung: Rung) -> str:
        size, load, words = _largest(rung, bearing, mains)
        return f"{words}\n" + result(rung, "q", f"{operand(load)}/{operand(size.bearing_width)}")

    return write


def _largest(rung: Rung, bearing: str, mains: bool) -> tuple[PlainBearing, float, str]:
    """Return a bearing's size, its maximum load [N] and where that lies, in words."""
    size = getattr(rung.parts.design, bearing)
    loads = rung.parts.main_load(at(rung))[0] if mains else rung.parts.big_end_load(at(rung))
    row, i = np.unravel_index(loads.argmax(), loads.shape)
    which = (
        f"main {row + 1}"
        if mains
        else f"cylinder {rung.parts.train.assessed_cylinder + 1}'s big end"
    )
    load = float(loads[row, i])
    return size, load, f"F = {operand(load)} N, {which} at {degrees(rung, int(i))}"


def _surface(bearing: str) -> Callable[[Rung], str]:
    def write(rung: Rung) -> str:
        diameter = getattr(rung.parts.design, bearing).diameter
        return result(rung, "v", f"π·{operand(diameter)}·{operand(rung.at / (2 * math.pi))}")

    return write


def _oil(rung: Rung) -> str:
    parts, drilling = rung.parts, rung.parts.drilling
    needed = float(parts.oil_needed(at(rung))[0])
    supply = parts.design.oil.supply_pressure
    density = parts.crankpin_density(rung.at)
    return (
        f"p = {OIL_DENSITY:g}/2·{operand(rung.at)}²·({operand(drilling.entry_radius)}² − "
        f"{operand(drilling.least_radius)}²) = {operand(needed)} Pa\n"
        + result(rung, "n", f"{operand(supply)}/{operand(needed)}")
        + f"\nThe least-loaded angle is {whole_degrees(density.least_loaded_angle)} from "
        f"outward; the oil hole is at {whole_degrees(parts.design.crank_throw.oil_hole_angle)}."
    )


def _on_thumbnail(shell: str) -> PlainStory:
    words = f"At its maximum each thumbnail of a {shell} shell carries {{n}} people."
    return PlainStory(
        SpokenNumber(f"load on the {shell} shell"), (SentenceTemplate(words, PERSON_ON_THUMBNAIL),)
    )


_BIG_END = ((OVER_CYCLE, big_end_load),)
_MAINS = (("Every main", every_main),)
_JOURNALS = (("Both journals", journal_speed),)
_ALL_MAINS = (
    "Maximum load of the cycle and of all mains, with the shaft determinate (simply supported "
    "throws) or continuous, as the design has it."
)
BEARING_VIEWS = {
    "big_end_specific_load": CriterionView(
        sentence="The big-end shells reach their allowable specific load",
        formula="p = F/(d·b)\nd diameter, b width of the shell",
        substitution=_over_area("big_end", False),
        conventions="Maximum load of the cycle; the oil film is another criterion.",
        source=_ISO, charts=_BIG_END, story=_on_thumbnail("big‑end"), group=SHELLS),
    "big_end_load_per_width": CriterionView(
        sentence="The big ends reach their allowable load per width",
        formula="q = F/b", substitution=_over_width("big_end", False),
        conventions="Maximum load of the cycle.",
        source=_ISO, charts=_BIG_END, story=share_used("load per width of the big ends"),
        group=SHELLS),
    "main_specific_load": CriterionView(
        sentence="The main shells reach their allowable specific load",
        formula="p = F/(d·b)\nd diameter, b width of the shell",
        substitution=_over_area("main_bearing", True), conventions=_ALL_MAINS,
        source=_ISO, charts=_MAINS, story=_on_thumbnail("main"), group=SHELLS),
    "main_load_per_width": CriterionView(
        sentence="The mains reach their allowable load per width",
        formula="q = F/b", substitution=_over_width("main_bearing", True),
        conventions="Maximum load of all mains.",
        source=_ISO, charts=_MAINS, story=share_used("load per width of the mains"), group=SHELLS),
    "crankpin_speed": CriterionView(
        sentence="The crankpins reach their allowable surface speed",
        formula="v = π·d·n\nd journal diameter, n turns per second",
        substitution=_surface("big_end"),
        conventions="Of the journal about its own axis; the rod's swing is ignored.",
        source="Kinematics", charts=_JOURNALS,
        story=PlainStory(
            SpokenNumber("surface speed"),
            by_runner("In the rods the crank slides {n} times as fast as {whom}.")),
        group=JOURNALS),
    "main_journal_speed": CriterionView(
        sentence="The main journals reach their allowable surface speed",
        formula="v = π·d·n\nd journal diameter, n turns per second",
        substitution=_surface("main_bearing"), conventions="Of the journal.",
        source="Kinematics", charts=_JOURNALS,
        story=PlainStory(
            SpokenNumber("surface speed"),
            by_runner("In its bearings the crank slides {n} times as fast as {whom}.")),
        group=JOURNALS),
    "oil_supply": CriterionView(
        sentence="The oil supply to the crankpins falls to its minimum safety",
        formula="p = ρ/2·ω²·(r_entry² − r_min²),  n = p_supply/p\n"
        "r distances of the drilling from the shaft's axis",
        substitution=_oil,
        conventions="Oil that enters at the main's surface must climb inward against its own "
        "centrifugal force; beyond, it is thrown outward. Flow losses are ignored.",
        source="F. M. White, Fluid Mechanics, rigid-body rotation (from memory); oil density "
        "common practice, no source",
        charts=(("Round the crankpin", crankpin_loading),), polar=True,
        story=share_used("oil pressure to the crankpins"), group=FILMS),
}  # fmt: skip
