"""What limits speed at the bearings: loads, films, surface speed, oil to the pins.

Source of the specific load: ISO 7902, load over projected area (from memory). All mains count;
big ends are loaded alike in every cylinder.
"""

from collections.abc import Callable, Sequence
from functools import cached_property
from typing import Literal

import numpy as np

from kinematics.array import Array
from kinematics.design.oil_viscosity import OIL_DENSITY
from kinematics.film.films_of_designs import least_of_designs
from kinematics.film.least_films import least_films
from kinematics.film.oil_supply import (
    LoadDensity,
    OilDrilling,
    crank_drilling,
    load_density,
    required_pressure,
)
from kinematics.limits.bore_closure import bore_closure
from kinematics.limits.criterion import Criterion, OptionalGroup, safety
from kinematics.limits.kept_answers import KeptAnswers
from kinematics.limits.left_out import (
    edge_film,
    gas_at_every_speed,
    gas_of_one_cylinder,
    lightened_webs_of_a_continuous_shaft,
    partial_groove,
    rigid_shells,
    starved,
    together,
)
from kinematics.limits.other_models import (
    by_film_models,
    by_films_and_main_loads,
    by_main_loads,
)
from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia
from kinematics.train.cycle import RigidTrain

FILM_SPEEDS, MAIN_FILM_SPEEDS = 7, 9  # looked at first: films change smoothly; grooved ones bend


class BearingParts:
    """Big ends, mains and the oil's way to the crankpins."""

    def __init__(self, train: RigidTrain) -> None:
        self.train = train
        self.design = train.design
        self._kept = KeptAnswers()

    def big_end_load(self, speed: Array) -> Array:
        """Return the size of one big end's load [N], (s, n), at speeds (s,) [rad/s].

        Of the cylinder whose gas load is highest; where all fire alike, of cylinder 1.

        Reference: size of a vector, by definition.
        """
        cylinder = self.train.assessed_cylinder
        return _size(self.train.big_end_rod[cylinder : cylinder + 1], speed)[:, 0]

    def main_load(self, speed: Array) -> Array:
        """Return the size of every main's load [N], (s, m, n).

        Reference: size of a vector, by definition.
        """
        return _size(self.train.main_block, speed)

    def main_peaks(self, speed: Array) -> Array:
        """Return the maximum load of every main [N], (s, m).

        Reference: size of a vector, by definition.
        """
        return self._kept.array("mains", speed, lambda at: self.main_load(at).max(axis=-1))

    def big_end_peak(self, speed: Array) -> Array:
        """Return the maximum load of one big end [N], (s,), as of `big_end_load`.

        Reference: size of a vector, by definition.
        """
        return self._kept.array("big end", speed, lambda at: self.big_end_load(at).max(axis=-1))

    def big_end_specific(self, speed: Array) -> Array:
        """Return the big end's maximum specific load [Pa], (s,).

        Reference: load over projected area, ISO 7902 (from memory).
        """
        bearing = self.design.needed("big_end", "the big end's specific load")
        return self.big_end_peak(speed) / bearing.projected_area

    def main_specific(self, speed: Array) -> Array:
        """Return the maximum specific load of all mains [Pa], (s,).

        Reference: load over projected area, ISO 7902 (from memory).
        """
        bearing = self.design.needed("main_bearing", "the mains' specific load")
        return self.main_peaks(speed).max(axis=-1) / bearing.projected_area

    def big_end_film(self, speed: Array) -> Array:
        """Return the big ends' minimum film thickness [m], (s,).

        Reference: as of `journal_film`.
        """
        return least_films(self.train, "big_end").least("minimum_film", speed)

    def main_film(self, speed: Array) -> Array:
        """Return the minimum film thickness of all mains [m], (s,).

        Reference: as of `journal_film`.
        """
        return least_films(self.train, "main").least("minimum_film", speed)

    def big_end_filling(self, speed: Array) -> Array:
        """Return the big ends' minimum filling, flow that passes over a full film's, (s,).

        Reference: as of `oil_feed`.
        """
        return least_films(self.train, "big_end").least("filling", speed)

    def main_filling(self, speed: Array) -> Array:
        """Return the minimum filling of all mains, (s,).

        Reference: as of `oil_feed`.
        """
        return least_films(self.train, "main").least("filling", speed)

    def crankpin_speed(self, speed: Array) -> Array:
        """Return the crankpin's surface speed [m/s], (s,), that of the shaft's turning.

        Reference: radius times speed, by definition.
        """
        bearing: float = self.design.needed("big_end", "the crankpin's surface speed").diameter
        return bearing / 2 * speed

    def main_speed(self, speed: Array) -> Array:
        """Return the main journals' surface speed [m/s], (s,).

        Reference: radius times speed, by definition.
        """
        bearing: float = self.design.needed("main_bearing", "the surface speed").diameter
        return bearing / 2 * speed

    def big_end_per_width(self, speed: Array) -> Array:
        """Return the big end's maximum load over its width [N/m], (s,).

        Reference: load over width, by definition.
        """
        bearing = self.design.needed("big_end", "the load per unit width")
        return self.big_end_peak(speed) / bearing.bearing_width

    def main_per_width(self, speed: Array) -> Array:
        """Return the mains' maximum load over their width [N/m], (s,).

        Reference: load over width, by definition.
        """
        bearing = self.design.needed("main_bearing", "the load per unit width")
        return self.main_peaks(speed).max(axis=-1) / bearing.bearing_width

    @cached_property
    def drilling(self) -> OilDrilling:
        """The drilling from main journal to crankpin."""
        return crank_drilling(self.design)

    def oil_needed(self, speed: Array) -> Array:
        """Return the gauge pressure that the drilling needs at the main [Pa], (s,).

        Reference: F. M. White, Fluid Mechanics (from memory), as of `required_pressure`.
        """
        return required_pressure(self.drilling, speed, density=OIL_DENSITY)

    def oil_safety(self, speed: Array) -> Array:
        """Return the supply over what the drilling needs, (s,).

        Reference: F. M. White, Fluid Mechanics (from memory), as of `required_pressure`.
        """
        supply = self.design.needed("oil", "the oil's way to the pins").supply_pressure
        return safety(supply, self.oil_needed(speed))

    def crankpin_density(self, speed: float) -> LoadDensity:
        """Return how a big end's load is spread round the crankpin at a speed [rad/s]."""
        return load_density(self.train.big_end_crank[self.train.assessed_cylinder].at(speed))


