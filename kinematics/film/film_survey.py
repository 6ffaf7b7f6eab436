"""The minimum film thickness over speed, and over speed and load: where an engine runs thin.

Source: as of `journal_film`; load is the pressure model's own, in the range a design allows.
"""

import dataclasses
from collections.abc import Iterator
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.design.design_bearings import Oil
from kinematics.errors import DesignError
from kinematics.film.film_heat import settled_films
from kinematics.film.grooved_film import bearing_film
from kinematics.film.journal_film import KEPT, feed_pressures, train_films
from kinematics.film.running_bearings import KINDS, row_of, running_bearings
from kinematics.one_line import frozen_record, one_line, quantity
from kinematics.train.cycle import RigidTrain, rigid_train

SURVEYED = np.arange(2, 14) / 10  # speeds of the survey over the rated one, which is among them
LOADS = 6  # of the survey
MOST_ROWS = 64  # bearings solved at once: what the processor keeps near


@frozen_record
class FilmSweep:
    """Films of all bearings of a kind over speed, (s, b)."""

    minimum_film: Array  # of the cycle [m]
    filling: Array  # flow that passes over that of a full film


def minimum_films(train: RigidTrain, speed: Array, kind: str) -> Array:
    """Return the minimum film thickness of the cycle [m] of all bearings of a kind, (s, b).

    Parameters and errors as of `film_sweep`.

    Reference: as of `journal_film`.
    """
    return film_sweep(train, speed, kind).minimum_film


def film_sweep(train: RigidTrain, speed: Array, kind: str) -> FilmSweep:
    """Return films of all bearings of a kind over speed.

    At the rated speed they are those of `train_films`, to the last bit; at other speeds both agree
    within the heat balance's tolerance, for the same points of the cycle are solved.

    Parameters
    ----------
    speed : of the crank [rad/s] (s,)
    kind : "big_end" or "main"

    Raises
    ------
    DesignError where bearings or oil are missing.

    Reference: as of `journal_film`.
    """
    return _sweep(train, tuple(speed.tolist()), kind)


@lru_cache(maxsize=KEPT)
def _sweep(train: RigidTrain, speeds: tuple[float, ...], kind: str) -> FilmSweep:
    """Return `film_sweep`, kept for the criteria that ask for the same speeds."""
    oil: Oil = train.design.needed("oil", "the oil film")
    speed = np.array(speeds)
    films = np.empty((2, len(speed), len(row_of(train, kind))))
    at_rated = speed == train.design.layout.rated_speed
    if at_rated.any() and not _fill_rated(films, at_rated, train, kind):
        at_rated[:] = False
    if not at_rated.all():
        films[:, ~at_rated] = _swept(train, speed[~at_rated], kind, oil)
    return FilmSweep(*films)


def peak_film_pressures(train: RigidTrain, speed: float, kind: str) -> Array:
    """Return the peak pressure of the cycle [Pa] in the films of a kind at one speed, (b,).

    Parameters
    ----------
    speed : of the crank [rad/s]
    kind : "big_end" or "main"

    Raises
    ------
    DesignError where bearings or oil are missing.

    Reference: as of `journal_film`.
    """
    oil: Oil = train.design.needed("oil", "the oil film")
    bearings = running_bearings(train, np.array([speed]), (kind,))
    film = bearing_film(oil.film_model, bearings)
    settled = settled_films(bearings, oil, feed_pressures(train, bearings), film)
    peak = settled.peak_pressure.max(axis=-1)
    return np.asarray(peak[[row for row, _ in row_of(train, kind)]])


def _fill_rated(films: Array, at_rated: NDArray[np.bool_], train: RigidTrain, kind: str) -> bool:
    """Put in the films at the rated speed; False where those of the other kind have none."""
    try:
        own = train_films(train, train.design.layout.rated_speed).of(kind)
    except DesignError:
        return False
    films[:, at_rated] = np.stack((own.minimum_film, own.filling))[:, None]
    return True


