"""The minimum films of several designs, each at its own speed, solved together.

What a small change of a design does to a film is asked of some ten designs that are nearly the
same: solved in one go they cost little more than one.

Source: as of `journal_film`.
"""

import dataclasses
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.design.design_bearings import Oil
from kinematics.film.film_heat import BalancedFilms, FilmStart, balanced_films
from kinematics.film.film_survey import FilmSweep, film_sweep
from kinematics.film.grooved_film import bearing_film
from kinematics.film.journal_film import feed_pressures
from kinematics.film.least_films import least_films
from kinematics.film.running_bearings import RunningBearings, row_of, running_bearings
from kinematics.one_line import frozen_record
from kinematics.train.cycle import RigidTrain

CLOSELY = 1e-7  # relative error of viscosity: little changes are told apart
_SHARED = ("cycle_angle", "pressure_coefficient")  # of bearings that are solved together


def least_of_designs(trains: Sequence[RigidTrain], speed: Array, kind: str, name: str) -> Array:
    """Return the least value of all bearings of a kind, by design, (t,).

    Of designs that are nearly the same, at speeds that are: the bearings looked at are those that
    have it in the first, or nearly so, and the search begins with its films.

    Parameters
    ----------
    name : "minimum_film" [m] or "filling"

    The others, and errors, as of `films_of_designs`.

    Reference: as of `journal_film`.
    """
    first = least_films(trains[0], kind)
    bearings = first.nearly_least(float(speed[0]), name)
    start = first.start_at(speed[:1])
    solved = _solved_together(trains, speed, kind, bearings, start)
    if solved is None:
        found = films_of_designs(trains, speed, kind, bearings)
        return np.array([getattr(own, name).min() for own in found])
    films, ends = solved.balanced.on_all_points(), solved.ends
    values = films.minimum_film if name == "minimum_film" else films.state.filling
    return np.array([own.min() for own in np.split(values, ends[:-1])])


def films_of_designs(
    trains: Sequence[RigidTrain],
    speed: Array,
    kind: str,
    bearings: NDArray[np.intp] | None = None,
) -> list[FilmSweep]:
    """Return the films of some bearings of a kind, by design; of all where none are named.

    Designs whose oils differ are solved one by one.

    Parameters
    ----------
    trains : of t designs
    speed : of each one's crank [rad/s] (t,)
    kind : "big_end" or "main"
    bearings : which of them, counted from 0

    Returns
    -------
    List of t sweeps over one speed, each (b,).

    Raises
    ------
    DesignError where bearings or oil are missing, or no closed orbit is found.

    Reference: as of `journal_film`.
    """
    solved = _solved_together(trains, speed, kind, bearings, None)
    if solved is None:
        pairs = zip(trains, speed, strict=True)
        found = [film_sweep(train, np.array([at]), kind) for train, at in pairs]
        taken = slice(None) if bearings is None else bearings
        return [FilmSweep(own.minimum_film[0, taken], own.filling[0, taken]) for own in found]
    settled = solved.balanced.settled()
    both = np.stack((settled.minimum_film, settled.state.filling))
    films = np.split(both, solved.ends[:-1], axis=-1)
    return [FilmSweep(*own[:, back]) for own, back in zip(films, solved.rows, strict=True)]


@frozen_record
class _Together:
    """Films of several designs, balanced together."""

    balanced: BalancedFilms
    ends: NDArray[np.intp]  # of each design's rows
    rows: list[NDArray[np.intp]]  # of each design, the row of its own that serves a bearing


def _solved_together(
    trains: Sequence[RigidTrain],
    speed: Array,
    kind: str,
    bearings: NDArray[np.intp] | None,
    start: FilmStart | None,
) -> _Together | None:
    """Return the films of all designs, None where their oils differ.

    The arguments are those of `films_of_designs`; `start` is films of all rows of the first
    design, that are nearly those of each.
    """
    oils: list[Oil] = [train.design.needed("oil", "the oil film") for train in trains]
    alike = {(oil, train.points, train.design.layout.cycle_angle)
             for oil, train in zip(oils, trains, strict=True)}  # fmt: skip
    if len(alike) > 1:
        return None
    each, rows, starts = [], [], []
    if any(row_of(train, kind) != row_of(trains[0], kind) for train in trains):
        start = None
    for train, at in zip(trains, speed, strict=True):
        row = np.array([row for row, _ in row_of(train, kind)])
        wanted, back = np.unique(row if bearings is None else row[bearings], return_inverse=True)
        each.append(running_bearings(train, np.array([at]), (kind,)).taken(wanted))
        rows.append(back)
        starts += [] if start is None else [start.taken(wanted)]
    feeds = [feed_pressures(train, own) for train, own in zip(trains, each, strict=True)]
    together = _joined(each)
    film = bearing_film(oils[0].film_model, together)
    balanced = balanced_films(
        together, oils[0], np.concatenate(feeds), film,
        start=FilmStart.joined(starts) if starts else None, agreed=CLOSELY,
    )  # fmt: skip
    return _Together(balanced, np.cumsum([len(own.speed) for own in each]), rows)


def _joined(each: Sequence[RunningBearings]) -> RunningBearings:
    """Return the rows of all as one."""
    rows: dict[str, Any] = {
        field.name: np.concatenate([getattr(own, field.name) for own in each])
        for field in dataclasses.fields(RunningBearings)
        if field.name not in _SHARED
    }
    return RunningBearings(**rows, **{name: getattr(each[0], name) for name in _SHARED})