def _minimum(
    quantity: Literal["minimum_film", "filling"], kind: str
) -> Callable[[Sequence[BearingParts], Array], Array]:
    """Return a function from the parts of designs and their speeds to a quantity's minima."""

    def of_designs(parts: Sequence[BearingParts], speed: Array) -> Array:
        return least_of_designs([own.train for own in parts], speed, kind, quantity)

    return of_designs


def _size(load: GasAndInertia, speed: Array) -> Array:
    """Return the size of loads (b, 2, n) [N] at speeds (s,): (s, b, n)."""
    across, along = np.moveaxis(load.over(speed), -2, 0)
    return np.hypot(across, along)


_BIG_END, _MAINS, _OIL = "Big end", "Main bearings", "Oil"
_FILM: tuple[OptionalGroup, ...] = ("big_end", "main_bearing", "oil")
_BIG_END_FILM = together(
    starved("big_end"), rigid_shells("big_end"), edge_film("big_end", "big_end_film"),
    bore_closure, gas_at_every_speed,
)  # fmt: skip
_MAIN_FILM = together(
    partial_groove, starved("main"), rigid_shells("main"), edge_film("main", "main_film"),
    lightened_webs_of_a_continuous_shaft, gas_at_every_speed,
)  # fmt: skip
MAIN_LOAD_MARKS = together(lightened_webs_of_a_continuous_shaft, gas_at_every_speed)
BEARING_CRITERIA = (
    Criterion(
        "big_end_specific_load", _BIG_END, "Specific load", "MPa", "big_end_specific_load",
        ("big_end",), BearingParts.big_end_specific, left_out=gas_of_one_cylinder),
    Criterion(
        "big_end_film", _BIG_END, "Minimum oil film thickness", "um", "big_end_film", _FILM,
        BearingParts.big_end_film, at_least=True, speeds=FILM_SPEEDS,
        of_designs=_minimum("minimum_film", "big_end"), left_out=_BIG_END_FILM,
        band=by_film_models),
    Criterion(
        "big_end_feed", _BIG_END, "Oil feed", "percent", "film_filling", _FILM,
        BearingParts.big_end_filling, at_least=True, speeds=FILM_SPEEDS,
        of_designs=_minimum("filling", "big_end")),
    Criterion(
        "crankpin_speed", _BIG_END, "Surface speed", "m_s", "journal_speed", ("big_end",),
        BearingParts.crankpin_speed, guide=True),
    Criterion(
        "big_end_load_per_width", _BIG_END, "Load per width", "N_mm", "load_per_width",
        ("big_end",), BearingParts.big_end_per_width, left_out=gas_of_one_cylinder),
    Criterion(
        "main_specific_load", _MAINS, "Specific load", "MPa", "main_specific_load",
        ("main_bearing",), BearingParts.main_specific, left_out=MAIN_LOAD_MARKS,
        band=by_main_loads),
    Criterion(
        "main_film", _MAINS, "Minimum oil film thickness", "um", "main_film", _FILM,
        BearingParts.main_film, at_least=True, speeds=MAIN_FILM_SPEEDS,
        of_designs=_minimum("minimum_film", "main"), left_out=_MAIN_FILM,
        band=by_films_and_main_loads),
    Criterion(
        "main_feed", _MAINS, "Oil feed", "percent", "film_filling", _FILM,
        BearingParts.main_filling, at_least=True, speeds=MAIN_FILM_SPEEDS,
        of_designs=_minimum("filling", "main")),
    Criterion(
        "main_journal_speed", _MAINS, "Surface speed", "m_s", "journal_speed",
        ("main_bearing",), BearingParts.main_speed, guide=True),
    Criterion(
        "main_load_per_width", _MAINS, "Load per width", "N_mm", "load_per_width",
        ("main_bearing",), BearingParts.main_per_width, left_out=MAIN_LOAD_MARKS,
        band=by_main_loads),
    Criterion(
        "oil_supply", _OIL, "Oil supply to crankpins", "", "oil_reserve",
        ("oil", "crank_throw", "big_end", "main_bearing"), BearingParts.oil_safety,
        at_least=True),
)  # fmt: skip
