"""What limits speed at the bearings: loads, films, surface speed, oil to the pins.

Source of the specific load: ISO 7902, load over projected area (from memory). All mains count;
big ends are loaded alike in every cylinder.
"""

from collections.abc import Callable
from functools import cached_property
from typing import Any

import numpy as np

from kinematics.array import Array
from kinematics.design.allowables import GIVEN, Allowable, Origin
from kinematics.design.oil_viscosity import OIL_DENSITY
from kinematics.errors import DesignError
from kinematics.film.film_survey import least_films
from kinematics.film.oil_supply import (
    LoadDensity,
    OilDrilling,
    crank_drilling,
    load_density,
    required_pressure,
)
from kinematics.limits.criterion import Criterion, safety
from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia
from kinematics.train.cycle import RigidTrain

FILM_SPEEDS = 7  # looked at first: films change smoothly with speed


class BearingParts:
    """Big ends, mains and the oil's way to the crankpins."""

    def __init__(self, train: RigidTrain) -> None:
        self.train = train
        self.design = train.design

    def big_end_load(self, speed: Array) -> Array:
        """Return the size of cylinder 1's big-end load [N], (s, n), at speeds (s,) [rad/s]."""
        return _size(self.train.big_end_rod[:1], speed)[:, 0]

    def main_load(self, speed: Array) -> Array:
        """Return the size of every main's load [N], (s, m, n)."""
        return _size(self.train.main_block, speed)

    def main_peaks(self, speed: Array) -> Array:
        """Return the largest load of every main [N], (s, m)."""
        return self.main_load(speed).max(axis=-1)

    def big_end_specific(self, speed: Array) -> Array:
        """Return the big end's largest specific load [Pa], (s,)."""
        bearing = self.design.needed("big_end", "the big end's specific load")
        return self.big_end_load(speed).max(axis=-1) / bearing.projected_area

    def main_specific(self, speed: Array) -> Array:
        """Return the largest specific load of all mains [Pa], (s,)."""
        bearing = self.design.needed("main_bearing", "the mains' specific load")
        return self.main_peaks(speed).max(axis=-1) / bearing.projected_area

    def big_end_film(self, speed: Array) -> Array:
        """Return the big ends' thinnest film [m], (s,)."""
        return least_films(self.train, speed, "big_end").min(axis=-1)

    def main_film(self, speed: Array) -> Array:
        """Return the thinnest film of all mains [m], (s,)."""
        return least_films(self.train, speed, "main").min(axis=-1)

    def crankpin_speed(self, speed: Array) -> Array:
        """Return the crankpin's surface speed [m/s], (s,), that of the shaft's turning."""
        bearing: float = self.design.needed("big_end", "the crankpin's surface speed").diameter
        return bearing / 2 * speed

    def main_speed(self, speed: Array) -> Array:
        """Return the main journals' surface speed [m/s], (s,)."""
        bearing: float = self.design.needed("main_bearing", "the surface speed").diameter
        return bearing / 2 * speed

    def big_end_per_width(self, speed: Array) -> Array:
        """Return the big end's largest load over its width [N/m], (s,)."""
        bearing = self.design.needed("big_end", "the load a width")
        return self.big_end_load(speed).max(axis=-1) / bearing.bearing_width

    def main_per_width(self, speed: Array) -> Array:
        """Return the mains' largest load over their width [N/m], (s,)."""
        bearing = self.design.needed("main_bearing", "the load a width")
        return self.main_peaks(speed).max(axis=-1) / bearing.bearing_width

    def per_width_allowed(self) -> Allowable:
        """Return the load a width that the design gives; there is no guide value for it."""
        given = self.design.limits.load_per_width
        if given is None:
            raise DesignError(
                "limits.load_per_width_N_mm", "no guide value is known; give one to judge it"
            )
        return Allowable(given, Origin(GIVEN, "given"))

    @cached_property
    def drilling(self) -> OilDrilling:
        """The drilling from main journal to crankpin."""
        return crank_drilling(self.design)

    def oil_needed(self, speed: Array) -> Array:
        """Return the gauge pressure that the drilling needs at the main [Pa], (s,)."""
        return required_pressure(self.drilling, speed, density=OIL_DENSITY)

    def oil_safety(self, speed: Array) -> Array:
        """Return the supply over what the drilling needs, (s,)."""
        supply = self.design.needed("oil", "the oil's way to the pins").supply_pressure
        return safety(supply, self.oil_needed(speed))

    def crankpin_density(self, speed: float) -> LoadDensity:
        """Return how the load of cylinder 1 is spread round the crankpin at a speed [rad/s]."""
        return load_density(self.train.big_end_crank[0].at(speed))


def _size(load: GasAndInertia, speed: Array) -> Array:
    """Return the size of loads (b, 2, n) [N] at speeds (s,): (s, b, n)."""
    across, along = np.moveaxis(load.over(speed), -2, 0)
    return np.hypot(across, along)


def _film(key: str, part: str, value: Callable[[Any, Array], Array]) -> Criterion:
    """Return the criterion of a least film; its allowable bears its name."""
    return Criterion(
        key, part, "Least oil film", "um", key, ("big_end", "main_bearing", "oil"), value,
        at_least=True, speeds=FILM_SPEEDS,
    )  # fmt: skip


_BIG_END, _MAINS, _OIL = "Big end", "Main bearings", "Oil"
BEARING_CRITERIA = (
    Criterion(
        "big_end_specific_load", _BIG_END, "Specific load", "MPa", "big_end_specific_load",
        ("big_end",), BearingParts.big_end_specific),
    _film("big_end_film", _BIG_END, BearingParts.big_end_film),
    Criterion(
        "crankpin_speed", _BIG_END, "Surface speed", "m_s", "journal_speed", ("big_end",),
        BearingParts.crankpin_speed, guide=True),
    Criterion(
        "big_end_load_per_width", _BIG_END, "Load per width", "N_mm", "load_per_width",
        ("big_end",), BearingParts.big_end_per_width, allowed=BearingParts.per_width_allowed),
    Criterion(
        "main_specific_load", _MAINS, "Specific load", "MPa", "main_specific_load",
        ("main_bearing",), BearingParts.main_specific),
    _film("main_film", _MAINS, BearingParts.main_film),
    Criterion(
        "main_journal_speed", _MAINS, "Surface speed", "m_s", "journal_speed",
        ("main_bearing",), BearingParts.main_speed, guide=True),
    Criterion(
        "main_load_per_width", _MAINS, "Load per width", "N_mm", "load_per_width",
        ("main_bearing",), BearingParts.main_per_width, allowed=BearingParts.per_width_allowed),
    Criterion(
        "oil_supply", _OIL, "Oil to the crankpins", "", "oil_reserve",
        ("oil", "crank_throw", "big_end", "main_bearing"), BearingParts.oil_safety,
        at_least=True),
)  # fmt: skip
