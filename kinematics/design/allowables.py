"""Allowables of a design with their defaults, each with the source it is known from.

A default that a design does not replace has its origin; a value given in the design is the
reader's own. Confidence is "published" where the printed value was read in a book or standard,
"memory" where it was recalled, "practice" where it is a fact of the trade without a source,
"physics" where it follows from equilibrium, "weak" where the source is hearsay, a magazine or a
reprint without standing.
"""

import math
from dataclasses import dataclass
from typing import Literal

from kinematics.declaration import check_record, declarations, number
from kinematics.errors import DesignError
from kinematics.one_line import one_line
from kinematics.strength.crank_strength import REQUIRED_ACCEPTABILITY
from kinematics.strength.piston_strength import (
    PIN_OVALISATION_GUIDE,
    PIN_PRESSURE_GUIDES,
    PIN_STRESS_GUIDES,
    Guide,
)

CONFIDENCES = ("published", "memory", "practice", "physics", "weak", "given")
GIVEN = "given in this design"
LimitName = Literal[  # the fields of `Limits` that a criterion may be held against
    "mean_piston_speed", "piston_acceleration", "pin_bending", "pin_shear", "pin_ovalisation",
    "pin_hoop", "boss_pressure", "small_end_pressure", "rod_yield_safety", "buckling_safety",
    "rod_fatigue_safety", "joint_reserve", "bolt_fatigue_safety", "bolt_yield_safety",
    "slip_safety", "acceptability", "big_end_specific_load", "main_specific_load",
    "journal_speed", "big_end_film", "main_film", "film_filling", "load_per_width", "oil_reserve",
    "shaft_stress", "free_end_angle", "irregularity", "damper_heat",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Origin:
    """Where an allowable is known from, and how sure that is, one of `CONFIDENCES`."""

    words: str
    confidence: str


@dataclass(frozen=True, slots=True)
class Limits:
    """Allowables; what a design leaves out has a default, with its source."""

    red_line: float | None = number(
        "Red line",
        "rpm",
        30,
        30000,
        slider=(1000, 12000, 50),
        why="Maximum speed in service.",
        default=None,
    )
    full_load_from: float | None = number(
        "Full load from",
        "rpm",
        10,
        30000,
        slider=(300, 6000, 50),
        why="Parts are assessed from here up; default: the full-load curve's first row, else a "
        "third of the rated speed.",
        default=None,
    )
    mean_piston_speed: float | None = number(
        "Mean piston speed", "m_s", 2, 60, slider=(8, 30, 0.5), default=None
    )
    piston_acceleration: float | None = number(
        "Piston acceleration", "km_s2", 0.1, 500, slider=(2, 100, 0.5), default=None
    )
    pin_bending: float | None = number(
        "Pin bending", "MPa", 20, 2000, slider=(100, 600, 5), default=None
    )
    pin_shear: float | None = number(
        "Pin shear", "MPa", 20, 2000, slider=(60, 400, 5), default=None
    )
    pin_ovalisation: float | None = number(
        "Pin ovalisation", "um", 1, 1000, slider=(10, 100, 1), default=None
    )
    pin_hoop: float | None = number(
        "Pin hoop stress", "MPa", 20, 2000, slider=(100, 700, 5), default=None
    )
    boss_pressure: float | None = number(
        "Boss pressure", "MPa", 2, 300, slider=(20, 120, 1), default=None
    )
    small_end_pressure: float | None = number(
        "Small-end pressure", "MPa", 2, 300, slider=(20, 150, 1), default=None
    )
    rod_yield_safety: float | None = number(
        "Rod safety on yield", "", 1, 20, slider=(1, 4, 0.05), default=None
    )
    buckling_safety: float | None = number(
        "Rod safety on buckling", "", 1, 20, slider=(1, 8, 0.1), default=None
    )
    rod_fatigue_safety: float | None = number(
        "Rod safety in fatigue", "", 1, 20, slider=(1, 3, 0.05), default=None
    )
    joint_reserve: float | None = number(
        "Safety on joint separation", "", 1, 10, slider=(1, 3, 0.05), default=None
    )
    bolt_fatigue_safety: float | None = number(
        "Bolt safety in fatigue", "", 1, 20, slider=(1, 4, 0.05), default=None
    )
    bolt_yield_safety: float | None = number(
        "Bolt safety on yield", "", 1, 5, slider=(1, 2, 0.05), default=None
    )
    slip_safety: float | None = number(
        "Safety on slip", "", 1, 10, slider=(1, 3, 0.05), default=None
    )
    acceptability: float | None = number(
        "Acceptability factor", "", 1, 10, slider=(1, 3, 0.05), default=None
    )
    big_end_specific_load: float | None = number(
        "Big-end specific load", "MPa", 2, 300, slider=(20, 130, 1), default=None
    )
    main_specific_load: float | None = number(
        "Main specific load", "MPa", 2, 300, slider=(20, 130, 1), default=None
    )
    journal_speed: float | None = number(
        "Journal surface speed", "m_s", 1, 100, slider=(8, 40, 0.5), default=None
    )
    big_end_film: float | None = number(
        "Big-end minimum film thickness", "um", 0.05, 100, slider=(0.5, 6, 0.1), default=None
    )
    main_film: float | None = number(
        "Main minimum film thickness", "um", 0.05, 100, slider=(0.5, 6, 0.1), default=None
    )
    film_filling: float | None = number(
        "Oil feed over full film", "percent", 1, 100, slider=(10, 100, 1), default=None
    )
    load_per_width: float | None = number(
        "Load per width", "N_mm", 10, 50000, slider=(500, 6000, 50), default=None
    )
    oil_reserve: float | None = number(
        "Safety of oil supply", "", 1, 10, slider=(1, 3, 0.05), default=None
    )
    shaft_stress: float | None = number(
        "Vibratory shaft stress", "MPa", 2, 300, slider=(10, 100, 1), default=None
    )
    free_end_angle: float | None = number(
        "Torsional amplitude at free end", "deg", 0.01, 10, slider=(0.05, 2, 0.05), default=None
    )
    irregularity: float | None = number(
        "Cyclic irregularity at idle", "percent", 0.05, 50, slider=(0.5, 10, 0.1), default=None
    )
    damper_heat: float | None = number(
        "Damper heat per surface", "kW_m2", 0.1, 200, slider=(2, 40, 0.5), default=None
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "limits")


def _most(guides: tuple[Guide, ...], subject: str) -> float:
    """Return the upper end of a guide value [SI]."""
    return next(guide.high for guide in guides if guide.subject == subject)


_KOLCHIN = "Kolchin and Demidov, Design of Automotive Engines"
DEFAULTS: dict[LimitName, tuple[float, Origin]] = {
    "mean_piston_speed": (
        20.0, Origin("sport engines from 20 m/s; a magazine page", "weak")),
    "pin_bending": (
        _most(PIN_STRESS_GUIDES, "bending"),
        Origin(f"{_KOLCHIN}: 100 to 250 MPa (from memory)", "memory")),
    "pin_shear": (
        _most(PIN_STRESS_GUIDES, "shear"),
        Origin(f"{_KOLCHIN}: 60 to 250 MPa (from memory)", "memory")),
    "pin_ovalisation": (
        PIN_OVALISATION_GUIDE.high,
        Origin(f"{_KOLCHIN}: 0.02 to 0.05 mm (from memory)", "memory")),
    "pin_hoop": (
        _most(PIN_STRESS_GUIDES, "hoop stress by ovalisation"),
        Origin(f"{_KOLCHIN}: 300 to 350 MPa (from memory)", "memory")),
    "boss_pressure": (
        _most(PIN_PRESSURE_GUIDES, "boss in aluminium"),
        Origin("Neale (ed.), The Tribology Handbook, sheet B16: aluminium bosses", "published")),
    "small_end_pressure": (
        _most(PIN_PRESSURE_GUIDES, "small end, modern petrol"),
        Origin("60 to 90 MPa in petrol engines of today; typical, unverified (from memory)",
               "memory")),
    "rod_yield_safety": (1.5, Origin("common practice, no source", "practice")),
    "buckling_safety": (
        2.5, Origin("common practice in fast engines, no source; textbooks "
                    "require 5 to 6 for slow ones",
                    "practice")),
    "rod_fatigue_safety": (1.3, Origin("common practice, no source", "practice")),
    "joint_reserve": (1.3, Origin("common practice, no source", "practice")),
    "bolt_fatigue_safety": (1.5, Origin("common practice, no source", "practice")),
    "bolt_yield_safety": (1.1, Origin("common practice, no source", "practice")),
    "slip_safety": (1.2, Origin("common practice, no source", "practice")),
    "acceptability": (
        REQUIRED_ACCEPTABILITY,
        Origin("IACS UR M53 as adopted in Korean Register, Rules for the Classification of "
               "Steel Ships, 2025, Part 5, Annex 5-3", "published")),
    "big_end_specific_load": (
        51.7e6, Origin("Neale (ed.), The Tribology Handbook, sheet A11: lead bronze and "
                       "tin-aluminium in small automotive engines, 7500 psi", "published")),
    "main_specific_load": (
        51.7e6, Origin("Neale (ed.), The Tribology Handbook, sheet A11: lead bronze and "
                       "tin-aluminium in small automotive engines, 7500 psi", "published")),
    "big_end_film": (
        2.0e-6, Origin("Neale (ed.), The Tribology Handbook, sheet A11: bearings that ran well had "
                       "computed minimum films of 2 to 4 µm", "published")),
    "main_film": (
        2.5e-6, Origin("Neale (ed.), The Tribology Handbook, sheet A11: bearings that ran well had "
                       "computed minimum films of 2.5 to 4.2 µm", "published")),
    "film_filling": (
        0.5, Origin("half of what a full film passes fills the gap from a quarter turn ahead of "
                    "its thinnest place: continuity, short bearing", "physics")),
    "journal_speed": (
        24.0, Origin("18 to 24 m/s in series, about 30 in racing; typical, unverified "
                     "(from memory)", "memory")),
    "oil_reserve": (1.2, Origin("common practice, no source", "practice")),
    "shaft_stress": (
        60e6, Origin("nominal, all orders together; typical, unverified (from memory)",
                     "memory")),
    "free_end_angle": (
        math.radians(0.5), Origin("amplitude of all orders together; typical, unverified "
                                  "(from memory)", "memory")),
    "irregularity": (
        0.04, Origin("vehicles at idle 1/20 to 1/30; typical, unverified (from memory)",
                     "memory")),
    "damper_heat": (
        15e3, Origin("air in motion carries off some 150 W/(m²·K), 100 K below the surface; "
                     "typical, unverified (from memory)", "memory")),
}  # fmt: skip
RED_LINE_OVER_RATED = 1.1  # where a design gives no red line; common practice, no source


@dataclass(frozen=True, slots=True)
class Allowable:
    """An allowable in force [SI] and where it is known from."""

    value: float
    origin: Origin


def allowable(limits: Limits, name: LimitName) -> Allowable:
    """Return what a design gives for an allowable, else its default of `DEFAULTS`.

    Raises DesignError where there is neither.

    Reference: the default's own, named in `DEFAULTS`.
    """
    given = getattr(limits, name)
    if given is not None:
        return Allowable(given, Origin(GIVEN, "given"))
    if name not in DEFAULTS:
        key = next(key for attribute, key, _ in declarations(Limits) if attribute == name)
        raise DesignError(f"limits.{key}", "no guide value is known; give one to assess it")
    return Allowable(*DEFAULTS[name])


def in_force(limits: Limits, name: str, rated_speed: float) -> float | None:
    """Return a field of `Limits` as given [SI], else its default; None where there is none."""
    given: float | None = getattr(limits, name)
    if given is not None:
        return given
    if name == "red_line":
        return red_line(limits, rated_speed)
    return next((value for key, (value, _) in DEFAULTS.items() if key == name), None)


def red_line(limits: Limits, rated_speed: float) -> float:
    """Return the red line [rad/s]: as given, never below the rated speed [rad/s]."""
    return max(limits.red_line or RED_LINE_OVER_RATED * rated_speed, rated_speed)


NONE_GIVEN = Limits()
