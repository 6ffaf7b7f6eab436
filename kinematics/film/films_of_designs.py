"""The minimum films of several designs, each at its own speed, solved together.

What a small change of a design does to a film is asked of some ten designs that are nearly the
same: solved in one go they cost little more than one.

Source: as of `journal_film`.
"""

import dataclasses
from collections.abc import Sequence
from typing import Any

import numpy as np

from kinematics.array import Array
from kinematics.design.design_bearings import Oil
from kinematics.film.film_heat import settled_films
from kinematics.film.film_survey import FilmSweep, film_sweep
from kinematics.film.grooved_film import bearing_film
from kinematics.film.journal_film import feed_pressures
from kinematics.film.running_bearings import RunningBearings, row_of, running_bearings
from kinematics.train.cycle import RigidTrain

_SHARED = ("cycle_angle", "pressure_coefficient")  # of bearings that are solved together


def films_of_designs(trains: Sequence[RigidTrain], speed: Array, kind: str) -> list[FilmSweep]:
    """Return the films of all bearings of a kind, by design.

    Designs whose oils differ are solved one by one.

    Parameters
    ----------
    trains : of t designs
    speed : of each one's crank [rad/s] (t,)
    kind : "big_end" or "main"

    Returns
    -------
    List of t sweeps over one speed, each (b,).

    Raises
    ------
    DesignError where bearings or oil are missing, or no closed orbit is found.

    Reference: as of `journal_film`.
    """
    oils: list[Oil] = [train.design.needed("oil", "the oil film") for train in trains]
    alike = {(oil, train.points, train.design.layout.cycle_angle)
             for oil, train in zip(oils, trains, strict=True)}  # fmt: skip
    if len(alike) > 1:
        pairs = zip(trains, speed, strict=True)
        found = [film_sweep(train, np.array([at]), kind) for train, at in pairs]
        return [FilmSweep(own.minimum_film[0], own.filling[0]) for own in found]
    each = [
        running_bearings(train, np.array([at]), (kind,))
        for train, at in zip(trains, speed, strict=True)
    ]
    feeds = [feed_pressures(train, own) for train, own in zip(trains, each, strict=True)]
    bearings = _joined(each)
    film = bearing_film(oils[0].film_model, bearings)
    settled = settled_films(bearings, oils[0], np.concatenate(feeds), film)
    both = np.stack((settled.minimum_film, settled.state.filling))
    films = np.split(both, np.cumsum([len(own.speed) for own in each]), axis=-1)
    return [
        FilmSweep(*own[:, [row for row, _ in row_of(train, kind)]])
        for train, own in zip(trains, films[:-1], strict=True)
    ]


def _joined(each: Sequence[RunningBearings]) -> RunningBearings:
    """Return the rows of all as one."""
    rows: dict[str, Any] = {
        field.name: np.concatenate([getattr(own, field.name) for own in each])
        for field in dataclasses.fields(RunningBearings)
        if field.name not in _SHARED
    }
    return RunningBearings(**rows, **{name: getattr(each[0], name) for name in _SHARED})
