"""The sales talk's sentences: what each criterion means beside things that everybody knows.

A sentence is a template; the browser puts the numbers in. Text is plain: whoever shows it must
escape it.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from kinematics.array import Array
from kinematics.units import UNITS, shown_unit
from viz.number_words import with_unit

GRAVITY = 9.81  # [m/s²]
THUMBNAIL = 1e-4  # [m²]
REFERENCES_FROM = "Common practice, no source"


@dataclass(frozen=True, slots=True)
class Reference:
    """A thing that everybody knows: its size [SI], and how that is said in SI.

    In other units its size is told in `unit`, a key of UNITS.
    """

    size: float
    name: str
    told: str
    unit: str = ""

    @property
    def words(self) -> str:
        """What it is and how large."""
        if not self.unit or shown_unit(self.unit) is UNITS[self.unit]:
            return f"{self.name}, {self.told}"
        return f"{self.name}, {with_unit(self.size, self.unit)}"


SMALL_CAR = Reference(1000 * GRAVITY, "a small car", "1000 kg · 9.81 m/s² = 9810 N", "N")
PERSON = Reference(75 * GRAVITY, "a person", "75 kg · 9.81 m/s² = 736 N", "N")
SPRINTER = Reference(10.0, "a sprinter", "10 m/s", "m_s")
WALKER = Reference(1.4, "a walker", "1.4 m/s", "m_s")
HAIR = Reference(70e-6, "a human hair", "70 µm thick", "um")
OWN_WEIGHT = Reference(GRAVITY, "the earth's gravity", "9.81 m/s²", "m_s2")
PERSON_ON_THUMBNAIL = Reference(
    75 * GRAVITY / THUMBNAIL, "a person on a thumbnail", "75 kg · 9.81 m/s² on 1 cm² = 7.36 MPa",
    "MPa",
)  # fmt: skip
MINUTE_HAND = Reference(math.radians(0.1), "a minute hand", "0.1° in a second")


@dataclass(frozen=True, slots=True)
class SpokenNumber:
    """The number that a sentence tells: its value [SI] for parts and speeds (s,), how to name it.

    Without `of` it is the criterion's own value.
    """

    label: str
    unit: str = ""
    of: Callable[[Any, Array], Array] | None = None
    main_number: str = ""  # key of the main number that shows its formula


@dataclass(frozen=True, slots=True)
class SentenceTemplate:
    """A sentence for told values from `least` [SI] on; `{n}` is the value over the reference."""

    words: str
    reference: Reference | None = None
    least: float = -math.inf


@dataclass(frozen=True, slots=True)
class PlainStory:
    """How the talk speaks of criteria: sayings with falling `least`, the first that fits."""

    told: SpokenNumber
    sayings: tuple[SentenceTemplate, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """One line of the talk: the first to give of its criteria speaks for it."""

    title: str
    keys: tuple[str, ...]
    always: bool = True  # else only where it is the first limit, or over


def rod_pull(parts: Any, speed: Array) -> Array:
    """Return the largest pull of the rod at its small end [N], (s,)."""
    pull: Array = -parts.train.loads.rod_force[0].over(speed).min(axis=-1)
    return pull


def rod_push(parts: Any, speed: Array) -> Array:
    """Return the largest push on the rod at its small end [N], (s,)."""
    push: Array = parts.compression(speed)
    return push


def pin_load(parts: Any, speed: Array) -> Array:
    """Return the largest force between piston and pin [N], (s,)."""
    load: Array = parts.boss_load(speed).max(axis=-1)
    return load


def _weight(words: str, never: str) -> tuple[SentenceTemplate, ...]:
    """Return sayings of a force as the weight of small cars, or of people where it is little."""
    return (
        SentenceTemplate(words.replace("{what}", "{n} small cars"), SMALL_CAR, SMALL_CAR.size),
        SentenceTemplate(words.replace("{what}", "{n} people"), PERSON, 0.5 * PERSON.size),
        SentenceTemplate(never),
    )


def _runner(words: str) -> tuple[SentenceTemplate, ...]:
    """Return sayings of a speed: against a sprinter, or a walker where it is slow."""
    return (
        SentenceTemplate(words.replace("{whom}", "a sprinter"), SPRINTER, SPRINTER.size),
        SentenceTemplate(words.replace("{whom}", "a walker"), WALKER),
    )


def _plain(label: str) -> PlainStory:
    """Return a telling that compares with nothing but the allowable."""
    return PlainStory(
        SpokenNumber(label),
        (SentenceTemplate("{use} % of what is allowed is used: " + label + "."),),
    )


PULLED = PlainStory(
    SpokenNumber("pull on the rod", "kN", rod_pull, "rod_tension"),
    _weight("{cycles} times a second each rod is pulled by the weight of {what}.",
            "At this speed hardly anything pulls at the rods."),
)  # fmt: skip
PUSHED = PlainStory(
    SpokenNumber("push on the rod", "kN", rod_push, "rod_compression"),
    _weight("{cycles} times a second each rod is pushed by the weight of {what}.",
            "At this speed hardly anything pushes the rods."),
)  # fmt: skip
PRESSED = PlainStory(
    SpokenNumber("force on the pin", "kN", pin_load),
    _weight("{cycles} times a second each piston pin bears the weight of {what}.",
            "At this speed hardly anything loads the pins."),
)  # fmt: skip
TELLINGS: dict[str, PlainStory] = {
    "mean_piston_speed": PlainStory(
        SpokenNumber("mean piston speed"),
        _runner("Each piston stops {stops} times a second; on average it runs {n} times as fast as "
                "{whom}.")),
    "piston_acceleration": PlainStory(
        SpokenNumber("piston acceleration"),
        (SentenceTemplate(
            "At the top of its stroke each piston weighs {n} times what it weighs at rest.",
                OWN_WEIGHT),)),
    "ring_lift": PlainStory(
        SpokenNumber("share of the gas's hold"),
        (SentenceTemplate(
            "The top ring's own inertia takes {use} % of what the gas holds it down with."),)),
    "big_end_specific_load": PlainStory(
        SpokenNumber("load on the big-end shell"),
        (SentenceTemplate("At its worst each thumbnail of a big‑end shell carries {n} people.",
                PERSON_ON_THUMBNAIL),)),
    "main_specific_load": PlainStory(
        SpokenNumber("load on the main shell"),
        (SentenceTemplate("At its worst each thumbnail of a main shell carries {n} people.",
                PERSON_ON_THUMBNAIL),)),
    "big_end_film": PlainStory(
        SpokenNumber("thinnest oil film"),
        (SentenceTemplate(
            "Only oil parts rod and crank: a hair is {n} times as thick as the oil at its "
                "thinnest.", HAIR),)),
    "main_film": PlainStory(
        SpokenNumber("thinnest oil film"),
        (SentenceTemplate(
            "Only oil parts crank and block: a hair is {n} times as thick as the oil at its "
                "thinnest.", HAIR),)),
    "main_journal_speed": PlainStory(
        SpokenNumber("surface speed"),
        _runner("In its bearings the crank slides {n} times as fast as {whom}.")),
    "crankpin_speed": PlainStory(
        SpokenNumber("surface speed"),
        _runner("In the rods the crank slides {n} times as fast as {whom}.")),
    "shaft_stress": PlainStory(
        SpokenNumber("vibratory stress"),
        (SentenceTemplate(
            "Twisting loads the crank as if {n} people stood on each thumbnail of it.",
                PERSON_ON_THUMBNAIL),)),
    "free_end_angle": PlainStory(
        SpokenNumber("twist of the shaft"),
        (SentenceTemplate(
            "The crank twists to and fro, each way as far as a minute hand goes in {n} s.",
                MINUTE_HAND),)),
    "pin_fillet": _plain("fatigue of the crankpin fillets"),
    "journal_fillet": _plain("fatigue of the journal fillets"),
    "oil_bore": _plain("fatigue at the crank's oil holes"),
    "oil_supply": _plain("the oil's way to the crankpins"),
    "big_end_load_per_width": _plain("the big ends' load per width"),
    "main_load_per_width": _plain("the mains' load per width"),
    **dict.fromkeys(("rod_fatigue", "rod_yield", "joint_opening", "bolt_fatigue", "bolt_yield",
                     "split_slip"), PULLED),
    **dict.fromkeys(("buckling_in_plane", "buckling_across"), PUSHED),
    **dict.fromkeys(("pin_bending", "pin_shear", "pin_ovalisation", "pin_hoop", "boss_pressure",
                     "small_end_pressure"), PRESSED),
}  # fmt: skip
INVERSE = ("big_end_film", "main_film")  # the reference over the value: a hair over a film
GROUPS = (
    Group("Pistons", ("mean_piston_speed",)),
    Group("Piston rings", ("piston_acceleration", "ring_lift")),
    Group("Piston pins", ("pin_bending", "pin_shear", "pin_ovalisation", "pin_hoop",
                          "boss_pressure", "small_end_pressure"), always=False),
    Group("Rods and bolts", ("rod_fatigue", "rod_yield", "joint_opening", "bolt_fatigue",
                             "bolt_yield", "split_slip", "buckling_in_plane", "buckling_across")),
    Group("Bearing shells", ("big_end_specific_load", "main_specific_load",
                             "big_end_load_per_width", "main_load_per_width")),
    Group("Oil film", ("big_end_film", "main_film", "oil_supply")),
    Group("Journals", ("main_journal_speed", "crankpin_speed"), always=False),
    Group("Crankshaft", ("shaft_stress", "free_end_angle", "pin_fillet", "journal_fillet",
                         "oil_bore")),
)  # fmt: skip


def saying_at(telling: PlainStory, value: float) -> SentenceTemplate:
    """Return the saying that fits a told value [SI]."""
    return next(one for one in telling.sayings if value >= one.least)


def ratio(key: str, value: float, reference: Reference) -> float:
    """Return how many times a reference goes into a value [SI], or where inverse the other way."""
    if key in INVERSE:
        return reference.size / value if value > 0 else math.inf
    return value / reference.size