def _swept(train: RigidTrain, speed: Array, kind: str, oil: Oil) -> Array:
    """Return minimum films [m] and fillings (2, s, b), many speeds solved together."""
    rows = [row for row, _ in row_of(train, kind)]
    distinct = 1 + max(rows)
    at_once = max(MOST_ROWS // distinct, 1)
    films = []
    for start in range(0, len(speed), at_once):
        bearings = running_bearings(train, speed[start : start + at_once], (kind,))
        film = bearing_film(oil.film_model, bearings)
        settled = settled_films(bearings, oil, feed_pressures(train, bearings), film)
        films.append(np.stack((settled.minimum_film, settled.state.filling)))
    return np.concatenate(films, axis=-1).reshape(2, -1, distinct)[:, :, rows]


@frozen_record
class FilmSurvey:
    """Minimum film thickness over speed and load, (loads, speeds).

    >>> from kinematics import film_survey, load_demo
    >>> survey = film_survey(load_demo("hill_climb_six"))
    >>> survey.film["main"].shape
    (6, 12)
    """

    speed: Array  # [rad/s] (s,)
    load: Array  # share of full load (l,)
    film: dict[str, Array]  # by kind, the thinnest of all its bearings [m] (l, s)

    def __repr__(self) -> str:
        return one_line(
            self,
            f"{len(self.load)} loads, {len(self.speed)} speeds {quantity(self.speed, 'rpm', 5)}",
            *(f"{kind} film {quantity(film, 'um', 3)}" for kind, film in self.film.items()),
        )

    def refined(self, times: int = 5) -> "FilmSurvey":
        """Return the survey on so many times finer steps, by cubic splines of the films' logs.

        Reference: cubic splines; any book on numerical analysis.
        """
        speed, load = (_finer(values, times) for values in (self.speed, self.load))
        film = {
            kind: np.exp(
                CubicSpline(self.load, CubicSpline(self.speed, np.log(coarse), axis=1)(speed))(load)
            )
            for kind, coarse in self.film.items()
        }
        return FilmSurvey(speed, load, film)


def _finer(steps: Array, times: int) -> Array:
    return np.linspace(steps[0], steps[-1], times * (len(steps) - 1) + 1)


def film_survey(design: Design) -> FilmSurvey:
    """Return minimum films from a fifth to 1.3 of the rated speed, from no load to full.

    Parameters
    ----------
    design : with both bearings and oil

    Returns
    -------
    Speeds (s,) [rad/s], loads (l,) as shares of full load, minimum films (l, s) [m] by kind.

    Raises
    ------
    DesignError where the design lacks bearings or oil, or runs on a trace, which has one load.

    Reference: as of `journal_film`.

    >>> from kinematics import film_survey, load_demo
    >>> film_survey(load_demo("hill_climb_six"))
    FilmSurvey(6 loads, 12 speeds 1700 to 11050 rpm, big_end film 1.24 to 8.73 µm, main film
    2.15 to 8.75 µm)
    """
    *_, whole = survey_by_load(design)
    return whole


def survey_by_load(design: Design) -> Iterator[FilmSurvey]:
    """Yield `film_survey` as it grows, each time with one more of its `LOADS`, last the whole.

    Raises
    ------
    DesignError as of `film_survey`.
    """
    if design.pressure.source == "trace":
        raise DesignError(
            "pressure.source", 'must be "model" for the survey (got "trace", which has one load)'
        )
    speed = SURVEYED * design.layout.rated_speed
    load = np.linspace(0.0, 1.0, LOADS)
    films: dict[str, list[Array]] = {kind: [] for kind in KINDS}
    for done, share in enumerate(load, 1):
        train = _at_load(design, float(share))
        for kind in KINDS:
            films[kind].append(minimum_films(train, speed, kind).min(axis=-1))
        yield FilmSurvey(speed, load[:done], {kind: np.stack(rows) for kind, rows in films.items()})


def _at_load(design: Design, load: float) -> RigidTrain:
    pressure = dataclasses.replace(design.pressure, load=load)
    return rigid_train(dataclasses.replace(design, pressure=pressure))
