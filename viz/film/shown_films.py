"""The films of all bearings at one speed: named, the one nearest its allowable first."""

import math
from dataclasses import dataclass
from functools import cached_property

from kinematics.array import Array
from kinematics.design.allowables import Allowable, LimitName, allowable
from kinematics.design.design_bearings import BARUS, Oil
from kinematics.film.journal_film import BearingFilms, JournalFilms, journal_films
from kinematics.film.journal_shape import JournalTilts, edge_films, journal_tilts
from kinematics.train.cycle import Cycle
from viz.film.film_model_words import FilmModelWords, film_model_words
from viz.verdict_words import EDGE, MET, NOT_MET

LIMITS: dict[str, LimitName] = {"big_end": "big_end_film", "main": "main_film"}
TITLES = {"big_end": "Big end", "main": "Main"}


class ShownFilms:
    """Films of a cycle; raises DesignError where the design lacks bearings or oil."""

    def __init__(self, cycle: Cycle) -> None:
        self.cycle = cycle
        self.films: JournalFilms = journal_films(cycle)

    @property
    def model_words(self) -> FilmModelWords:
        """The film model in words."""
        oil: Oil = self.cycle.design.needed("oil", "the oil film")
        return film_model_words(oil.film_model)

    @property
    def thickened(self) -> bool:
        """Whether the oil thickens under pressure."""
        oil: Oil = self.cycle.design.needed("oil", "the oil film")
        return oil.under_pressure == BARUS

    @cached_property
    def tilts(self) -> JournalTilts:
        """How the journals tilt."""
        return journal_tilts(self.cycle, self.films)

    def of(self, kind: str) -> BearingFilms:
        """Return the films of a kind, "big_end" or "main"."""
        return self.films.of(kind)

    def tilt(self, kind: str) -> Array:
        """Return the tilts (b, 2, n) [rad] of a kind."""
        return self.tilts.big_ends if kind == "big_end" else self.tilts.mains

    def allowed(self, kind: str) -> Allowable:
        """Return the minimum film thickness allowed in a kind."""
        return allowable(self.cycle.design.limits, LIMITS[kind])

    @cached_property
    def edges(self) -> dict[str, Array]:
        """Thinnest film of the cycle anywhere over the width [m], by kind (b,)."""
        return {
            kind: edge_films(self.of(kind), self.tilt(kind), self.of(kind).bearing.crown).min(-1)
            for kind in LIMITS
        }

    @cached_property
    def bearings(self) -> "tuple[ShownBearing, ...]":
        """All bearings, big ends first, from the front."""
        return tuple(
            ShownBearing(self, kind, index)
            for kind in LIMITS
            for index in range(len(self.of(kind).load))
        )

    @property
    def sorted(self) -> "tuple[ShownBearing, ...]":
        """All bearings, the one closest to its limit first; those alike from the front."""
        return tuple(sorted(self.bearings, key=lambda bearing: _to_rounding(bearing.share)))

    def bearing(self, key: str) -> "ShownBearing | None":
        """Return the bearing of a key, None if there is none."""
        return next((bearing for bearing in self.bearings if bearing.key == key), None)


def _to_rounding(share: float) -> float:
    """Return a share with as many digits as solving again gives alike."""
    return float(f"{share:.9g}")


@dataclass(frozen=True, slots=True)
class ShownBearing:
    """One bearing of the films."""

    shown: ShownFilms
    kind: str
    index: int

    @property
    def key(self) -> str:
        """What names it in messages: its kind and its number from 1."""
        return f"{self.kind}_{self.index + 1}"

    @property
    def title(self) -> str:
        """Its name in words."""
        return f"{TITLES[self.kind]} {self.index + 1}"

    @property
    def films(self) -> BearingFilms:
        """Films of its kind."""
        return self.shown.of(self.kind)

    @property
    def least(self) -> float:
        """Thinnest film of the cycle [m]."""
        return float(self.films.minimum_film[self.index])

    @property
    def at(self) -> int:
        """Place of the thinnest film on the angle grid."""
        return int(self.films.minimum_index[self.index])

    @property
    def minimum_degrees(self) -> float:
        """Crank angle of the thinnest film [°]."""
        return math.degrees(self.films.crank_angle[self.at])

    @property
    def limit(self) -> float:
        """Minimum film thickness allowed [m]."""
        return self.shown.allowed(self.kind).value

    @property
    def share(self) -> float:
        """Thinnest film of the cycle over the film allowed."""
        return self.least / self.limit

    @property
    def edge(self) -> float:
        """Thinnest film of the cycle anywhere over the width [m], with tilt and crown."""
        return float(self.shown.edges[self.kind][self.index])

    @property
    def state(self) -> str:
        """Whether it meets its allowable at this speed: `MET`, `EDGE` or `NOT_MET`.

        It is `EDGE` where the straight film meets it and the edge film does not.
        """
        if self.least < self.limit:
            return NOT_MET
        return EDGE if self.edge < self.limit else MET
