"""A design as a report reviews it: solved at one speed, with all that is said of it."""

from functools import cached_property
from typing import Any

import numpy as np

from kinematics.errors import DesignError
from kinematics.fit.fit_check import FitCheck
from kinematics.fit.fit_checks import fit_checks
from kinematics.limits.speed_limits import Ladder, speed_limits
from kinematics.train.cycle import Cycle
from viz.film.film_numbers import film_numbers
from viz.film.shown_films import ShownFilms
from viz.limits.criterion_views import full_name
from viz.limits.limit_board import sheet_messages
from viz.limits.rung_marks import band_message
from viz.speed_words import rpm_text
from viz.train.main_number import MainNumber
from viz.train.main_numbers import main_numbers


class Reviewed:
    """A solved design with all that a report says of it; what it lacks is said in words."""

    def __init__(self, cycle: Cycle) -> None:
        self.cycle = cycle
        self.design = cycle.design
        self.numbers = main_numbers(cycle)
        self.ladder: Ladder = speed_limits(cycle.design)
        self.no_films = ""
        self.films: ShownFilms | None = None
        try:
            self.films = ShownFilms(cycle)
        except DesignError as error:
            self.no_films = str(error)

    @property
    def speed_text(self) -> str:
        """The speed in rpm, with its unit."""
        return rpm_text(self.cycle.speed)

    @cached_property
    def film_numbers(self) -> tuple[MainNumber, ...]:
        """The numbers of the bearing nearest its allowable film."""
        return film_numbers(self.films.sorted[0]) if self.films else ()

    @cached_property
    def fit(self) -> tuple[FitCheck, ...]:
        """Whether the parts go together."""
        return fit_checks(self.design)

    @cached_property
    def sheets(self) -> list[dict[str, Any]]:
        """How each rung is assessed, with its band by other models."""
        return [
            sheet | {"band": band_message(self.ladder, self.ladder[sheet["key"]])}
            for sheet in sheet_messages(self.ladder)
        ]

    @property
    def missing(self) -> list[tuple[str, str]]:
        """What cannot be said of the design, and why."""
        found = [
            (number.label, number.substitution)
            for number in self.numbers
            if not np.isfinite(number.value)
        ]
        if self.no_films:
            found.append(("Oil films", self.no_films))
        return found + [
            (full_name(absent.criterion), str(absent.why)) for absent in self.ladder.unjudged
        ]
