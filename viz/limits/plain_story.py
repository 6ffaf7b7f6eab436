"""What a criterion means beside things that everybody knows, as sentences of the rev-limit page.

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
    """A thing that everybody knows: its size [SI], and that size in words, in SI.

    In other units its size is shown in `unit`, a key of UNITS.
    """

    size: float
    name: str
    in_si: str
    unit: str = ""

    @property
    def words(self) -> str:
        """What it is and how large."""
        if not self.unit or shown_unit(self.unit) is UNITS[self.unit]:
            return f"{self.name}, {self.in_si}"
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
MINUTE_HAND = Reference(math.radians(0.1), "a minute hand", "0.1° per second")


@dataclass(frozen=True, slots=True)
class SpokenNumber:
    """The number in a sentence: its value [SI] for parts and speeds (s,), and how to name it.

    Without `of` it is the criterion's own value.
    """

    label: str
    unit: str = ""
    of: Callable[[Any, Array], Array] | None = None
    main_number: str = ""  # key of the main number that shows its formula


@dataclass(frozen=True, slots=True)
class SentenceTemplate:
    """A sentence for numbers from `least` [SI] on; `{n}` is the number over the reference."""

    words: str
    reference: Reference | None = None
    least: float = -math.inf


@dataclass(frozen=True, slots=True)
class PlainStory:
    """A criterion in plain sentences with falling `least`, of which the first that fits is shown.

    Where `inverse`, `{n}` is the reference over the number: a hair over a film.
    """

    number: SpokenNumber
    sentences: tuple[SentenceTemplate, ...]
    inverse: bool = False

    def sentence_at(self, value: float) -> SentenceTemplate:
        """Return the sentence that fits a number [SI]."""
        return next(sentence for sentence in self.sentences if value >= sentence.least)

    def times(self, value: float, reference: Reference) -> float:
        """Return how many times a reference goes into a number [SI], or the other way round."""
        if self.inverse:
            return reference.size / value if value > 0 else math.inf
        return value / reference.size


def by_weight(words: str, negligible: str) -> tuple[SentenceTemplate, ...]:
    """Return sentences on a force as the weight of small cars, or of people where it is small."""
    return (
        SentenceTemplate(words.replace("{what}", "{n} small cars"), SMALL_CAR, SMALL_CAR.size),
        SentenceTemplate(words.replace("{what}", "{n} people"), PERSON, 0.5 * PERSON.size),
        SentenceTemplate(negligible),
    )


def by_runner(words: str) -> tuple[SentenceTemplate, ...]:
    """Return sentences on a speed: against a sprinter, or a walker where it is slow."""
    return (
        SentenceTemplate(words.replace("{whom}", "a sprinter"), SPRINTER, SPRINTER.size),
        SentenceTemplate(words.replace("{whom}", "a walker"), WALKER),
    )


def share_used(label: str) -> PlainStory:
    """Return a story that compares with nothing but the allowable."""
    return PlainStory(
        SpokenNumber(label), (SentenceTemplate("{use} % of the allowable is used: " + label + "."),)
    )
